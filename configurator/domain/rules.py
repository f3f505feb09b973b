"""Published rules for lamps and windshield, as records. The rules themselves are data (`data/light_rules/*.yaml`).

A rule never says what a car's lamp really gives; it gives the least (and the most) that the table allows. What a film does to
that is worked out in `lamps`.
"""

from dataclasses import dataclass
from enum import StrEnum

from configurator.domain.light import LightStatus
from configurator.domain.selection import LampFilm


class Known(StrEnum):
    """How we know what a rule says."""

    TEXT = "text"
    TRANSCRIPTION = "transcription"
    MEMORY = "memory"


class Bound(StrEnum):
    """What it proves when a film lets less through than a limit.

    `true_bound`: even the brightest lamp that the table allows fails. `practical_bound`: a lamp that passes is not to be expected, but the
    table leaves a way (a group of points that makes up for one, no maximum at a point, a lamp that may sit elsewhere).
    """

    TRUE = "true_bound"
    PRACTICAL = "practical_bound"


class Films(StrEnum):
    """Which films a rule about covers speaks of."""

    ANY = "any"
    SMOKE = "smoke"

    def include(self, film: LampFilm) -> bool:
        return film is not LampFilm.NONE and (self is Films.ANY or film is not LampFilm.CLEAR)


@dataclass(frozen=True)
class Citation:
    """Where a rule stands: the standard, the section or table, the date of the text, and how we know it."""

    standard: str
    place: str
    date: str
    known: Known

    def __str__(self) -> str:
        return f"{self.standard}, {self.place} ({self.date})"


@dataclass(frozen=True)
class Limit:
    """The least share of a function's light (0..1) that a film must leave, and what it proves to be below it."""

    share: float
    bound: Bound


@dataclass(frozen=True)
class LampRule:
    """One function of a lamp group against one row of a table.

    `minimum` and `maximum` are candela, or millicandela per lux for a reflex reflector (`passes` 2: its light crosses the film
    twice). A single point may fall to `point_floor` x `minimum` where the table then asks for the sum of a group of points.
    """

    lamp: str
    function: str
    minimum: float | None
    maximum: float | None
    limits: tuple[Limit, ...]
    source: Citation
    passes: int = 1
    point_floor: float = 1.0

    @property
    def reflects(self) -> bool:
        return self.passes == 2


@dataclass(frozen=True)
class CoverRule:
    """A rule about covering a lamp (or the windshield) as such, whatever the light left, and the status that follows."""

    lamps: tuple[str, ...]
    films: Films
    status: LightStatus
    source: Citation


@dataclass(frozen=True)
class GlassRule:
    """The least share of light that windshield glass and film together must let through."""

    minimum: float
    source: Citation


@dataclass(frozen=True)
class RuleSet:
    """The rules of one region. `usual_glass` is what a clear windshield there usually lets through, taken where none was measured."""

    region: str
    usual_glass: float
    lamps: tuple[LampRule, ...] = ()
    covers: tuple[CoverRule, ...] = ()
    glass: GlassRule | None = None

    @property
    def knows_nothing(self) -> bool:
        return not self.lamps and not self.covers and self.glass is None

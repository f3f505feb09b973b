"""Light left behind film: lamps and windshield against published rules, told honestly. Worked out in `lamps`."""

from dataclasses import dataclass
from enum import StrEnum

from configurator.domain.message import Message


class LightStatus(StrEnum):
    """From harmless to forbidden. Never 'legal': a lamp's real output is unknown to a shop."""

    NO_CHANGE = "no_change"
    CHECK_LOCALLY = "check_locally"
    LIKELY_NOT_ROAD_LEGAL = "likely_not_road_legal"
    FORBIDDEN_BY_PUBLISHED_RULE = "forbidden_by_published_rule"

    @property
    def severity(self) -> int:
        return list(LightStatus).index(self)

    @property
    def needs_acknowledging(self) -> bool:
        """Whether the visitor must confirm off-road or show use."""
        return self in (LightStatus.LIKELY_NOT_ROAD_LEGAL, LightStatus.FORBIDDEN_BY_PUBLISHED_RULE)


@dataclass(frozen=True)
class FunctionLight:
    """One lamp function against one rule. Candela where a minimum is known; `source` as printed: standard, section, date.

    `known` says how we know the rule (text, transcription, memory). `share_left` is t, or t squared for a reflex reflector,
    whose minimum is in mcd/lx. `least_transmission` is the film's share at the rule's highest limit: below it trouble begins.
    `as_built_minimum_cd` is what the bare lamp must give for the covered one to reach the minimum; `left_cd` what is left of
    a lamp that was measured.
    """

    function: str
    status: LightStatus
    source: str
    minimum_cd: float | None = None
    maximum_cd: float | None = None
    as_built_minimum_cd: float | None = None
    left_cd: float | None = None
    known: str | None = None
    share_left: float | None = None
    minimum_mcd_lx: float | None = None
    least_transmission: float | None = None


@dataclass(frozen=True)
class LampLight:
    """One lamp group (or `windshield`) behind its film; shares of light are 0..1.

    Figures are nominal; the verdict is taken at `transmission_darker`, the darker end of the film's tolerance. For the
    windshield `glass` is the bare glass, `total` glass and film together, `least_total` what the region asks for.
    """

    lamp: str
    film: str
    transmission: float
    transmission_darker: float
    reflector: float | None
    needs_times_minimum: float | None
    status: LightStatus
    functions: tuple[FunctionLight, ...]
    glass: float | None = None
    total: float | None = None
    least_total: float | None = None
    assumptions: tuple[Message, ...] = ()

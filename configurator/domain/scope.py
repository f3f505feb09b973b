"""What is covered with what, where its edges end, and why not."""

from collections.abc import Mapping
from dataclasses import dataclass

from configurator.domain.body.records import EdgeKind, Panel
from configurator.domain.message import Message
from configurator.domain.selection import LampFilm, Material, Treatment
from configurator.domain.work import Zone


@dataclass(frozen=True)
class TreatedEdge:
    """A stretch of edge with how film ends there (`open` is always trimmed)."""

    kind: EdgeKind
    length_mm: float
    treatment: Treatment
    part: str | None = None


@dataclass(frozen=True)
class StripeCut:
    """One lengthwise cut of a panel's film along y = `y_mm`, where two finishes meet; its true length on the panel."""

    y_mm: float
    length_mm: float


@dataclass(frozen=True)
class FinishBand:
    """The part of a panel between two planes y = const and the finish and film laid there, left to right."""

    y_from_mm: float
    y_to_mm: float
    role: str
    """base, stripe or border."""
    finish: str
    film: str
    area_m2: float


@dataclass(frozen=True, eq=False)
class ScopedPanel:
    """A panel that a selection can name, covered or not. `covered_panel` is the panel as cut for part coverage."""

    id: str
    panel: Panel
    material: Material
    filmable: bool
    covered: bool
    area_m2: float
    covered_area_m2: float
    finish: str | None
    film: str | None
    covered_panel: Panel | None
    edges: tuple[TreatedEdge, ...]
    cuts: tuple[StripeCut, ...]
    bands: tuple[FinishBand, ...]
    difficulty: float
    recesses: int
    reason: Message | None
    """Why not, or what to know: textured plastic, respray too fresh, fabric, ..."""

    @property
    def seam_mm(self) -> float:
        return sum(cut.length_mm for cut in self.cuts)


@dataclass(frozen=True, eq=False)
class ScopedLamp:
    """One lamp (by panel id) of a group with its film."""

    id: str
    group: str
    film: LampFilm
    panel: Panel
    area_m2: float
    perimeter_mm: float


@dataclass(frozen=True, eq=False)
class OldFilm:
    """Film from an earlier job that has to come off, covered again or not."""

    id: str
    panel: Panel
    area_m2: float
    perimeter_mm: float


@dataclass(frozen=True)
class PartOff:
    """A part that comes off and goes back on so that an edge can be hidden.

    `frees` are the covered panels it makes way for, `panel` the first of them. `zone` hangs on the part alone, not on what is covered.
    """

    id: str
    part: str
    panel: str
    role: str
    frees: tuple[str, ...] = ()
    zone: Zone = Zone.ALL


@dataclass(frozen=True, eq=False)
class Scope:
    panels: Mapping[str, ScopedPanel]
    lamps: tuple[ScopedLamp, ...]
    windshield: ScopedLamp | None
    parts_off: tuple[PartOff, ...]
    assumptions: tuple[Message, ...] = ()
    old_film: tuple[OldFilm, ...] = ()

    @property
    def covered(self) -> tuple[ScopedPanel, ...]:
        return tuple(panel for panel in self.panels.values() if panel.covered)

    @property
    def covered_area_m2(self) -> float:
        """All that gets film: panels, lamps, windshield."""
        glass = self.lamps if self.windshield is None else (*self.lamps, self.windshield)
        return sum(panel.covered_area_m2 for panel in self.covered) + sum(lamp.area_m2 for lamp in glass)

    @property
    def is_empty(self) -> bool:
        return not self.covered and not self.lamps and self.windshield is None

"""What the shop keeps of an estimate once a request was sent: the figures and reasons, no geometry and no language.

The body and the drawing can be made again from the selection; the figures that a visitor was told must never change.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from configurator.domain.estimate import Caution, Driver, Estimate, Line, PriceRange
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.light import LampLight
from configurator.domain.message import Message
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import FinishBand, PartOff, ScopedPanel, TreatedEdge
from configurator.domain.timeline import Stay


@dataclass(frozen=True)
class KeptPanel:
    """One panel that is covered, or can't be (`reason` says why)."""

    id: str
    covered: bool
    area_m2: float
    covered_area_m2: float
    material: str
    finish: str | None
    film: str | None
    edges: tuple[TreatedEdge, ...]
    seam_mm: float
    difficulty: float
    reason: Message | None
    bands: tuple[FinishBand, ...] = ()
    """Stripes and their borders; empty where one finish covers all."""


@dataclass(frozen=True)
class KeptPart:
    """A part that comes off and goes back on; minutes are the usual ones for both ways."""

    id: str
    part: str
    panel: str
    role: str
    minutes: float


@dataclass(frozen=True)
class KeptStay:
    drop_off: datetime
    hand_back: datetime
    bay_hours: float
    days_off_road: int


@dataclass(frozen=True)
class KeptEstimate:
    """`typical` and `high` stay are None when nothing was chosen."""

    price_book: str
    price: PriceRange
    labour_hours: Mapping[str, float]
    typical: KeptStay | None
    high: KeptStay | None
    panels: tuple[KeptPanel, ...]
    film: tuple[FilmUse, ...]
    parts: tuple[KeptPart, ...]
    light: tuple[LampLight, ...]
    lines: tuple[Line, ...]
    drivers: tuple[Driver, ...]
    cautions: tuple[Caution, ...]
    assumptions: tuple[Message, ...]
    reason: str | None = None

    @property
    def covered(self) -> tuple[KeptPanel, ...]:
        return tuple(panel for panel in self.panels if panel.covered)

    @property
    def bare_for_a_reason(self) -> tuple[KeptPanel, ...]:
        """Panels that the visitor was told film can't go on."""
        return tuple(panel for panel in self.panels if not panel.covered and panel.reason is not None)


def keep(estimate: Estimate, book: PriceBook) -> KeptEstimate:
    """The figures of an estimate made with this price book, without meshes."""
    timeline = estimate.timeline
    return KeptEstimate(
        price_book=estimate.price_book,
        price=estimate.price,
        labour_hours=dict(estimate.labour_hours),
        typical=_stay(timeline.typical) if timeline else None,
        high=_stay(timeline.high) if timeline else None,
        panels=tuple(_panel(panel) for panel in estimate.scope.panels.values()),
        film=estimate.film,
        parts=tuple(_part(part, book) for part in estimate.scope.parts_off),
        light=estimate.light,
        lines=estimate.lines,
        drivers=estimate.drivers,
        cautions=estimate.cautions,
        assumptions=estimate.assumptions,
        reason=estimate.reason,
    )


def _stay(stay: Stay) -> KeptStay:
    return KeptStay(stay.drop_off, stay.hand_back, round(stay.bay_minutes / 60, 2), stay.days_off_road)


def _panel(panel: ScopedPanel) -> KeptPanel:
    return KeptPanel(
        id=panel.id,
        covered=panel.covered,
        area_m2=round(panel.area_m2, 4),
        covered_area_m2=round(panel.covered_area_m2, 4),
        material=panel.material.value,
        finish=panel.finish,
        film=panel.film,
        edges=panel.edges,
        seam_mm=round(panel.seam_mm, 1),
        difficulty=round(panel.difficulty, 4),
        reason=panel.reason,
        bands=panel.bands if len(panel.bands) > 1 else (),
    )


def _part(part: PartOff, book: PriceBook) -> KeptPart:
    time = book.parts[part.part]
    return KeptPart(part.id, part.part, part.panel, part.role, round(time.off.usual + time.on.usual, 1))

"""The whole chain: selection -> body -> scope -> film -> operations -> timeline -> price, with its explanation."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from configurator.domain.body.records import Body
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.light import LampLight
from configurator.domain.message import Message
from configurator.domain.scope import Scope
from configurator.domain.selection import Selection
from configurator.domain.timeline import Timeline
from configurator.domain.work import Operation


@dataclass(frozen=True)
class Line:
    """One line of the price. Typical figures of all lines add up to the typical price to the smallest unit of money."""

    code: str
    low: Decimal
    typical: Decimal
    high: Decimal
    why: Message


@dataclass(frozen=True)
class PriceRange:
    currency: str
    low: Decimal
    typical: Decimal
    high: Decimal
    tax: str
    confidence: float


@dataclass(frozen=True)
class Caution:
    """`severity`: info, care or stop; `where` a panel, lamp or None; `source` as printed, None for common practice."""

    code: str
    severity: str
    where: str | None
    message: Message
    source: str | None


@dataclass(frozen=True)
class Driver:
    """What the range depends on: a share (0..1) of its variance."""

    code: str
    share: float


@dataclass(frozen=True, eq=False)
class Estimate:
    selection: Selection
    body: Body
    price_book: str
    scope: Scope
    film: tuple[FilmUse, ...]
    operations: tuple[Operation, ...]
    timeline: Timeline | None
    price: PriceRange
    labour_hours: Mapping[str, float]
    """typical and high, from the fitted distribution."""
    light: tuple[LampLight, ...]
    lines: tuple[Line, ...]
    drivers: tuple[Driver, ...]
    cautions: tuple[Caution, ...]
    assumptions: tuple[Message, ...]
    reason: str | None = None
    """`nothing_chosen` when there is nothing to price."""

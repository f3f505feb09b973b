"""What to have in the house before a car comes."""

from collections import Counter
from collections.abc import Iterable
from math import ceil

from configurator.domain.bay.job import Order, PartOrder
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.kept_estimate import KeptPart
from configurator.domain.price_book import PriceBook

REMAKE_SHARE = 0.1
"""Film to have beyond the plan, for pieces cut again. Common practice, no source."""


def order_of(reference: str, rolls: Iterable[FilmUse], parts: Iterable[KeptPart], book: PriceBook) -> Order:
    """The order list of one job."""
    counted = Counter(part.part for part in parts)
    listed = (_part_order(part, count, book) for part, count in counted.items())
    return Order(reference, tuple(rolls), tuple(sorted(listed, key=lambda part: part.part)))


def with_reserve(metres: float) -> float:
    """Metres to have at hand, to the tenth upward."""
    return ceil(round(metres * (1 + REMAKE_SHARE) * 10, 6)) / 10


def totals(orders: Iterable[Order]) -> tuple[tuple[str, float, float], ...]:
    """Film, roll width and metres over several jobs."""
    metres: dict[tuple[str, float], float] = {}
    for order in orders:
        for roll in order.rolls:
            key = (roll.film, roll.roll_width_mm)
            metres[key] = metres.get(key, 0.0) + roll.length_m
    return tuple((film, width, length) for (film, width), length in sorted(metres.items()))


def _part_order(part: str, count: int, book: PriceBook) -> PartOrder:
    known = book.parts[part]
    return PartOrder(part, count, ceil(round(known.break_chance * count, 6)), count if known.consumables else 0)

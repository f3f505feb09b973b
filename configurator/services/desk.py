"""The desk: everything the request services work with, gathered once by the wiring."""

from collections.abc import Callable, Container
from dataclasses import dataclass
from datetime import date

from configurator.domain.agenda import Today
from configurator.domain.desk import Document
from configurator.domain.estimate import Estimate
from configurator.domain.lamps import Measured
from configurator.domain.light import LampLight
from configurator.domain.price_book import PriceBook
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.services.links import Links
from configurator.services.ports import Clock, Letters, Store


@dataclass(frozen=True)
class Desk:
    """What the request services work with.

    `estimate` runs the engine with this shop's data, `light` only its part about lamps and glass; the two selection functions read
    and write the stored document.
    """

    store: Store
    clock: Clock
    shop: Shop
    book: PriceBook
    closed_days: Container[date]
    estimate: Callable[[Selection], Estimate]
    light: Callable[[Selection, Measured], tuple[LampLight, ...]]
    dump_selection: Callable[[Selection], Document]
    load_selection: Callable[[object], Selection]
    letters: Letters
    links: Links
    default_locale: str = "en_US"

    def today(self) -> Today:
        """The day at hand, as the calendar reads it."""
        return Today.at(self.clock(), self.shop.calendar.zone)

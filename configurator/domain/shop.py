"""Everything a shop's estimates rest on, gathered once: its price book, the bodies it knows, rules, cautions, calendar."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from configurator.domain.body.style import BodyStyle
from configurator.domain.calendar import ShopCalendar, calendar_of
from configurator.domain.cautions import CautionRule
from configurator.domain.film_plan.live import FilmModel
from configurator.domain.price_book import PriceBook
from configurator.domain.rules import RuleSet


@dataclass(frozen=True, eq=False)
class Shop:
    """Data only; `configurator.loading.shop` reads it. `closed_days`: public holidays and the shop's own days."""

    book: PriceBook
    styles: Mapping[str, BodyStyle]
    rules: Mapping[str, RuleSet]
    cautions: tuple[CautionRule, ...]
    film_model: FilmModel
    closed_days: frozenset[date]

    @cached_property
    def calendar(self) -> ShopCalendar:
        return calendar_of(self.book.hours, self.closed_days)

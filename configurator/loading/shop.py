"""All of a shop's data from its files, once: the price book (the demo's or a given one) and everything shipped beside it."""

from pathlib import Path

from configurator.domain.price_book import PriceBook
from configurator.domain.shop import Shop
from configurator.errors import Fault, InvalidData
from configurator.loading.body_styles import load_body_styles
from configurator.loading.cautions import load_cautions
from configurator.loading.film_model import load_film_model
from configurator.loading.holidays import closed_days
from configurator.loading.light_rules import load_rule_sets
from configurator.loading.price_book import DEMO, demo_price_book, load_price_book

CALENDAR_YEARS = range(2020, 2061)
"""The years for which the calendar knows its public holidays: every day a car can be brought, and a job's length more."""

__all__ = ["Shop", "load_shop", "shop_with"]


def load_shop(price_book: Path | None = None, *, light_rules: Path | None = None) -> Shop:
    """The shop of a price book file, or the demo shop; `light_rules` is a folder of the shop's own regions.

    Raises InvalidData naming the file and every path at fault.
    """
    if price_book is None:
        return shop_with(demo_price_book(), file=DEMO.name, light_rules=light_rules)
    return shop_with(load_price_book(price_book), file=price_book.name, light_rules=light_rules)


def shop_with(book: PriceBook, *, file: str = "price book", light_rules: Path | None = None) -> Shop:
    """The shop of a price book that was read already (one published in the staff area); `file` names it in faults."""
    rules = load_rule_sets(light_rules)
    unknown = [region for region in book.regions if region not in rules]
    if unknown:
        raise InvalidData(file, [Fault("regions.offered", "no_rules_for_region", {"region": region}) for region in unknown])
    return Shop(
        book=book,
        styles=load_body_styles(),
        rules=rules,
        cautions=load_cautions(),
        film_model=load_film_model(),
        closed_days=closed_days(book.hours, CALENDAR_YEARS, file=file),
    )

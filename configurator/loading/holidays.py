"""Public holidays as plain dates, by country and subdivision, together with the shop's own closed days."""

from collections.abc import Iterable
from datetime import date

import holidays

from configurator.domain.price_book import Hours
from configurator.errors import Fault, InvalidData


def closed_days(hours: Hours, years: Iterable[int], *, file: str = "price book") -> frozenset[date]:
    """The days of these years on which a shop with these hours is closed: public holidays as observed, and its own.

    `holiday_country` is an ISO 3166-1 code; `holiday_subdivision` (a state, a province; ISO 3166-2 without the country) adds its own
    holidays to the country's. Raises InvalidData, naming `file`, for a country or subdivision that isn't known.
    """
    own = frozenset(hours.closed)
    if hours.holiday_country is None:
        return own
    return own | frozenset(_public(hours.holiday_country, hours.holiday_subdivision, sorted(set(years)), file))


def _public(country: str, subdivision: str | None, years: list[int], file: str) -> Iterable[date]:
    try:
        holidays.country_holidays(country)
    except NotImplementedError:
        raise InvalidData(file, [Fault("hours.holiday_country", "unknown_holiday_country", {"country": country})]) from None
    try:
        public: Iterable[date] = holidays.country_holidays(country, subdiv=subdivision, years=years)
    except NotImplementedError:
        facts = {"country": country, "subdivision": subdivision or ""}
        raise InvalidData(file, [Fault("hours.holiday_subdivision", "unknown_holiday_subdivision", facts)]) from None
    return public

"""Dates, times and spans of time as a reader writes them (CLDR through Babel).

A moment is printed on its own clock: the domain hands over times with the shop's offset, and they are never moved to another.
"""

from datetime import date, datetime, time
from decimal import Decimal
from typing import Literal

from babel import Locale
from babel.dates import format_date, format_skeleton, format_time, get_day_names
from babel.units import format_unit

from configurator.wording.figures import Number, rounded

Width = Literal["abbreviated", "narrow", "short", "wide"]


def day(when: date, locale: Locale, *, style: str = "long") -> str:
    """`long` March 8, 2027; `medium` Mar 8, 2027; `short` 3/8/27; `full` Monday, March 8, 2027; `weekday` Mon, Mar 8."""
    if style == "weekday":
        return format_skeleton("MMMEd", when, locale=locale)
    return format_date(when, style, locale=locale)


def clock(when: datetime | time, locale: Locale) -> str:
    """The time of day to the minute."""
    return format_time(when, "short", locale=locale)


def moment(when: datetime, locale: Locale, *, style: str = "weekday") -> str:
    """Day and time of day together."""
    pattern = locale.datetime_formats["medium"]
    return str(pattern).replace("'", "").format(clock(when, locale), day(when, locale, style=style))


def weekday(when: date | int, locale: Locale, *, width: Width = "wide") -> str:
    """A day's name, from a date or from 0 = Monday; `width` wide, abbreviated or short."""
    index = when if isinstance(when, int) else when.weekday()
    return str(get_day_names(width, "stand-alone", locale)[index])


def hours(value: Number, locale: Locale, *, short: bool = False) -> str:
    """Hours to the half hour's tenth: `31.5 hours`."""
    return _span(value, "duration-hour", locale, digits=1, short=short)


def minutes(value: Number, locale: Locale, *, short: bool = False) -> str:
    """Whole minutes: `20 minutes`."""
    return _span(value, "duration-minute", locale, digits=0, short=short)


def days(count: Number, locale: Locale) -> str:
    """Days by the plural rules of the language: `1 day`, `4 days`; a half day keeps its decimal."""
    return _span(count, "duration-day", locale, digits=1, short=False)


def _span(value: Number, unit: str, locale: Locale, *, digits: int, short: bool) -> str:
    exact = rounded(value, digits)
    whole: Decimal | int = int(exact) if exact == exact.to_integral_value() else exact
    return format_unit(whole, unit, "short" if short else "long", locale=locale)

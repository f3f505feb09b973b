"""When a warranty ends, and the dates of after-care."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from configurator.domain.price_book import AfterCare


def warranty_end(start: date, years: int) -> date:
    """The last day of a warranty of whole years from `start`.

    The same date, years later; where that year has no 29 February, the month's last day. As Regulation (EEC, Euratom) No 1182/71,
    Article 3(2)(c), has it for periods expressed in years.
    """
    try:
        return start.replace(year=start.year + years)
    except ValueError:
        return start.replace(year=start.year + years, day=28)


@dataclass(frozen=True)
class Care:
    """The dates of the care sheet: no washing until `dry_until`, washing by hand alone until `by_hand_until`, then the checks."""

    dry_until: datetime
    by_hand_until: date
    checks: tuple[date, ...]


def care_dates(handed_over: datetime, care: AfterCare, first_open_day: Callable[[date], date]) -> Care:
    """The dates for a car handed over then (on the shop's own clock). A check on a closed day moves to the next open one."""
    day = handed_over.date()
    return Care(
        dry_until=handed_over + timedelta(days=care.no_wash_days),
        by_hand_until=day + timedelta(days=care.hand_wash_days),
        checks=tuple(_distinct(first_open_day(day + timedelta(days=after)) for after in care.check_days)),
    )


def _distinct(days: Iterable[date]) -> Iterable[date]:
    return dict.fromkeys(days)

"""When the shop promised to answer: within one of its own working days."""

from collections.abc import Container
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from configurator.domain.price_book import Hours

LONGEST_WAIT_DAYS = 60
"""A shop that is closed for longer than this has no promise to keep; the last day looked at stands."""


def answer_due(received: datetime, hours: Hours, closed_days: Container[date]) -> datetime:
    """The end of the promise for a request: the same time on the next open day, held inside that day's opening hours.

    A request that comes in on a closed day counts as received at the next opening. Aware in, aware (shop's zone) out.
    """
    local = received.astimezone(ZoneInfo(hours.time_zone))
    start = local
    if not _spans(local.date(), hours, closed_days):
        start = _opening(_next_open(local.date(), hours, closed_days), hours, closed_days, local)
    due_day = _next_open(start.date(), hours, closed_days)
    opens, closes = _spans(due_day, hours, closed_days)[0][0], _spans(due_day, hours, closed_days)[-1][1]
    return datetime.combine(due_day, min(max(start.time(), opens), closes), local.tzinfo)


def _opening(day: date, hours: Hours, closed_days: Container[date], like: datetime) -> datetime:
    return datetime.combine(day, _spans(day, hours, closed_days)[0][0], like.tzinfo)


def _next_open(day: date, hours: Hours, closed_days: Container[date]) -> date:
    for ahead in range(1, LONGEST_WAIT_DAYS):
        later = day + timedelta(days=ahead)
        if _spans(later, hours, closed_days):
            return later
    return day + timedelta(days=LONGEST_WAIT_DAYS)


def _spans(day: date, hours: Hours, closed_days: Container[date]) -> list[tuple[time, time]]:
    if day in closed_days or day in hours.closed:
        return []
    return sorted((span.start, span.end) for span in hours.open if span.weekday == day.weekday())

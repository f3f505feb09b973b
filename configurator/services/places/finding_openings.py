"""Free drop-off places for a selection, from today's date in the shop's own time zone."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from configurator.domain import estimating
from configurator.domain.agenda import Agenda
from configurator.domain.openings import openings
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.domain.timeline import Opening

LEAD_DAYS = 1
"""A car can't come on the day it is asked for: somebody has to read the request first."""
HORIZON_DAYS = 90
MOST_SHOWN = 10


def free_places(shop: Shop, selection: Selection, agenda: Agenda, now: datetime) -> tuple[Opening, ...]:
    """The next free places, given what stands in the calendar; none when nothing was chosen. Raises InvalidInput."""
    job = estimating.work(selection, shop)
    if job.scope.is_empty:
        return ()
    today = now.astimezone(ZoneInfo(shop.book.hours.time_zone)).date()
    earliest = today + timedelta(days=LEAD_DAYS)
    start = max(earliest, job.selection.drop_off) if selection.drop_off and job.selection.drop_off else earliest
    calendar = agenda.calendar(shop.calendar)
    return openings(job.operations, calendar, agenda.bookings, start, HORIZON_DAYS, MOST_SHOWN, shop.book)

"""Free places: the next days on which a car can be brought, given what is booked, each with the day it comes back.

A place holds one bay from the drop-off to the late hand-back, so that a job which runs long pushes nobody out. What happens between
finding a place and keeping it is the store's business: it must look again (`is_free`) in the transaction that keeps the booking.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from math import inf
from typing import NamedTuple

from configurator.domain.calendar import NothingOpen, ShopCalendar
from configurator.domain.price_book import PriceBook
from configurator.domain.scheduling import Job, Visit, jobs, open_moment
from configurator.domain.timeline import Booking, Opening, Stay, days_off_road
from configurator.domain.work import Operation, Role

MOST_OPENINGS = 60
MOST_DAYS_AHEAD = 366
QUARTER_HOUR_S = 900
ROUNDING_MINUTES = 0.1
"""Bookings are kept to the hundredth of a minute or so; a day isn't full for that."""

HandMinutes = Mapping[tuple[Role, date], float]


def openings(
    operations: Sequence[Operation],
    calendar: ShopCalendar,
    bookings: Iterable[Booking],
    start: date,
    horizon_days: int,
    limit: int,
    book: PriceBook,
) -> tuple[Opening, ...]:
    """The first `limit` free places with a drop-off on `start` or one of the `horizon_days` - 1 days after it, one a day.

    In date order; the shortest stay (the first of them) is marked. A car can be brought when the shop opens or, rounded up to the
    quarter hour, when an earlier car leaves its bay. No more than MOST_OPENINGS are looked for, nor further than MOST_DAYS_AHEAD.
    """
    typical, high = jobs(operations, calendar, book)
    taken = _Taken.by(bookings, calendar)
    found: list[Opening] = []
    for day in (start + timedelta(days=ahead) for ahead in range(min(horizon_days, MOST_DAYS_AHEAD))):
        if len(found) >= min(limit, MOST_OPENINGS):
            break
        place = _place_on(day, high, taken)
        if place:
            found.append(_opening(*place, typical))
    return _shortest_marked(found)


def is_free(bookings: Iterable[Booking], bay: int, start: datetime, end: datetime) -> bool:
    """Whether nothing is booked in a bay between two aware moments. One car may come the moment another leaves."""
    return _is_free([_held(booking) for booking in bookings], bay, int(start.timestamp()), int(end.timestamp()))


def booking_of(stay: Stay, bay: int, operations: Iterable[Operation]) -> Booking:
    """What a stay (the high one, so that the place holds) takes of the shop: a bay, and hands per day. Its spans must be placed."""
    role_of = {operation.id: operation.role for operation in operations}
    pieces = [(role_of[span.operation], span.start, span.end) for span in stay.placed]
    minutes = _minutes_per_day((role, start, end) for role, start, end in pieces if role)
    installers, assemblers = (
        tuple(sorted((day, spent) for (hands, day), spent in minutes.items() if hands is role)) for role in (Role.INSTALLER, Role.ASSEMBLER)
    )
    return Booking(bay, stay.drop_off, stay.hand_back, installers, assemblers)


class _Held(NamedTuple):
    """A bay that is held from one instant to another (seconds since 1970, whatever zone the booking was written in)."""

    bay: int
    start: int
    end: int


def _held(booking: Booking) -> _Held:
    return _Held(booking.bay, int(booking.start.timestamp()), int(booking.end.timestamp()))


def _is_free(held: Iterable[_Held], bay: int, start: int, end: int) -> bool:
    return not any(each.bay == bay and each.start < end and start < each.end for each in held)


@dataclass(frozen=True)
class _Taken:
    """What is booked: bays, and for each role and day with bookings the minutes of hands that are left."""

    bays: tuple[_Held, ...]
    left: HandMinutes

    @classmethod
    def by(cls, bookings: Iterable[Booking], calendar: ShopCalendar) -> "_Taken":
        booked = tuple(bookings)
        spent: dict[tuple[Role, date], float] = defaultdict(float)
        for booking in booked:
            for role, days in ((Role.INSTALLER, booking.installer_minutes), (Role.ASSEMBLER, booking.assembler_minutes)):
                for day, minutes in days:
                    spent[role, day] += minutes
        left = {(role, day): calendar.minutes_in(role, day) - minutes for (role, day), minutes in spent.items() if minutes}
        return cls(tuple(_held(booking) for booking in booked), left)


def _place_on(day: date, job: Job, taken: _Taken) -> tuple[Visit, int] | None:
    """The first time on that day from which a bay and the hands are there for the whole job, and the bay."""
    for moment in _times_on(day, job.calendar, taken.bays):
        visit = job.brought(moment)
        bay = _free_bay(visit, taken.bays)
        if bay and _hands_are_there(visit, taken.left):
            return visit, bay
    return None


def _times_on(day: date, calendar: ShopCalendar, held: Iterable[_Held]) -> list[datetime]:
    """When a car can be brought on that day: at the opening, and when a booked car leaves. Empty when nobody is there to take it in."""
    if not calendar.can_be_brought(day):
        return []
    first, last = (datetime.combine(day + timedelta(days=ahead), time.min, calendar.zone) for ahead in (0, 1))
    leaving = {each.end for each in held if first.timestamp() <= each.end < last.timestamp()}
    free_from = [datetime.fromtimestamp(-(-end // QUARTER_HOUR_S) * QUARTER_HOUR_S, calendar.zone) for end in leaving]
    times = {open_moment(calendar, moment) for moment in (first, *free_from)}
    return sorted(moment for moment in times if moment.date() == day)


def _free_bay(visit: Visit, held: Iterable[_Held]) -> int | None:
    """The first bay that is free for the whole visit; None also when the visit would never end."""
    try:
        end = int(visit.hand_back.timestamp())
    except NothingOpen:
        return None
    in_the_way = [each for each in held if each.start < end and visit.start < each.end]
    bays = range(1, visit.job.calendar.hours.bays + 1)
    return next((bay for bay in bays if _is_free(in_the_way, bay, visit.start, end)), None)


def _hands_are_there(visit: Visit, left: HandMinutes) -> bool:
    """Whether, on every day with bookings, the hands that the visit needs of a role are left."""
    first, last = visit.diary.moment(visit.start).date(), visit.hand_back.date()
    if not any(first <= day <= last for _, day in left):
        return True
    needed: dict[tuple[Role, date], float] = defaultdict(float)
    for role, stint in visit.stints():
        for day, seconds in _by_day(visit.diary.moment(stint.start), visit.diary.moment(stint.end)):
            needed[role, day] += seconds / 60
            if needed[role, day] > left.get((role, day), inf) + ROUNDING_MINUTES:
                return False
    return True


def _minutes_per_day(pieces: Iterable[tuple[Role, datetime, datetime]]) -> dict[tuple[Role, date], float]:
    """Minutes by role and day of the pieces' own clock; a piece that runs past midnight counts on both days."""
    minutes: dict[tuple[Role, date], float] = defaultdict(float)
    for role, start, end in pieces:
        for day, seconds in _by_day(start, end):
            minutes[role, day] += seconds / 60
    return minutes


def _by_day(start: datetime, end: datetime) -> Iterator[tuple[date, float]]:
    while start.date() < end.date():
        midnight = datetime.combine(start.date() + timedelta(days=1), time.min, start.tzinfo)
        yield start.date(), midnight.timestamp() - start.timestamp()
        start = midnight
    yield start.date(), end.timestamp() - start.timestamp()


def _opening(high: Visit, bay: int, job: Job) -> Opening:
    drop_off = high.diary.moment(high.start)
    typical = job.brought(drop_off).hand_back
    return Opening(
        drop_off=drop_off,
        hand_back_typical=typical,
        hand_back_high=high.hand_back,
        days_typical=days_off_road(drop_off, typical),
        days_high=days_off_road(drop_off, high.hand_back),
        bay=bay,
        shortest=False,
    )


def _shortest_marked(found: Sequence[Opening]) -> tuple[Opening, ...]:
    best = min(found, key=lambda opening: (opening.days_typical, opening.days_high, opening.drop_off), default=None)
    return tuple(replace(opening, shortest=opening is best) for opening in found)

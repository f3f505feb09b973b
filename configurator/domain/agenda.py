"""What stands in the calendar: bookings and blocked time; and why a place isn't free."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, tzinfo
from functools import cached_property, lru_cache

from configurator.domain.appointments import Block, Choice, Place
from configurator.domain.calendar import ShopCalendar, calendar_of
from configurator.domain.message import Fact, Message
from configurator.domain.openings import MOST_DAYS_AHEAD, ROUNDING_MINUTES, is_free
from configurator.domain.timeline import Booking
from configurator.domain.work import Role

HANDS = (Role.INSTALLER, Role.ASSEMBLER)
"""The roles whose minutes a booking takes."""


@dataclass(frozen=True)
class Today:
    """The day at hand on the shop's clock: `now`, and its two midnights."""

    now: datetime
    start: datetime
    end: datetime

    @classmethod
    def at(cls, now: datetime, zone: tzinfo) -> "Today":
        midnight = datetime.combine(now.astimezone(zone).date(), time.min, zone)
        return cls(now, midnight, midnight + timedelta(days=1))


@dataclass(frozen=True)
class Taken:
    """A booking, by the reference of its request."""

    reference: str
    booking: Booking


@dataclass(frozen=True)
class Agenda:
    """Everything that holds a bay or hands from today on."""

    jobs: tuple[Taken, ...] = ()
    blocks: tuple[Block, ...] = ()

    @cached_property
    def bookings(self) -> tuple[Booking, ...]:
        """What is taken, as the search for openings reads it: a blocked bay is a booking that needs no hands."""
        blocked = (Booking(block.bay, block.start, block.end) for block in self.blocks if block.bay is not None)
        return (*(job.booking for job in self.jobs), *blocked)

    def without(self, reference: str) -> "Agenda":
        """The same with one request's own booking out of the way, as when it is moved."""
        return replace(self, jobs=tuple(job for job in self.jobs if job.reference != reference))

    def days_off(self, calendar: ShopCalendar) -> dict[str, frozenset[date]]:
        """The days on which people aren't in, besides those of the price book."""
        found: dict[str, set[date]] = {}
        for block in self.blocks:
            if block.person:
                found.setdefault(block.person, set()).update(days_of(block, calendar))
        return {person: frozenset(days) for person, days in found.items()}

    def calendar(self, usual: ShopCalendar) -> ShopCalendar:
        """The shop's calendar with these people's days off."""
        off = self.days_off(usual)
        return _with_days_off(usual, frozenset(off.items())) if off else usual

    def minutes(self, role: Role, day: date) -> float:
        """Hand-minutes of a role that are taken on a day."""
        return self._minutes.get((role, day), 0.0)

    @cached_property
    def _minutes(self) -> dict[tuple[Role, date], float]:
        spent: dict[tuple[Role, date], float] = {}
        for booking in self.bookings:
            for role in HANDS:
                for day, minutes in hand_minutes(booking, role):
                    spent[role, day] = spent.get((role, day), 0.0) + minutes
        return spent


@lru_cache(maxsize=8)
def _with_days_off(usual: ShopCalendar, off: frozenset[tuple[str, frozenset[date]]]) -> ShopCalendar:
    """Remembered, because writing out a calendar's diary takes longer than looking for a place in it."""
    more = dict(off)
    people = tuple(
        replace(person, days_off=tuple(sorted(more.get(person.name, frozenset()).union(person.days_off)))) for person in usual.hours.people
    )
    return calendar_of(replace(usual.hours, people=people), usual.closed)


def hand_minutes(booking: Booking, role: Role) -> tuple[tuple[date, float], ...]:
    """Minutes of a role by day."""
    return booking.installer_minutes if role is Role.INSTALLER else booking.assembler_minutes


def days_of(block: Block, calendar: ShopCalendar) -> Iterator[date]:
    """The days of the shop's clock that a block touches; its end is not included."""
    first, end = block.start.astimezone(calendar.zone), block.end.astimezone(calendar.zone)
    last = end.date() if end.time() > time.min else end.date() - timedelta(days=1)
    for ahead in range((last - first.date()).days + 1):
        yield first.date() + timedelta(days=ahead)


def in_the_way(choice: Choice, place: Place, agenda: Agenda, calendar: ShopCalendar, now: datetime) -> tuple[Message, ...]:
    """Why a job can't have a place; empty when it can. `calendar` is the one with the agenda's days off."""
    return (*_at_the_door(choice, place, calendar, now), *_in_the_bay(place, agenda, calendar), *_hands_short(place, agenda, calendar))


def _at_the_door(choice: Choice, place: Place, calendar: ShopCalendar, now: datetime) -> Iterator[Message]:
    asked = choice.drop_off.astimezone(calendar.zone)
    if place.drop_off != asked:
        yield Message("place_closed", {"asked": asked, "opens": place.drop_off})
    elif place.drop_off < now:
        yield Message("place_past", {"asked": asked})
    last = now.astimezone(calendar.zone).date() + timedelta(days=MOST_DAYS_AHEAD)
    if asked.date() > last:
        yield Message("place_too_far", {"last": last})


def _in_the_bay(place: Place, agenda: Agenda, calendar: ShopCalendar) -> Iterator[Message]:
    if not 1 <= place.bay <= calendar.hours.bays:
        yield Message("place_no_such_bay", {"bay": place.bay, "bays": calendar.hours.bays})
    for job in agenda.jobs:
        if not is_free([job.booking], place.bay, place.drop_off, place.late_end):
            yield Message("place_bay_held", {"bay": place.bay, "reference": job.reference, **_span(job.booking, calendar)})
    for block in agenda.blocks:
        if block.bay == place.bay and block.start < place.late_end and place.drop_off < block.end:
            span = _span(Booking(block.bay, block.start, block.end), calendar)
            yield Message("place_bay_blocked", {"bay": block.bay, "reason": block.reason, **span})


def _span(booking: Booking, calendar: ShopCalendar) -> dict[str, Fact]:
    return {"start": booking.start.astimezone(calendar.zone), "end": booking.end.astimezone(calendar.zone)}


def _hands_short(place: Place, agenda: Agenda, calendar: ShopCalendar) -> Iterator[Message]:
    for role in HANDS:
        for day, minutes in hand_minutes(place.booking, role):
            taken = agenda.minutes(role, day)
            left = calendar.minutes_in(role, day) - taken
            if taken and minutes > left + ROUNDING_MINUTES:
                facts: dict[str, Fact] = {"role": str(role), "day": day, "needs_h": minutes / 60, "left_h": max(0.0, left) / 60}
                yield Message("place_hands_short", facts)

"""The shop's calendar: when it is open, who is in, and when a car can be brought.

Opening hours are the shop's wall clock, work is done in real seconds: the day a clock changes an open night is an hour shorter
or longer. Every weekday, holiday and person comes in as data; nothing here knows what day it is.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property
from itertools import chain, combinations
from zoneinfo import ZoneInfo

from configurator.domain.open_time import OpenTime, Window, open_time
from configurator.domain.price_book import Hours, Person
from configurator.domain.work import Role
from configurator.errors import Fault, InvalidInput

_EPOCH = datetime(1970, 1, 1)
YEARS_AHEAD = 2
"""A job that isn't handed back by the end of the second year after the drop-off's is refused: the search has an end."""

Places = tuple[tuple[Role, int], ...]
"""How many pieces of work of each role could use a pair of hands at once, in the order of `Role`."""


class NothingOpen(InvalidInput):
    """Nobody who could do the work is in before the calendar's horizon ends. `role` None: the shop itself isn't open."""

    code = "nothing_open"

    def __init__(self, role: Role | None, since: date) -> None:
        self.role = role
        facts = {"role": str(role) if role else "shop", "since": since, "years": YEARS_AHEAD}
        super().__init__([Fault("drop_off", "nothing_open", facts)])


@dataclass(frozen=True)
class Shift:
    """One open window of one day, instants, and the people (by their place in `Diary.people`) who are in."""

    day: date
    start: int
    end: int
    people: frozenset[int]


@dataclass(frozen=True, eq=False)
class Diary:
    """The calendar written out from 1 January of a year to the end of the second year after it."""

    zone: ZoneInfo
    people: tuple[Person, ...]
    shifts: tuple[Shift, ...]
    shop: OpenTime
    _hands: dict[Places, OpenTime] = field(default_factory=dict, repr=False)
    _filled: dict[tuple[Places, frozenset[int]], int] = field(default_factory=dict, repr=False)
    _together: dict[frozenset[Role], OpenTime] = field(default_factory=dict, repr=False)
    _able: dict[tuple[Role, frozenset[int]], tuple[int, ...]] = field(default_factory=dict, repr=False)

    def hands(self, places: Places) -> OpenTime:
        """Open time at the rate at which people can fill `places` at once, each person one place of a role of theirs."""
        if places not in self._hands:
            self._hands[places] = self._at_rate(lambda people: self.filled(places, people))
        return self._hands[places]

    def together(self, roles: frozenset[Role]) -> OpenTime:
        """The open time at which somebody of every role is in."""
        if roles not in self._together:
            self._together[roles] = self._at_rate(lambda people: int(all(self.with_role(role, people) for role in roles)))
        return self._together[roles]

    def filled(self, places: Places, people: frozenset[int]) -> int:
        """The most places that these people can fill at once: the smallest cut over all sets of roles (König's theorem)."""
        if (places, people) not in self._filled:
            cuts = chain.from_iterable(combinations(places, size) for size in range(len(places) + 1))
            self._filled[places, people] = min(self._cut(cut, places, people) for cut in cuts)
        return self._filled[places, people]

    def _cut(self, cut: Places, places: Places, people: frozenset[int]) -> int:
        able = {index for role, _ in cut for index in self.with_role(role, people)}
        return len(able) + sum(number for role, number in places if (role, number) not in cut)

    def with_role(self, role: Role, people: frozenset[int]) -> tuple[int, ...]:
        """Those of some people who have a role, in the order of the price book."""
        if (role, people) not in self._able:
            self._able[role, people] = tuple(index for index in sorted(people) if role in self.people[index].roles)
        return self._able[role, people]

    def shifts_between(self, start: int, end: int) -> Iterator[Shift]:
        """The shifts that share time with [start, end), in order."""
        first = bisect_right(self.shifts, start, key=lambda shift: shift.end)
        for shift in self.shifts[first:]:
            if shift.start >= end:
                return
            yield shift

    def moment(self, instant: int) -> datetime:
        """An instant on the shop's clock."""
        return datetime.fromtimestamp(instant, self.zone)

    def _at_rate(self, rate: Callable[[frozenset[int]], int]) -> OpenTime:
        rates = {people: rate(people) for people in {shift.people for shift in self.shifts}}
        return open_time(Window(shift.start, shift.end, rates[shift.people]) for shift in self.shifts)


@dataclass(frozen=True, eq=False)
class ShopCalendar:
    """Opening hours with breaks, closed days and people in one time zone. Make it with `calendar_of`."""

    hours: Hours
    closed: frozenset[date]
    zone: ZoneInfo
    _diaries: dict[int, Diary] = field(default_factory=dict, repr=False)

    def is_open(self, day: date) -> bool:
        """Whether the shop has any open hours on that day."""
        return day not in self.closed and any(span.weekday == day.weekday() for span in self.hours.open)

    def is_in(self, person: Person, day: date) -> bool:
        """Whether a person works on that day, if the shop is open."""
        return day.weekday() in person.weekdays and day not in person.days_off

    def can_be_brought(self, day: date) -> bool:
        """Whether the shop is open on that day and somebody who checks cars in is there."""
        return self.is_open(day) and any(Role.ADVISOR in person.roles and self.is_in(person, day) for person in self.hours.people)

    def first_open_day(self, day: date) -> date:
        """`day`, or the next one on which a car can be brought. Raises NothingOpen when there is none within YEARS_AHEAD."""
        for ahead in range(min(YEARS_AHEAD * 366, (date.max - day).days)):
            if self.can_be_brought(day + timedelta(days=ahead)):
                return day + timedelta(days=ahead)
        raise NothingOpen(Role.ADVISOR, day)

    def open_minutes(self, start: datetime, end: datetime) -> float:
        """Minutes between two aware moments during which the shop is open."""
        shop = self.diary(start.astimezone(self.zone).date()).shop
        return (shop.done(int(end.timestamp())) - shop.done(int(start.timestamp()))) / 60

    def minutes_in(self, role: Role, day: date) -> float:
        """Hand-minutes of everyone of that role on one day."""
        diary = self.diary(day)
        start, end = (self.instant(datetime.combine(each, time.min)) for each in (day, day + timedelta(days=1)))
        return sum((shift.end - shift.start) * len(diary.with_role(role, shift.people)) for shift in diary.shifts_between(start, end)) / 60

    def diary(self, day: date) -> Diary:
        """The diary that begins with the year of `day`, written once."""
        if day.year not in self._diaries:
            self._diaries[day.year] = self._write(day.year)
        return self._diaries[day.year]

    def instant(self, wall: datetime) -> int:
        """The first instant at which the shop's clock shows `wall` (naive) or later: in a skipped hour, the skip itself."""
        at = wall.replace(tzinfo=self.zone)
        instant = int(at.timestamp())
        if datetime.fromtimestamp(instant, self.zone).replace(tzinfo=None) == wall:
            return instant
        low, high = int(at.replace(fold=1).timestamp()), instant
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if datetime.fromtimestamp(middle, self.zone).replace(tzinfo=None) >= wall else (middle, high)
        return high

    def _write(self, year: int) -> Diary:
        last = min(year + YEARS_AHEAD, date.max.year - 1)
        days = (date(year, 1, 1) + timedelta(days=ahead) for ahead in range((date(last + 1, 1, 1) - date(year, 1, 1)).days))
        shifts = tuple(shift for day in days if self.is_open(day) for shift in self._shifts(day))
        shop = open_time(Window(shift.start, shift.end) for shift in shifts)
        return Diary(self.zone, self.hours.people, shifts, shop)

    def _shifts(self, day: date) -> Iterator[Shift]:
        people = frozenset(index for index, person in enumerate(self.hours.people) if self.is_in(person, day))
        for start, end in _merged(self._windows(day)):
            yield Shift(day, start, end, people)

    def _windows(self, day: date) -> Iterator[tuple[int, int]]:
        """One day's opening spans as instants. A span that ends at 00:00 ends at midnight.

        On a day without a clock change the zone's rules are asked once, not for every span.
        """
        midnight = datetime.combine(day, time.min)
        offset, later = (self._offset(midnight + timedelta(days=ahead)) for ahead in (0, 1))
        for start, end in self._spans[day.weekday()]:
            if offset == later:
                yield _utc(midnight + start - offset), _utc(midnight + end - offset)
            else:
                yield self.instant(midnight + start), self.instant(midnight + end)

    def _offset(self, wall: datetime) -> timedelta:
        return wall.replace(tzinfo=self.zone).utcoffset() or timedelta()

    @cached_property
    def _spans(self) -> tuple[tuple[tuple[timedelta, timedelta], ...], ...]:
        """Per weekday, the opening spans as times since midnight."""
        spans: list[list[tuple[timedelta, timedelta]]] = [[] for _ in range(7)]
        for span in self.hours.open:
            end = _since_midnight(span.end) or timedelta(days=1)
            spans[span.weekday].append((_since_midnight(span.start), end))
        return tuple(map(tuple, spans))


def calendar_of(hours: Hours, closed_days: Iterable[date]) -> ShopCalendar:
    """The calendar for a price book's hours; `closed_days` adds public holidays to the shop's own closed days."""
    return ShopCalendar(hours, frozenset(closed_days) | frozenset(hours.closed), ZoneInfo(hours.time_zone))


def _since_midnight(clock: time) -> timedelta:
    return timedelta(hours=clock.hour, minutes=clock.minute, seconds=clock.second)


def _utc(naive: datetime) -> int:
    return int((naive - _EPOCH).total_seconds())


def _merged(windows: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Windows in order, those that touch or overlap made one."""
    merged: list[tuple[int, int]] = []
    for start, end in sorted(window for window in windows if window[1] > window[0]):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged

"""One week of the calendar put into words and places: a lane for each bay, the load of the hands, and the same as a list by day."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from configurator.domain.agenda import HANDS, Agenda, Taken
from configurator.domain.appointments import Block, BookedJob, Place
from configurator.domain.calendar import ShopCalendar
from configurator.domain.review import State
from configurator.domain.weeks import IsoWeek
from configurator.domain.work import Role
from configurator.web.staff.week_axis import WeekAxis, breaks, is_slim, rows_of, week_axis
from configurator.wording.words import Words

TIGHT = 0.85
"""From this share of a day's hands on, the day is called tight."""


@dataclass(frozen=True)
class Proposal:
    """A place that is looked at, drawn beside what is booked; `is_free` False: something stands in its way."""

    reference: str
    place: Place
    is_free: bool


@dataclass(frozen=True)
class Bar:
    """One block in a lane. Positions in per cent: of the week, `settle` and `spare` of the bar itself.

    `kind`: held, scheduled, in_bay, handed_over, blocked, proposed or clash. `spare`: kept free in case the work takes longer.
    `is_overdue`: the car should have left.
    """

    key: str
    kind: str
    left: float
    width: float
    row: int
    is_slim: bool
    goes_on: bool
    title: str
    reference: str = ""
    car: str = ""
    scope: str = ""
    name: str = ""
    settle: tuple[float, float] | None = None
    spare: tuple[float, float] | None = None
    is_overdue: bool = False


@dataclass(frozen=True)
class Lane:
    bay: int
    bars: tuple[Bar, ...]
    rows: int


@dataclass(frozen=True)
class Load:
    """A role's hands on one day, in minutes; `level`: none, free, tight, full or over."""

    day: date
    booked: float
    proposed: float
    capacity: float
    away: tuple[str, ...]

    @property
    def level(self) -> str:
        spent = self.booked + self.proposed
        if not self.capacity:
            return "over" if spent > 1 else "none"
        share = spent / self.capacity
        return "over" if share > 1.001 else "full" if share > 0.98 else "tight" if share >= TIGHT else "free"

    @property
    def shares(self) -> tuple[float, float]:
        """Booked and proposed as per cent of the capacity, together at most 100."""
        if not self.capacity:
            return 0.0, 0.0
        booked = min(100.0, 100 * self.booked / self.capacity)
        return round(booked, 2), round(min(100.0 - booked, 100 * self.proposed / self.capacity), 2)


@dataclass(frozen=True)
class HandsRow:
    role: Role
    people: tuple[str, ...]
    loads: tuple[Load, ...]


@dataclass(frozen=True)
class Entry:
    """One line of a day's list: `what` happens (comes, stays, settles, ready, blocked, away), when, and with which car."""

    what: str
    at: datetime | None
    job: BookedJob | None = None
    block: Block | None = None


@dataclass(frozen=True)
class DayList:
    day: date
    why_closed: str
    entries: tuple[Entry, ...]
    loads: tuple[tuple[Role, Load], ...]


@dataclass(frozen=True)
class Week:
    week: IsoWeek
    axis: WeekAxis
    pauses: tuple[tuple[float, float], ...]
    closed: dict[date, str]
    lanes: tuple[Lane, ...]
    hands: tuple[HandsRow, ...]
    days: tuple[DayList, ...]
    bays_held: float
    hands_sold: float


@dataclass(frozen=True)
class _Maker:
    axis: WeekAxis
    calendar: ShopCalendar
    usual: ShopCalendar
    jobs: Sequence[BookedJob]
    agenda: Agenda
    proposal: Proposal | None
    say: Words

    def lane(self, bay: int) -> Lane:
        bars = sorted(self._bars(bay), key=lambda bar: (bar.left, bar.left + bar.width))
        rows = rows_of([(bar.left, bar.left + bar.width) for bar in bars])
        return Lane(bay, tuple(_in_row(bar, row) for bar, row in zip(bars, rows, strict=True)), max(rows, default=0) + 1)

    def _bars(self, bay: int) -> Iterator[Bar]:
        for job in self.jobs:
            if job.booking.place.bay == bay and (self.proposal is None or job.reference != self.proposal.reference):
                yield self._job(job)
        for block in self.agenda.blocks:
            if block.bay == bay and block.start < self.axis.end and block.end > self.axis.start:
                yield self._block(block)
        if self.proposal and self.proposal.place.bay == bay and self._touches(self.proposal.place):
            yield self._proposed(self.proposal)

    def _touches(self, place: Place) -> bool:
        return place.drop_off < self.axis.end and place.late_end > self.axis.start

    def _job(self, job: BookedJob) -> Bar:
        kind = "held" if job.state is State.ACCEPTED else job.state.value
        bar = self._bar(f"job-{job.reference}", kind, job.booking.place, job.reference)
        return replace(
            bar, car=car_words(job, self.say), scope=scope_words(job, self.say), name=job.name, is_overdue=job.is_overdue
        )  # fmt: skip

    def _proposed(self, proposal: Proposal) -> Bar:
        kind = "proposed" if proposal.is_free else "clash"
        return self._bar("proposed", kind, proposal.place, proposal.reference)

    def _bar(self, key: str, kind: str, place: Place, reference: str) -> Bar:
        left, right = self.axis.share(place.drop_off), self.axis.share(place.late_end)
        width = max(right - left, 0.2)

        def inside(start: datetime, end: datetime) -> tuple[float, float] | None:
            first, last = ((self.axis.share(moment) - left) / width * 100 for moment in (start, end))
            return (round(first, 2), round(last - first, 2)) if last > first else None

        return Bar(
            key=key,
            kind=kind,
            left=round(left, 3),
            width=round(width, 3),
            row=0,
            is_slim=False,
            goes_on=place.late_end > self.axis.end,
            title=stay_words(place, self.calendar, self.say),
            settle=inside(*place.settles) if place.settles else None,
            spare=inside(place.typical_end, place.late_end),
            reference=reference,
        )

    def _block(self, block: Block) -> Bar:
        left, right = self.axis.share(block.start), self.axis.share(block.end)
        title = span_words(block.start, block.end, self.calendar, self.say)
        return Bar(
            f"block-{block.id}", "blocked", round(left, 3), round(max(right - left, 0.2), 3), 0, False, block.end > self.axis.end, title,
            scope=block.reason,
        )  # fmt: skip

    def hands(self, role: Role) -> HandsRow:
        people = tuple(person.name for person in self.usual.hours.people if role in person.roles)
        return HandsRow(role, people, tuple(self._load(role, column.day) for column in self.axis.columns))

    def _load(self, role: Role, day: date) -> Load:
        others = self.agenda.without(self.proposal.reference) if self.proposal else self.agenda
        proposed = Agenda((Taken("", self.proposal.place.booking),)).minutes(role, day) if self.proposal else 0.0
        away = () if not self.calendar.is_open(day) else tuple(
            person.name for person in self.calendar.hours.people if role in person.roles and not self.calendar.is_in(person, day)
        )  # fmt: skip
        return Load(day, others.minutes(role, day), proposed, self.calendar.minutes_in(role, day), away)

    def day(self, day: date, closed: str) -> DayList:
        loads = tuple((role, self._load(role, day)) for role in HANDS) if not closed else ()
        return DayList(day, closed, tuple(sorted(self._entries(day), key=_order)), loads)

    def _entries(self, day: date) -> Iterator[Entry]:
        for job in self.jobs:
            yield from self._of_job(job, day)
        start, end = (datetime.combine(day + timedelta(days=ahead), time.min, self.calendar.zone) for ahead in (0, 1))
        for block in self.agenda.blocks:
            if block.start < end and block.end > start:
                yield Entry("blocked" if block.bay else "away", None, block=block)

    def _of_job(self, job: BookedJob, day: date) -> Iterator[Entry]:
        place, zone = job.booking.place, self.calendar.zone
        comes, ready, late = (moment.astimezone(zone) for moment in (place.drop_off, place.typical_end, place.late_end))
        if comes.date() == day:
            yield Entry("comes", comes, job)
        elif comes.date() < day < ready.date():
            yield Entry("stays", None, job)
        if ready.date() == day:
            yield Entry("ready", ready, job)
        elif ready.date() < day <= late.date():
            yield Entry("spare", None, job)


def week_of(
    week: IsoWeek,
    usual: ShopCalendar,
    jobs: Sequence[BookedJob],
    blocks: Sequence[Block],
    say: Words,
    *,
    holidays: frozenset[date],
    proposal: Proposal | None = None,
) -> Week:
    """A week of the shop with what is booked in it. `jobs` and `blocks`: those that touch the week."""
    agenda = Agenda(tuple(Taken(job.reference, job.booking.place.booking) for job in jobs), tuple(blocks))
    calendar = agenda.calendar(usual)
    axis = week_axis(week, calendar)
    maker = _Maker(axis, calendar, usual, jobs, agenda, proposal, say)
    closed = {day: _why_closed(day, usual, holidays, say) for day in week.days if not usual.is_open(day)}
    hands = tuple(maker.hands(role) for role in HANDS)
    loads = [load for row in hands for load in row.loads]
    return Week(
        week=week,
        axis=axis,
        pauses=tuple((round(left, 3), round(width, 3)) for left, width in breaks(calendar, axis)),
        closed=closed,
        lanes=tuple(maker.lane(bay) for bay in range(1, usual.hours.bays + 1)),
        hands=hands,
        days=tuple(maker.day(day, closed.get(day, "")) for day in week.days),
        bays_held=_held(agenda, axis, calendar),
        hands_sold=_share(sum(load.booked for load in loads), sum(load.capacity for load in loads)),
    )


def car_words(job: BookedJob, say: Words) -> str:
    """The car in the visitor's words, else its body."""
    return job.car.description or say.name("body", job.body)


def scope_words(job: BookedJob, say: Words) -> str:
    """Package and edges in a few words."""
    return f"{say.name('package', job.package)} · {say.name('edges', job.edges)}"


def stay_words(place: Place, calendar: ShopCalendar, say: Words) -> str:
    """From when to when, and the late case."""
    comes, ready, late = (say.datetime(moment.astimezone(calendar.zone)) for moment in (place.drop_off, place.typical_end, place.late_end))
    if place.late_end == place.typical_end:
        return say.gettext("%(comes)s – %(ready)s") % {"comes": comes, "ready": ready}
    return say.gettext("%(comes)s – %(ready)s, late case %(late)s") % {"comes": comes, "ready": ready, "late": late}


def span_words(start: datetime, end: datetime, calendar: ShopCalendar, say: Words) -> str:
    """A blocked span: whole days as days."""
    first, last = start.astimezone(calendar.zone), end.astimezone(calendar.zone)
    if first.time() == last.time() == time.min:
        days = say.date(first.date(), "weekday"), say.date(last.date() - timedelta(days=1), "weekday")
        return days[0] if days[0] == days[1] else f"{days[0]} – {days[1]}"
    return f"{say.datetime(first)} – {say.datetime(last)}"


def _in_row(bar: Bar, row: int) -> Bar:
    return replace(bar, row=row, is_slim=is_slim(bar.left, bar.left + bar.width))


def _why_closed(day: date, usual: ShopCalendar, holidays: frozenset[date], say: Words) -> str:
    if day in usual.hours.closed:
        return say.gettext("shop closed")
    return say.gettext("public holiday") if day in holidays else say.gettext("closed")


def _order(entry: Entry) -> tuple[bool, float, str]:
    return entry.at is not None, entry.at.timestamp() if entry.at else 0.0, entry.what


def _held(agenda: Agenda, axis: WeekAxis, calendar: ShopCalendar) -> float:
    """The share of the bays' open hours that is booked."""
    whole = calendar.open_minutes(axis.start, axis.end) * calendar.hours.bays
    spans = ((max(each.start, axis.start), min(each.end, axis.end)) for each in agenda.bookings)
    return _share(sum(calendar.open_minutes(start, end) for start, end in spans if start < end), whole)


def _share(part: float, whole: float) -> float:
    return min(1.0, part / whole) if whole else 0.0

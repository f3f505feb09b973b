"""The phase schedule: one phase after the other, each at the optimum its crew can reach, over real opening hours.

Every step from the drop-off to the hand-back is built from sums, maxima and the calendar's own first-in-first-out functions, so
more work, fewer people or fewer open hours never give the car back earlier, and the days off-road never fall when work is added.
(List schedules, which start whatever is ready, do give cars back earlier when work is added: R. L. Graham, Bounds on
multiprocessing timing anomalies, SIAM Journal on Applied Mathematics 17, 1969.)
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from functools import cached_property

from configurator.domain import crew
from configurator.domain.calendar import Diary, NothingOpen, ShopCalendar
from configurator.domain.crew import Bundle, Demand, Limits, Seconds, Stint
from configurator.domain.open_time import OutOfHorizon
from configurator.domain.phases import Phase, phases, planned_seconds
from configurator.domain.price_book import Hours, PriceBook
from configurator.domain.timeline import PhaseSpan, PlacedSpan, Stay, Timeline, days_off_road
from configurator.domain.work import Kind, Operation, Role


def timeline(
    operations: Sequence[Operation], calendar: ShopCalendar, drop_off: date | datetime, book: PriceBook, *, placed: bool = True
) -> Timeline:
    """When a job brought on `drop_off` comes back, typically and at the high end.

    A date stands for the opening of that day, an aware datetime for that moment; where the car can't be brought then, the next
    opening counts and `moved_from` says so. Without `placed` the stays name no people, which is several times as fast.
    Raises NothingOpen, and ValueError for operations that contradict the phases.
    """
    moment = _drop_off(calendar, drop_off)
    typical, high = (job.brought(moment).stay(placed=placed) for job in jobs(operations, calendar, book))
    asked = drop_off.astimezone(calendar.zone).date() if isinstance(drop_off, datetime) else drop_off
    return Timeline(typical, high, moved_from=asked if moment.date() != asked else None)


def _drop_off(calendar: ShopCalendar, drop_off: date | datetime) -> datetime:
    if not isinstance(drop_off, datetime):
        return open_moment(calendar, datetime.combine(calendar.first_open_day(drop_off), time.min, calendar.zone))
    moment = open_moment(calendar, drop_off)
    day = moment.date()
    return moment if calendar.first_open_day(day) == day else _drop_off(calendar, day)


def open_moment(calendar: ShopCalendar, earliest: datetime) -> datetime:
    """The first moment at or after `earliest` (aware) at which the shop is open. Raises NothingOpen."""
    local = earliest.astimezone(calendar.zone)
    diary = calendar.diary(local.date())
    try:
        return diary.moment(diary.shop.next_open(int(local.timestamp())))
    except OutOfHorizon:
        raise NothingOpen(None, local.date()) from None


@dataclass(frozen=True)
class TimedPhase:
    """A phase at one quantile factor: its work, and the conditions that decide when it ends."""

    kinds: tuple[Kind, ...]
    side_by_side: tuple[Bundle, ...]
    in_turn: tuple[Bundle, ...]
    clock: Seconds
    demands: tuple[Demand, ...]


@dataclass(frozen=True)
class Job:
    """Operations at one quantile factor, ready to be tried on any day of a calendar."""

    calendar: ShopCalendar
    limits: Limits
    phases: tuple[TimedPhase, ...]

    def brought(self, drop_off: datetime) -> "Visit":
        """The job with its car brought at `drop_off`, an aware moment at which the shop is open."""
        local = drop_off.astimezone(self.calendar.zone)
        return Visit(self, self.calendar.diary(local.date()), int(local.timestamp()))


def jobs(operations: Sequence[Operation], calendar: ShopCalendar, book: PriceBook) -> tuple[Job, Job]:
    """The operations as a job at the typical and at the high quantile factor."""
    limits = crew_limits(calendar.hours)
    plan = phases(operations, limits)
    typical, high = (Job(calendar, limits, tuple(_timed(phase, k, limits) for phase in plan)) for k in (book.time.k50, book.time.k90))
    return typical, high


def crew_limits(hours: Hours) -> dict[Role, int]:
    """How many people of each role can be at one car; 1 where there is nobody, so that the work isn't taken for done."""
    limits = {role: max(1, sum(role in person.roles for person in hours.people)) for role in Role}
    limits[Role.INSTALLER] = min(limits[Role.INSTALLER], hours.installers_per_car)
    return limits


def _timed(phase: Phase, k: float, limits: Limits) -> TimedPhase:
    side_by_side, in_turn = (
        tuple(bundle for group in groups for bundle in group.bundles(k)) for groups in (phase.side_by_side, phase.in_turn)
    )
    clock = max((planned_seconds(operation, k) for operation in phase.clock), default=0)
    return TimedPhase(phase.kinds, side_by_side, in_turn, clock, crew.demands(side_by_side, limits))


@dataclass(frozen=True)
class Stage:
    """A phase in a visit, instants: it can go on from `start`; what goes on side by side is done at `joined`, all of it at `end`."""

    phase: TimedPhase
    start: int
    joined: int
    end: int


@dataclass(frozen=True)
class Visit:
    """A job whose car is brought at an instant. When it comes back is quick to say; who does what is worked out on demand."""

    job: Job
    diary: Diary
    start: int

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """The phases one after the other. Film settles from the end of its phase; parts go on meanwhile, the rest waits for both."""
        stages: list[Stage] = []
        now = filmed = settled = self.start
        for phase in self.job.phases:
            if Kind.SETTLE in phase.kinds:
                settled = filmed + phase.clock
                stages.append(Stage(phase, filmed, settled, settled))
                continue
            stages.append(self._stage(phase, max(now, settled)))
            now = stages[-1].end
            filmed = filmed if Kind.PARTS_ON in phase.kinds else now
        return tuple(stages)

    def _stage(self, phase: TimedPhase, start: int) -> Stage:
        joined = crew.finish(self.diary, start, phase.demands)
        return Stage(phase, start, joined, crew.finish_in_turn(self.diary, joined, phase.in_turn))

    @cached_property
    def hand_back(self) -> datetime:
        """The end of everything; where that isn't inside opening hours, the next opening."""
        end = max((stage.end for stage in self.stages), default=self.start)
        if not self.diary.shop.holds(end):
            return open_moment(self.job.calendar, self.diary.moment(end))
        return self.diary.moment(end)

    def stay(self, *, placed: bool = True) -> Stay:
        drop_off = self.diary.moment(self.start)
        return Stay(
            drop_off=drop_off,
            hand_back=self.hand_back,
            bay_minutes=self.job.calendar.open_minutes(drop_off, self.hand_back),
            days_off_road=days_off_road(drop_off, self.hand_back),
            placed=self.placed() if placed else (),
            phases=tuple(self._phase_span(stage) for stage in self.stages),
        )

    def placed(self) -> tuple[PlacedSpan, ...]:
        """Who is at which operation when. The spans of one operation add up to its planned minutes; nobody is in two places."""
        return tuple(span for stage in self.stages for span in self._spans(stage))

    def stints(self) -> Iterator[tuple[Role, Stint]]:
        """Who works in which role when, without saying on what."""
        for stage in self.stages:
            for bundles, stints in self._stints(stage):
                yield from ((bundles[stint.bundle].role, stint) for stint in stints)

    def _stints(self, stage: Stage) -> tuple[tuple[Sequence[Bundle], Iterable[Stint]], ...]:
        phase = stage.phase
        shared = crew.share_out(self.diary, stage.start, stage.joined, phase.side_by_side, self.job.limits)
        return (phase.side_by_side, shared), (phase.in_turn, crew.in_turn(self.diary, stage.joined, phase.in_turn))

    def _spans(self, stage: Stage) -> Iterator[PlacedSpan]:
        pieces = [piece for bundles, stints in self._stints(stage) for piece in _along(bundles, stints)]
        for operation, piece in sorted(pieces, key=lambda piece: (piece[1].start, piece[1].person)):
            yield PlacedSpan(operation, self.diary.people[piece.person].name, self.diary.moment(piece.start), self.diary.moment(piece.end))

    def _phase_span(self, stage: Stage) -> PhaseSpan:
        begin = stage.start if stage.phase.clock or stage.start == stage.end else self.diary.shop.next_open(stage.start)
        return PhaseSpan(str(stage.phase.kinds[0]), self.diary.moment(begin), self.diary.moment(stage.end))


def _along(bundles: Sequence[Bundle], stints: Iterable[Stint]) -> Iterator[tuple[str, Stint]]:
    """The operations of all bundles laid along the stints."""
    per_bundle: list[list[Stint]] = [[] for _ in bundles]
    for stint in stints:
        per_bundle[stint.bundle].append(stint)
    for bundle, mine in zip(bundles, per_bundle, strict=True):
        yield from crew.along(bundle, mine)

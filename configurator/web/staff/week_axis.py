"""A week as a ruler: each day from the shop's opening to its closing, weekdays that are never open narrow; and bars laid on it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from itertools import pairwise

from configurator.domain.calendar import ShopCalendar
from configurator.domain.weeks import IsoWeek

NARROW = 0.3
"""How wide a weekday is on which the shop never opens, against one on which it does."""
SLIM = 7.5
"""A bar that takes fewer per cent of the week's width than this has its words beside it; half a day holds them inside."""
BESIDE = 11.0
"""Per cent of the week's width that is kept free for words beside a bar."""


@dataclass(frozen=True)
class Column:
    """One day; `left` and `width` in per cent of the week."""

    day: date
    left: float
    width: float
    is_usual: bool


@dataclass(frozen=True)
class WeekAxis:
    """Moments as per cent of the week's width."""

    columns: tuple[Column, ...]
    opens: time
    closes: time
    calendar: ShopCalendar

    @cached_property
    def start(self) -> datetime:
        """The first moment of the week."""
        return datetime.combine(self.columns[0].day, time.min, self.calendar.zone)

    @cached_property
    def end(self) -> datetime:
        """The first moment of the next week."""
        return datetime.combine(self.columns[-1].day + timedelta(days=1), time.min, self.calendar.zone)

    def share(self, moment: datetime) -> float:
        """Where a moment lies, 0 to 100; the night between two days is where they meet."""
        local = moment.astimezone(self.calendar.zone)
        if local < self.start:
            return 0.0
        column = next((column for column in self.columns if column.day == local.date()), None)
        return 100.0 if column is None else column.left + column.width * self._within(local.time())

    def _within(self, clock: time) -> float:
        whole = _minutes(self.closes) - _minutes(self.opens)
        return min(max((_minutes(clock) - _minutes(self.opens)) / whole, 0.0), 1.0)


def week_axis(week: IsoWeek, calendar: ShopCalendar) -> WeekAxis:
    """The axis of a week of the shop."""
    usual = {span.weekday for span in calendar.hours.open}
    weights = [1.0 if day.weekday() in usual else NARROW for day in week.days]
    scale = 100 / sum(weights)
    columns = tuple(
        Column(day, sum(weights[:place]) * scale, weight * scale, day.weekday() in usual)
        for place, (day, weight) in enumerate(zip(week.days, weights, strict=True))
    )
    spans = calendar.hours.open
    closes = max((span.end if span.end > time.min else time.max for span in spans), key=_minutes)
    return WeekAxis(columns, min(span.start for span in spans), closes, calendar)


def rows_of(spans: Sequence[tuple[float, float]]) -> tuple[int, ...]:
    """A row for each span (left, right) so that no bar, nor the words beside a slim one, covers another: the first that is free."""
    rows: list[float] = []
    placed = []
    for left, right in spans:
        needs = right + BESIDE if is_slim(left, right) else right
        row = next((row for row, taken in enumerate(rows) if taken <= left + 0.01), len(rows))
        rows[row : row + 1] = [needs]
        placed.append(row)
    return tuple(placed)


def is_slim(left: float, right: float) -> bool:
    """Whether a bar is too short for its words."""
    return right - left < SLIM


def breaks(calendar: ShopCalendar, axis: WeekAxis) -> Iterable[tuple[float, float]]:
    """Where the shop pauses on its open days (left, width), in per cent of the week."""
    for column in axis.columns:
        if not calendar.is_open(column.day):
            continue
        spans = sorted((span.start, span.end) for span in calendar.hours.open if span.weekday == column.day.weekday())
        for (_, pause), (again, _) in pairwise(spans):
            if pause < again:
                left, right = (axis.share(datetime.combine(column.day, clock, calendar.zone)) for clock in (pause, again))
                yield left, right - left


def _minutes(clock: time) -> float:
    return clock.hour * 60 + clock.minute + clock.second / 60

"""Who works on the car when: a row for the bay and one for each person, a week a block, in opening hours only.

What a bar is about is said in it and told by its pattern; where somebody isn't in, or the shop is closed, the row is hatched and says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import groupby

from configurator.domain.calendar import ShopCalendar
from configurator.domain.timeline import PlacedSpan, Stay
from configurator.domain.weeks import IsoWeek
from configurator.domain.work import Kind, Operation
from configurator.drawing.ruler import CARD, EDGE, FILM, INK, INK2, RULE, Ruler, dots, figure, hatch, painted
from configurator.drawing.svg import Element, written

HEAD_PX, NAME_PX, BAR_PX, ROW_GAP_PX, BLOCK_GAP_PX = 36.0, 17.0, 26.0, 10.0, 18.0
ROW_PX = NAME_PX + BAR_PX + ROW_GAP_PX
LEAST_LETTERED_SHARE = 0.05
"""A bar that takes less of the width than this isn't lettered. Its words come up under the pointer, and in the list beside the chart."""

SHEET, FILM_SOFT, ON_FILM = "#e9eeed", "#d8ecec", "#ffffff"
LOOKS = {
    Kind.CHECK_IN: "check", Kind.INSPECT: "check", Kind.HAND_OVER: "check",
    Kind.WASH: "prep", Kind.REMOVE_FILM: "prep", Kind.STRIP_COATING: "prep", Kind.CORRECTION: "prep",
    Kind.PARTS_OFF: "parts", Kind.PARTS_ON: "parts",
    Kind.FILM: "film", Kind.LAMP: "film", Kind.WINDSHIELD: "film",
}  # fmt: skip
"""The pattern of each kind of work: outlined, dotted, slanted or solid."""


@dataclass(frozen=True)
class ChartWords:
    """`title`: the chart as one sentence. `days` names those of `chart_days`; `operations` and `people` fall back to ids and names."""

    title: str
    bay: str
    settles: str
    not_in: str
    closed: str
    opens: str
    days: Mapping[date, str]
    people: Mapping[str, str]
    operations: Mapping[str, str]


def chart_days(stay: Stay, calendar: ShopCalendar) -> tuple[date, ...]:
    """The days the chart shows: of every week that the stay touches, those on which the shop usually opens."""
    usual = {span.weekday for span in calendar.hours.open}
    first, last = stay.drop_off.date(), stay.hand_back.date()
    weeks = sorted({IsoWeek.of(first + timedelta(days=ahead)) for ahead in range((last - first).days + 1)})
    return tuple(day for week in weeks for day in week.days if day.weekday() in usual)


def work_chart(
    stay: Stay, operations: Sequence[Operation], calendar: ShopCalendar, words: ChartWords, *, prefix: str, rtl: bool = False
) -> str:
    """The chart as SVG. `stay` must be placed."""
    looks = {operation.id: LOOKS[operation.kind] for operation in operations if operation.kind in LOOKS}
    chart = _Chart(Ruler(rtl), calendar, stay, looks, words, prefix)
    blocks = [list(days) for _, days in groupby(chart_days(stay, calendar), key=IsoWeek.of)]
    drawn = [element for index, days in enumerate(blocks) for element in chart.block(days, index * (chart.block_px + BLOCK_GAP_PX))]
    height = len(blocks) * (chart.block_px + BLOCK_GAP_PX) - BLOCK_GAP_PX
    return figure(*chart.patterns(), *drawn, title=words.title, prefix=prefix, height=height, class_="figure-work", rtl=rtl).to_string()


@dataclass(frozen=True)
class _Columns:
    """A block's days side by side, each from the shop's earliest opening to its latest closing."""

    days: Sequence[date]
    opens: time
    closes: time

    def share(self, moment: datetime) -> float:
        """Where a moment lies in the block's width; before the opening at the opening, after the closing at the closing."""
        if moment.date() > self.days[-1]:
            return 1.0
        index = next(index for index, day in enumerate(self.days) if day >= moment.date())
        return self.within(index, moment.time() if self.days[index] == moment.date() else self.opens)

    def within(self, index: int, clock: time) -> float:
        whole = _seconds(self.closes) - _seconds(self.opens)
        part = (_seconds(clock) - _seconds(self.opens)) / whole
        return (index + min(max(part, 0.0), 1.0)) / len(self.days)


@dataclass(frozen=True)
class _Chart:
    ruler: Ruler
    calendar: ShopCalendar
    stay: Stay
    looks: Mapping[str, str]
    words: ChartWords
    prefix: str

    @property
    def people(self) -> list[str]:
        """Everybody with work on this car, in the order of the price book."""
        at_work = {span.who for span in self.stay.placed}
        return [person.name for person in self.calendar.hours.people if person.name in at_work]

    @property
    def block_px(self) -> float:
        return HEAD_PX + (1 + len(self.people)) * ROW_PX

    def patterns(self) -> list[Element]:
        return [
            hatch(f"{self.prefix}-closed"),
            hatch(f"{self.prefix}-settle", "figure-film-line", FILM, gap=5),
            hatch(f"{self.prefix}-parts", "figure-film-line", FILM, gap=4),
            dots(f"{self.prefix}-prep"),
        ]

    def block(self, days: Sequence[date], top: float) -> Iterator[Element]:
        columns = _Columns(days, *_axis(self.calendar))
        yield from self._head(columns, top)
        yield from self._bay(columns, top + HEAD_PX)
        for row, who in enumerate(self.people, start=1):
            yield from self._person(columns, who, top + HEAD_PX + row * ROW_PX)

    def _head(self, columns: _Columns, top: float) -> Iterator[Element]:
        bottom = top + self.block_px - ROW_GAP_PX
        for index, day in enumerate(columns.days):
            left, right = index / len(columns.days), (index + 1) / len(columns.days)
            lines = [
                self.ruler.text(0.06, 13, self.words.days[day], anchor="start", class_="figure-strong", fill=INK, font_weight=600),
                self.ruler.text(0.06, 27, self.words.opens, anchor="start", class_="figure-tag", fill=INK2),
            ]
            yield self.ruler.cell(left, right, top, HEAD_PX, *lines)
            yield self.ruler.mark(left, top, bottom, class_="figure-rule", stroke=RULE, stroke_width=1)
        yield self.ruler.mark(1, top, bottom, class_="figure-rule", stroke=RULE, stroke_width=1)

    def _name(self, words: str, top: float) -> Element:
        return self.ruler.text(0, top + 13, words, anchor="start", class_="figure-tag figure-name", fill=INK2)

    def _ground(self, columns: _Columns, top: float, *, who: str | None) -> Iterator[Element]:
        """The row's paper: breaks tinted; closed days, and days on which somebody isn't in, hatched and named."""
        for index, day in enumerate(columns.days):
            left, right = index / len(columns.days), (index + 1) / len(columns.days)
            away = self._away(day, who)
            if away:
                yield self.ruler.bar(left, right, y=top, height=BAR_PX, fill=painted(f"{self.prefix}-closed"), opacity=0.55)
                word = self.ruler.text(0.5, 17, away, class_="figure-tag figure-halo", fill=INK2)
                yield self.ruler.cell(left, right, top, BAR_PX, word)
                continue
            for start, end in _breaks(self.calendar, day):
                at = (columns.within(index, start), columns.within(index, end))
                yield self.ruler.bar(*at, y=top, height=BAR_PX, class_="figure-break", fill=SHEET)

    def _away(self, day: date, who: str | None) -> str:
        if not self.calendar.is_open(day):
            return self.words.closed
        person = next((each for each in self.calendar.hours.people if each.name == who), None)
        return self.words.not_in if person and not self.calendar.is_in(person, day) else ""

    def _bay(self, columns: _Columns, top: float) -> Iterator[Element]:
        """From the drop-off to the hand-back, hatched while film settles."""
        bar = top + NAME_PX
        yield self._name(self.words.bay, top)
        yield from self._ground(columns, bar, who=None)
        yield from self._block_bar(columns, self.stay.drop_off, self.stay.hand_back, bar, "figure-bay", FILM_SOFT)
        for phase in self.stay.phases:
            if phase.phase == Kind.SETTLE:
                yield from self._block_bar(columns, phase.start, phase.end, bar, "figure-settle", painted(f"{self.prefix}-settle"))
                yield from self._lettering(columns, phase.start, phase.end, bar, self.words.settles, "figure-halo")

    def _person(self, columns: _Columns, who: str, top: float) -> Iterator[Element]:
        bar = top + NAME_PX
        yield self._name(self.words.people.get(who, who), top)
        yield from self._ground(columns, bar, who=who)
        for span in self.stay.placed:
            if span.who == who and span.start.date() in columns.days:
                yield from self._work(columns, span, bar)

    def _work(self, columns: _Columns, span: PlacedSpan, top: float) -> Iterator[Element]:
        look = self.looks[span.operation]
        words = self.words.operations.get(span.operation, span.operation)
        yield from self._block_bar(columns, span.start, span.end, top, f"figure-{look}", FILM if look == "film" else CARD)
        if look in ("prep", "parts"):
            yield from self._block_bar(columns, span.start, span.end, top, "figure-pattern", painted(f"{self.prefix}-{look}"))
        yield from self._lettering(columns, span.start, span.end, top, words, "figure-on-film" if look == "film" else "figure-halo")

    def _block_bar(self, columns: _Columns, start: datetime, end: datetime, top: float, class_: str, fill: str) -> Iterator[Element]:
        left, right = columns.share(start), columns.share(end)
        if left < right:
            yield self.ruler.bar(left, right, y=top, height=BAR_PX, class_=class_, fill=fill, stroke=EDGE, stroke_width=1)

    def _lettering(self, columns: _Columns, start: datetime, end: datetime, top: float, words: str, class_: str) -> Iterator[Element]:
        """Words over a bar, cut off where it ends; the whole of them comes up under the pointer."""
        left, right = columns.share(start), columns.share(end)
        if left == right:
            return
        area = Element("rect", written("title", words), width="100%", height=BAR_PX, fill="none", pointer_events="all")
        label = self._label(words, class_) if right - left >= LEAST_LETTERED_SHARE else []
        yield self.ruler.cell(left, right, top, BAR_PX, *label, area)

    def _label(self, words: str, class_: str) -> list[Element]:
        colour = ON_FILM if class_ == "figure-on-film" else INK
        inward = -4 if self.ruler.rtl else 4
        look = {"class_": f"figure-small {class_}", "fill": colour, "transform": f"translate({inward} 0)"}
        return [self.ruler.text(0, 17, words, anchor="start", **look)]


def _axis(calendar: ShopCalendar) -> tuple[time, time]:
    """The earliest opening and the latest closing of the week."""
    spans = calendar.hours.open
    return min(span.start for span in spans), max((_closing(span.end) for span in spans), key=_seconds)


def _closing(end: time) -> time:
    """00:00 as an end means the end of the day."""
    return end if end > time.min else time.max


def _breaks(calendar: ShopCalendar, day: date) -> Iterator[tuple[time, time]]:
    """When the shop is closed between the axis's ends on an open day."""
    spans = sorted((span.start, _closing(span.end)) for span in calendar.hours.open if span.weekday == day.weekday())
    now, last = _axis(calendar)
    for start, end in spans:
        if start > now:
            yield now, start
        now = max(now, end)
    if now < last:
        yield now, last


def _seconds(clock: time) -> int:
    return clock.hour * 3600 + clock.minute * 60 + clock.second

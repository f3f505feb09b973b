"""The stay on the calendar: a week a row, solid while the car is with the shop, striped while it may be, closed days hatched.

Each day runs from midnight to midnight, so the bars begin and end part-way into a day, and the marks under them at noon can be
counted: each is one day off-road.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from configurator.drawing.ruler import EDGE, FILM, INK, INK2, RULE, Ruler, figure, hatch, painted, stripes
from configurator.drawing.svg import Element

WEEK = 7
ROW_PX, GAP_PX, BAR_TOP_PX, BAR_PX = 84.0, 8.0, 58.0, 12.0
FITTING_LETTERS = 6
"""A word of so many letters fits under one day on the narrowest phone."""


@dataclass(frozen=True)
class StripDay:
    """One day of the strip in words (`Mon`, `8`); the shop's closed days are hatched."""

    day: date
    weekday: str
    number: str
    closed: bool = False


@dataclass(frozen=True)
class StripWords:
    """`title`: the stay as one sentence. The others stand under a day, so they are short, at best no more than FITTING_LETTERS."""

    title: str
    bring: str
    ready: str
    latest: str
    closed: str


@dataclass(frozen=True)
class StayTimes:
    """When the car is brought, when it is back, and when at the latest; aware, on the shop's clock."""

    drop_off: datetime
    typical: datetime
    high: datetime


def strip_days(times: StayTimes) -> tuple[date, ...]:
    """The days to show: whole rows of seven from the drop-off on, as many as the stay needs."""
    needed = (times.high.date() - times.drop_off.date()).days + 1
    return tuple(times.drop_off.date() + timedelta(days=ahead) for ahead in range(-(-needed // WEEK) * WEEK))


def stay_strip(times: StayTimes, days: Sequence[StripDay], words: StripWords, *, prefix: str, rtl: bool = False) -> str:
    """The strip as SVG; `days` are those of `strip_days`, in words."""
    ruler = Ruler(rtl)
    rows = [days[start : start + WEEK] for start in range(0, len(days), WEEK)]
    drawn = [element for index, row in enumerate(rows) for element in _row(ruler, times, row, words, index * (ROW_PX + GAP_PX), prefix)]
    patterns = [hatch(f"{prefix}-closed"), stripes(f"{prefix}-may")]
    height = len(rows) * (ROW_PX + GAP_PX) - GAP_PX
    return figure(*patterns, *drawn, title=words.title, prefix=prefix, height=height, class_="figure-strip", rtl=rtl).to_string()


def _row(ruler: Ruler, times: StayTimes, days: Sequence[StripDay], words: StripWords, top: float, prefix: str) -> list[Element]:
    begin, ready, latest = (_fraction(moment, days[0].day) for moment in (times.drop_off, times.typical, times.high))
    tags = [_tag(day, times, words) for day in days]
    return [
        *(element for index, day in enumerate(days) for element in _cell(ruler, index, day, tags[index], top, prefix)),
        *(_closed_word(ruler, first, last, words.closed, top) for first, last in _runs(days, tags)),
        *_bar(ruler, begin, ready, top, class_="figure-film", fill=FILM),
        *_bar(ruler, ready, latest, top, class_="figure-may", fill=painted(f"{prefix}-may"), stroke=FILM, stroke_width=1.5),
        *(_noon(ruler, index, top, counted=_fraction_of_noon(index) <= ready) for index in _noons(begin, latest)),
    ]


def _cell(ruler: Ruler, index: int, day: StripDay, tag: str, top: float, prefix: str) -> list[Element]:
    start, end = index / WEEK, (index + 1) / WEEK
    muted = "figure-text-2" if day.closed else "figure-text"
    ground = [ruler.bar(start, end, y=top, height=ROW_PX, fill=painted(f"{prefix}-closed"), opacity=0.55)] if day.closed else []
    words = [
        ruler.text(0.5, 16, day.weekday, class_=muted, fill=INK, font_size=13),
        ruler.text(0.5, 34, day.number, class_=f"{muted} figure-number", fill=INK, font_size=16, font_weight=600),
        *([_small(ruler, tag)] if tag else []),
    ]
    sides = [ruler.mark(side, top, top + ROW_PX, class_="figure-rule", stroke=RULE, stroke_width=1) for side in (start, end)]
    return [*ground, *sides[: 2 if index == WEEK - 1 else 1], ruler.cell(start, end, top, BAR_TOP_PX, *words)]


def _tag(day: StripDay, times: StayTimes, words: StripWords) -> str:
    """What is said under a day: coming back matters more than bringing."""
    said = ((times.typical, words.ready), (times.drop_off, words.bring), (times.high, words.latest))
    return next((word for moment, word in said if moment.date() == day.day), "")


def _runs(days: Sequence[StripDay], tags: Sequence[str]) -> Iterator[tuple[int, int]]:
    """First and last of neighbouring closed days of which nothing else is said: they share one word."""
    closed = [index for index, day in enumerate(days) if day.closed and not tags[index]]
    for _, run in groupby(enumerate(closed), key=lambda pair: pair[1] - pair[0]):
        together = [index for _, index in run]
        yield together[0], together[-1]


def _closed_word(ruler: Ruler, first: int, last: int, word: str, top: float) -> Element:
    return ruler.cell(first / WEEK, (last + 1) / WEEK, top, BAR_TOP_PX, _small(ruler, word, room=last - first + 1, halo=" figure-halo"))


def _small(ruler: Ruler, word: str, *, room: int = 1, halo: str = "") -> Element:
    """A word of the smallest lettering in a cell of `room` days; one too long for a phone keeps its beginning in sight."""
    if len(word) <= FITTING_LETTERS * room:
        return ruler.text(0.5, 50, word, class_=f"figure-tag{halo}", fill=INK2)
    return ruler.text(0.04, 50, word, anchor="start", class_=f"figure-tag figure-tag-long{halo}", fill=INK2, font_size=11)


def _bar(ruler: Ruler, start: float, end: float, top: float, **look: str | float) -> list[Element]:
    """A bar over the part of [start, end) (in days) that lies in the row."""
    start, end = max(start, 0.0), min(end, float(WEEK))
    if start >= end:
        return []
    return [ruler.bar(start / WEEK, end / WEEK, y=top + BAR_TOP_PX, height=BAR_PX, **look)]


def _noons(begin: float, latest: float) -> list[int]:
    """The days of the row whose noon lies in (begin, latest]."""
    return [index for index in range(WEEK) if begin < _fraction_of_noon(index) <= latest]


def _fraction_of_noon(index: int) -> float:
    return index + 0.5


def _noon(ruler: Ruler, index: int, top: float, *, counted: bool) -> Element:
    """The mark under a noon: full when the car is there then, faint when it may be."""
    below = top + BAR_TOP_PX + BAR_PX
    class_, colour = ("figure-noon", INK) if counted else ("figure-noon-may", EDGE)
    return ruler.mark(_fraction_of_noon(index) / WEEK, below + 3, below + 9, class_=class_, stroke=colour, stroke_width=2)


def _fraction(moment: datetime, first: date) -> float:
    """Days from the first day's midnight by the wall clock."""
    clock = moment.hour / 24 + moment.minute / 1440 + moment.second / 86400
    return (moment.date() - first).days + clock

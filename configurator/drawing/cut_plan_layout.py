"""How a roll's plan is laid out on sheets: the scale, where the roll is broken into rows, which rows share a sheet."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from configurator.domain.film_plan.records import Placement, RollPlan

TALLEST_STRIP_MM = 118.0
"""A strip isn't drawn taller than this on paper: the list of its pieces stands below it."""

LONGEST_ROW_MM = 5200.0
"""Film in one row at most; with 1,524 mm across that still leaves a label its size."""

RULER_LEFT_MM, RULER_TOP_MM, FOOT_MM = 11.0, 7.0, 7.0
HEADING_MM = 13.0
LEGEND_MM = 6.0
FOOTER_MM = 5.0
LIST_LINE_MM = 4.6
LIST_HEAD_MM = 5.0
FEWEST_COLUMNS, MOST_COLUMNS = 2, 3

LEAST_STRIP_MM = 60.0
"""However long its list, a strip isn't drawn lower than this."""

BREAK_STEP_MM = 10.0
BREAK_PLAY = 0.12
"""A break may lie this share of a row's length before its even place, where it cuts fewer pieces."""

OVERLAP_MM = 40.0
"""A row shows this much film beyond its break, so that a cut piece is recognised in the next."""


@dataclass(frozen=True)
class Sheet:
    """What of a sheet is free for the plan, mm; header and footer of the document lie outside."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Paper:
    """A sheet of paper, landscape, mm."""

    width_mm: float
    height_mm: float
    margin_mm: float = 12.0

    @property
    def sheet(self) -> Sheet:
        """All of it within the margins."""
        return Sheet(self.width_mm - 2 * self.margin_mm, self.height_mm - 2 * self.margin_mm)


A4_PAPER, LETTER_PAPER = Paper(297.0, 210.0), Paper(279.4, 215.9)
A4, LETTER = Sheet(273.0, 168.0), Sheet(255.0, 172.0)
"""The same papers, with room left for a document's header and footer."""


@dataclass(frozen=True)
class Row:
    """A stretch of the roll, mm from its start: cut pieces between `start_mm` and `end_mm`; a little more is shown."""

    start_mm: float
    end_mm: float
    shown_from_mm: float
    shown_to_mm: float


@dataclass(frozen=True)
class Layout:
    """`scale`: mm on paper per mm of film. `sheets`: the rows of each sheet."""

    scale: float
    sheets: tuple[tuple[Row, ...], ...]


def lay_out(roll: RollPlan, sheet: Sheet) -> Layout:
    """The largest scale at which each row with the list of its pieces fits a sheet; rows broken where fewest pieces are cut.

    A list too long for that is printed in smaller columns rather than making the drawing small.
    """
    rows = _rows(roll)
    longest = max(row.shown_to_mm - row.shown_from_mm for row in rows)
    listed = max(list_height_mm(len(starting_in(roll, [row])), MOST_COLUMNS) for row in rows)
    room = sheet.height_mm - HEADING_MM - LEGEND_MM - RULER_TOP_MM - FOOT_MM - FOOTER_MM
    tallest = min(TALLEST_STRIP_MM, max(room - listed, LEAST_STRIP_MM))
    scale = min(tallest / roll.roll_width_mm, (sheet.width_mm - RULER_LEFT_MM - 2.0) / longest)
    return Layout(scale, tuple(_grouped(roll, rows, scale, sheet)))


def row_height_mm(roll: RollPlan, scale: float) -> float:
    return RULER_TOP_MM + roll.roll_width_mm * scale + FOOT_MM


def list_height_mm(pieces: int, columns: int) -> float:
    """The list's head and as many lines as the longest column has."""
    return LIST_HEAD_MM + -(-pieces // columns) * LIST_LINE_MM


def columns_for(pieces: int, room_mm: float) -> int:
    """Columns of the list: few and broad where that leaves it short enough."""
    return FEWEST_COLUMNS if list_height_mm(pieces, FEWEST_COLUMNS) <= room_mm else MOST_COLUMNS


def starting_in(roll: RollPlan, rows: Sequence[Row]) -> list[Placement]:
    """The placements that begin in `rows`, in cutting order (the roll's last row takes what begins at its very end)."""
    return [placement for placement in cutting_order(roll) if any(row.start_mm <= left_mm(placement) < row.end_mm for row in rows)]


def cutting_order(roll: RollPlan) -> list[Placement]:
    """From the roll's free end on, and from its near edge across where pieces begin together."""
    return sorted(roll.placements, key=lambda placement: (round(left_mm(placement), 1), near_mm(placement)))


def left_mm(placement: Placement) -> float:
    return float(placement.placed(placement.piece.cut)[:, 0].min())


def near_mm(placement: Placement) -> float:
    return float(placement.placed(placement.piece.cut)[:, 1].min())


def _rows(roll: RollPlan) -> list[Row]:
    count = max(1, int(np.ceil(roll.length_mm / LONGEST_ROW_MM)))
    breaks = [0.0]
    for index in range(1, count):
        even = breaks[-1] + (roll.length_mm - breaks[-1]) / (count - index + 1)
        breaks.append(_best_break(roll, even, play_mm=BREAK_PLAY * roll.length_mm / count))
    breaks.append(roll.length_mm)
    return [Row(start, end, max(0.0, start - OVERLAP_MM), min(roll.length_mm, end + OVERLAP_MM)) for start, end in pairwise(breaks)]


def _best_break(roll: RollPlan, even_mm: float, *, play_mm: float) -> float:
    """Where fewest pieces are cut; among equals the place nearest to the even one."""
    extents = np.array([np.r_[_extent(placement)] for placement in roll.placements]).reshape(-1, 2)
    places = np.arange(even_mm - play_mm, even_mm + play_mm / 2, BREAK_STEP_MM)
    cut = ((extents[:, :1] < places) & (extents[:, 1:] > places)).sum(axis=0)
    return float(places[np.lexsort((np.abs(places - even_mm), cut))[0]])


def _extent(placement: Placement) -> tuple[float, float]:
    along = placement.placed(placement.piece.cut)[:, 0]
    return float(along.min()), float(along.max())


def _grouped(roll: RollPlan, rows: Sequence[Row], scale: float, sheet: Sheet) -> list[tuple[Row, ...]]:
    """Rows put on one sheet for as long as they fit with the list of all their pieces."""
    room, sheets = sheet.height_mm - HEADING_MM - LEGEND_MM - FOOTER_MM, [[rows[0]]]
    for row in rows[1:]:
        tried = [*sheets[-1], row]
        if len(tried) * row_height_mm(roll, scale) + list_height_mm(len(starting_in(roll, tried)), MOST_COLUMNS) <= room:
            sheets[-1] = tried
        else:
            sheets.append([row])
    return [tuple(group) for group in sheets]

"""Pieces as bits of one long integer: a roll is a grid of cells, and two pieces overlap where their bits do.

Cell (x, y) of a grid is bit x * rows + y, so moving a piece is a shift. A cell is taken when the outline with its margin meets it;
what a plan wastes by that along the roll is won back by `compaction`, which works with the exact outline row by row.
"""

from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from configurator.domain.film_plan.records import Piece, Ring, turned
from configurator.domain.film_plan.row_spans import TOUCH_MM, Spans, end_for_end, in_rows_twice_as_high, row_spans


@dataclass(frozen=True)
class Grid:
    """Cells of a roll: `along_mm` long, and as many `rows` across as make up the roll's width exactly."""

    roll_width_mm: float
    along_mm: float
    rows: int

    @property
    def across_mm(self) -> float:
        return self.roll_width_mm / self.rows


def coarse_and_fine(roll_width_mm: float, *, along_mm: float, across_mm: float) -> tuple[Grid, Grid]:
    """A grid with cells of about the given size, and one with cells of half its length and breadth."""
    rows = max(1, round(roll_width_mm / across_mm))
    return Grid(roll_width_mm, along_mm, rows), Grid(roll_width_mm, along_mm / 2, 2 * rows)


@dataclass(frozen=True, eq=False)
class Sliced:
    """A piece at one angle on a roll, cut into the `rows` of the fine grid; `offset`: from its box's corner to its own origin."""

    angle_deg: float
    rows: int
    spans: Spans
    length_mm: float
    offset: tuple[float, float]


@dataclass(eq=False, slots=True)
class Shape:
    """A piece at one angle on a grid.

    `mask`: its cells, the lowest left corner of its box at bit 0. `runs`: (first bit, length) of each stretch of cells within a
    column. `spans`: of the exact outline in the grid's rows. `offset`: what to add to the box's corner to get the piece's own origin.
    `no_fit`: for each shape already placed, the places (relative to it, shifted up by `shift` bits) where this one would overlap it;
    filled on demand.
    """

    index: int
    angle_deg: float
    columns: int
    rows: int
    mask: int
    runs: tuple[tuple[int, int], ...]
    spans: Spans
    length_mm: float
    offset: tuple[float, float]
    shift: int
    no_fit: dict[int, int] = field(default_factory=dict)


def sliced(piece: Piece, fine: Grid) -> tuple[Sliced, ...]:
    """`piece` at every angle that its film and the roll allow; none when it is broader than the roll.

    Each second angle is the one before it turned end for end: its rows from the other side.
    """
    found: list[Sliced] = []
    for angle in piece.angles_deg:
        if angle >= 180.0:
            continue
        ring = fitted_nest(piece, angle, fine.roll_width_mm)
        if ring is None:
            continue
        low = ring.min(axis=0)
        length, breadth = (float(extent) for extent in np.ptp(ring, axis=0))
        rows = min(fine.rows, max(1, int(np.ceil(breadth / fine.across_mm - TOUCH_MM))))
        spans = row_spans(ring - low, rows, fine.across_mm)
        found.append(Sliced(angle, rows, spans, length, (-float(low[0]), -float(low[1]))))
        behind, above = length + float(low[0]), rows * fine.across_mm + float(low[1])
        found.append(Sliced(angle + 180.0, rows, end_for_end(spans, rows, length), length, (behind, above)))
    return tuple(sorted(found, key=lambda each: each.angle_deg))


def on_cells(piece: Sliced, cells: Grid, index: int, *, halved: bool) -> Shape:
    """The cells of a sliced piece; `halved`: on the coarse grid, which has half as many rows."""
    rows = -(-piece.rows // 2) if halved else piece.rows
    spans = in_rows_twice_as_high(piece.spans) if halved else piece.spans
    columns = max(1, int(np.ceil(piece.length_mm / cells.along_mm - TOUCH_MM)))
    mask, runs = _cells_taken(spans, columns, cells)
    return Shape(
        index=index,
        angle_deg=piece.angle_deg,
        columns=columns,
        rows=rows,
        mask=mask,
        runs=runs,
        spans=spans,
        length_mm=piece.length_mm,
        offset=piece.offset,
        shift=columns * cells.rows,
    )


def fitted_nest(piece: Piece, angle_deg: float, roll_width_mm: float) -> Ring | None:
    """The outline with its margin, turned; where only the margin is broader than the roll it gives way. None when the piece is broader."""
    nest = turned(piece.nest, angle_deg)
    low, high = float(nest[:, 1].min()), float(nest[:, 1].max())
    if high - low <= roll_width_mm:
        return nest
    cut = turned(piece.cut, angle_deg)[:, 1]
    spare = roll_width_mm - float(np.ptp(cut))
    if spare < 0:
        return None
    below = min(max(spare / 2, spare - (high - float(cut.max()))), float(cut.min()) - low)
    bottom = float(cut.min()) - below
    band = box(float(nest[:, 0].min()) - 1, bottom, float(nest[:, 0].max()) + 1, bottom + roll_width_mm)
    clipped = Polygon(nest).intersection(band)
    return np.asarray(shapely.get_coordinates(clipped.exterior)[:-1]) if clipped.geom_type == "Polygon" else None


def no_fit_mask(placed: Shape, coming: Shape) -> int:
    """Where `coming` would overlap `placed`: bit p + coming.shift for its lowest left corner p bits after that of `placed`.

    The Minkowski sum of the one with the other turned inside out, by shifts: a column's run of n cells is two shifts of a mask that
    was doubled up to the next lower power of two.
    """
    doubled, width = [placed.mask << coming.shift], 1
    longest = max(length for _, length in coming.runs)
    while width * 2 <= longest:
        doubled.append(doubled[-1] | (doubled[-1] >> width))
        width *= 2
    overlap = 0
    for first, length in coming.runs:
        step = length.bit_length() - 1
        smeared = doubled[step]
        if length != 1 << step:
            smeared |= smeared >> (length - (1 << step))
        overlap |= smeared >> first
    return overlap


def _cells_taken(spans: Spans, columns: int, cells: Grid) -> tuple[int, tuple[tuple[int, int], ...]]:
    """The mask of all cells that the spans meet, and its runs."""
    row = spans[:, 0].astype(int)
    first = np.floor((spans[:, 1] + TOUCH_MM) / cells.along_mm).astype(int).clip(0, columns - 1)
    last = np.floor((spans[:, 2] - TOUCH_MM) / cells.along_mm).astype(int).clip(first, columns - 1)
    begun = np.zeros((columns + 1, cells.rows + 1), dtype=np.int16)
    np.add.at(begun, (first, row), 1)
    np.add.at(begun, (last + 1, row), -1)
    taken = np.cumsum(begun[:-1], axis=0) > 0
    change = np.diff(taken.astype(np.int8), axis=1, prepend=0)
    column, begin = np.nonzero(change == 1)
    _, end = np.nonzero(change == -1)
    bits = np.packbits(taken[:, :-1].ravel(), bitorder="little")
    return int.from_bytes(bits.tobytes(), "little"), tuple(zip((column * cells.rows + begin).tolist(), (end - begin).tolist(), strict=True))

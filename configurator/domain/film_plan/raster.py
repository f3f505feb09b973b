"""Pieces as bits of one long integer: a roll is a grid of cells, and two pieces overlap where their bits do.

Cell (x, y) of a grid is bit x * rows + y, so moving a piece is a shift. A cell is taken when the outline with its margin meets it;
what a plan wastes by that along the roll is won back by `compaction`, which works with the exact outline row by row.
"""

from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon, box

from configurator.domain.film_plan.records import Piece, Ring, turned

TOUCH_MM = 1e-6
"""Outlines that only touch a cell's border don't take the cell."""


@dataclass(frozen=True)
class Grid:
    """Cells of a roll: `along_mm` long, and as many `rows` across as make up the roll's width exactly."""

    roll_width_mm: float
    along_mm: float
    rows: int

    @property
    def across_mm(self) -> float:
        return self.roll_width_mm / self.rows


def grid(roll_width_mm: float, *, along_mm: float, across_mm: float) -> Grid:
    """A grid with cells of about the given size."""
    return Grid(roll_width_mm, along_mm, max(1, round(roll_width_mm / across_mm)))


@dataclass(eq=False, slots=True)
class Shape:
    """A piece at one angle on a grid.

    `mask`: its cells, the lowest left corner of its box at bit 0. `runs`: (first bit, length) of each stretch of cells within a
    column. `spans` (k, 3): row, exact left and right end in mm of each stretch of the outline in that row. `offset`: what to add to
    the box's corner to get the piece's own origin. `no_fit`: for each shape already placed, the places (relative to it, shifted up by
    `shift` bits) where this one would overlap it; filled on demand.
    """

    index: int
    angle_deg: float
    columns: int
    rows: int
    mask: int
    runs: tuple[tuple[int, int], ...]
    spans: NDArray[np.float64]
    length_mm: float
    offset: tuple[float, float]
    shift: int
    no_fit: dict[int, int] = field(default_factory=dict)


def rasterise(piece: Piece, angle_deg: float, cells: Grid, index: int) -> Shape | None:
    """`piece` turned by `angle_deg` on `cells`; None when it is broader than the roll."""
    ring = fitted_nest(piece, angle_deg, cells.roll_width_mm)
    if ring is None:
        return None
    low = ring.min(axis=0)
    ring = ring - low
    length, breadth = (float(extent) for extent in ring.max(axis=0))
    rows = min(cells.rows, max(1, int(np.ceil(breadth / cells.across_mm - TOUCH_MM))))
    columns = max(1, int(np.ceil(length / cells.along_mm - TOUCH_MM)))
    spans = _row_spans(ring, rows, cells.across_mm)
    runs = _column_runs(spans, columns, rows, cells)
    mask = sum(((1 << length) - 1) << first for first, length in runs)
    return Shape(
        index=index,
        angle_deg=angle_deg,
        columns=columns,
        rows=rows,
        mask=mask,
        runs=runs,
        spans=spans,
        length_mm=length,
        offset=(-float(low[0]), -float(low[1])),
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


def _row_spans(ring: Ring, rows: int, across_mm: float) -> NDArray[np.float64]:
    """(k, 3): row, left, right of every stretch of the outline within a row's band, exact, sorted by row and left end."""
    bands = shapely.box(-1.0, np.arange(rows) * across_mm + TOUCH_MM, ring[:, 0].max() + 1, (np.arange(rows) + 1) * across_mm - TOUCH_MM)
    slices = shapely.intersection(shapely.polygons(ring), bands)
    parts, row = shapely.get_parts(slices, return_index=True)
    bounds = shapely.bounds(parts)
    kept = ~np.isnan(bounds[:, 0])
    spans = np.stack([row[kept], bounds[kept, 0], bounds[kept, 2]], axis=1)
    return _merged(spans[np.lexsort((spans[:, 1], spans[:, 0]))])


def _merged(spans: NDArray[np.float64]) -> NDArray[np.float64]:
    """Stretches of one row that overlap become one."""
    merged: list[list[float]] = []
    for row, left, right in spans.tolist():
        if merged and merged[-1][0] == row and left <= merged[-1][2]:
            merged[-1][2] = max(merged[-1][2], right)
        else:
            merged.append([row, left, right])
    return np.array(merged)


def _column_runs(spans: NDArray[np.float64], columns: int, rows: int, cells: Grid) -> tuple[tuple[int, int], ...]:
    taken = np.zeros((columns, rows + 1), dtype=np.int8)
    first = np.floor((spans[:, 1] + TOUCH_MM) / cells.along_mm).astype(int).clip(0, columns - 1)
    last = np.floor((spans[:, 2] - TOUCH_MM) / cells.along_mm).astype(int).clip(first, columns - 1)
    for row, start, stop in zip(spans[:, 0].astype(int), first, last, strict=True):
        taken[start : stop + 1, row] = 1
    change = np.diff(taken, axis=1, prepend=0)
    column, begin = np.nonzero(change == 1)
    _, end = np.nonzero(change == -1)
    return tuple((int(x) * cells.rows + int(a), int(b - a)) for x, a, b in zip(column, begin, end, strict=True))

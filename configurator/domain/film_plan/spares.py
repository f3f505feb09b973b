"""Rectangles of film that a plan leaves whole: worth putting back on the shelf as offcuts."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from configurator.domain.film_plan.records import RollPlan

CELL_MM = 20.0
LEAST_SIDE_MM = 300.0
"""Slimmer than this an offcut takes hardly a door handle."""

LEAST_MM2 = 250_000.0
MOST = 2
CLEAR_MM = 3.0
"""Film kept between an offcut and the next piece."""


@dataclass(frozen=True)
class Spare:
    """A rectangle of film without a piece in it: its corner nearest the roll's start and near edge, and its sides, mm."""

    x_mm: float
    y_mm: float
    along_mm: float
    across_mm: float

    @property
    def area_mm2(self) -> float:
        return self.along_mm * self.across_mm


def spare_rectangles(roll: RollPlan) -> tuple[Spare, ...]:
    """The largest rectangles left over, at most two, on a grid of 20 mm; none where nothing is worth keeping."""
    free = _free_cells(roll)
    found: list[Spare] = []
    while len(found) < MOST:
        x, y, along, across = _largest(free)
        spare = Spare(x * CELL_MM, y * CELL_MM, along * CELL_MM, across * CELL_MM)
        if min(spare.along_mm, spare.across_mm) < LEAST_SIDE_MM or spare.area_mm2 < LEAST_MM2:
            break
        found.append(spare)
        free[x : x + along, y : y + across] = False
    return tuple(found)


def _free_cells(roll: RollPlan) -> NDArray[np.bool_]:
    """(columns, rows): whole cells of the run that no piece comes near."""
    columns, rows = int(roll.length_mm // CELL_MM), int(roll.roll_width_mm // CELL_MM)
    x, y = (axis.ravel() * CELL_MM for axis in np.meshgrid(np.arange(columns), np.arange(rows), indexing="ij"))
    cells = shapely.box(x, y, x + CELL_MM, y + CELL_MM)
    pieces = [shapely.Polygon(placement.placed(placement.piece.cut)) for placement in roll.placements]
    taken = shapely.STRtree(cells).query(pieces, predicate="dwithin", distance=CLEAR_MM)[1]
    free = np.ones(columns * rows, dtype=bool)
    free[taken] = False
    return free.reshape(columns, rows)


def _largest(free: NDArray[np.bool_]) -> tuple[int, int, int, int]:
    """(column, row, columns, rows) of the largest rectangle of free cells, at least the least side long and broad.

    Column by column: how far back each row is free; then the largest rectangle under that skyline.
    """
    back = np.zeros(free.shape[1], dtype=int)
    best, least = (0, 0, 0, 0), int(LEAST_SIDE_MM // CELL_MM)
    for column in range(free.shape[0]):
        back = np.where(free[column], back + 1, 0)
        for row, along, across in _under(back.tolist(), least):
            if along * across > best[2] * best[3]:
                best = (column + 1 - along, row, along, across)
    return best


def _under(heights: list[int], least: int) -> list[tuple[int, int, int]]:
    """(first, height, breadth) of every widest rectangle under a skyline that is no smaller than `least` either way."""
    found, rising = [], [(-1, 0)]
    for place, height in enumerate([*heights, 0]):
        first = place
        while rising[-1][1] > height:
            first, tall = rising.pop()
            if tall >= least and place - first >= least:
                found.append((first, tall, place - first))
        if height > rising[-1][1]:
            rising.append((first, height))
    return found

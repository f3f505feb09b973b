"""From cells back to millimetres: every piece moved toward the roll's start until its exact outline meets another."""

from collections.abc import Sequence

import numpy as np

from configurator.domain.film_plan.bottom_left import Placed, Strip

STILL_MM = 1e-9


def compact(strip: Strip, placed: Sequence[Placed]) -> tuple[float, list[float]]:
    """The length in mm and each piece's left end, rows and order within every row kept.

    In each row of cells, neighbours a, b give x_b - x_a >= right end of a - left end of b; the least x that meet all of these are found
    by repeated relaxation (the cells' own places are a solution, so it ends).
    """
    limits = _limits(strip, placed)
    left = [0.0] * len(placed)
    moved = True
    while moved:
        moved = False
        for first, second, distance in limits:
            least = left[first] + distance
            if least > left[second] + STILL_MM:
                left[second], moved = least, True
    return max(x + strip.shapes[item.shape].length_mm for x, item in zip(left, placed, strict=True)), left


def _limits(strip: Strip, placed: Sequence[Placed]) -> list[tuple[int, int, float]]:
    """(a, b, distance) for every pair that are neighbours in some row, the largest distance of all rows, from the roll's start on."""
    rows, along = strip.cells.rows, strip.cells.along_mm
    spans = [strip.shapes[item.shape].spans for item in placed]
    owner = np.repeat(np.arange(len(placed)), [len(part) for part in spans])
    joined = np.concatenate(spans)
    row = joined[:, 0] + np.array([item.at % rows for item in placed])[owner]
    start = np.array([item.at // rows * along for item in placed])[owner] + joined[:, 1]
    order = np.lexsort((start, row))
    row, owner, left, right = row[order], owner[order], joined[order, 1], joined[order, 2]
    neighbours = (row[1:] == row[:-1]) & (owner[1:] != owner[:-1])
    pair = owner[:-1][neighbours] * len(placed) + owner[1:][neighbours]
    distance = np.full(len(placed) ** 2, -np.inf)
    np.maximum.at(distance, pair, (right[:-1] - left[1:])[neighbours])
    pairs = np.nonzero(distance > -np.inf)[0].tolist()
    pairs.sort(key=lambda key: placed[key // len(placed)].at // rows)
    return [(key // len(placed), key % len(placed), float(distance[key])) for key in pairs]

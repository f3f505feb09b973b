"""Which pieces of a panel are butted against which, and for how long a line."""

from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations

import numpy as np
import shapely
from shapely.geometry import Polygon

from configurator.domain.film_plan.flat_panel import ON_EDGE_MM, FlatPanel
from configurator.domain.film_plan.records import SEAM

NEAR_MM = 0.05
"""Lines of two parts this close are one line (both come from one cut; rounding lies far below)."""

LEAST_MM = 1.0
"""Parts that meet over less than this meet at a corner."""

Shown = tuple[FlatPanel, Polygon]
"""What shows of a piece, and the flat section of the panel that it is part of."""


def joint_lengths(shown: Sequence[Shown]) -> dict[tuple[int, int], float]:
    """(i, j), i < j -> mm of line that parts i and j of one panel share, for those that share one."""
    seams = [_seam_of(flat, part) for flat, part in shown]
    found = {}
    for i, j in combinations(range(len(shown)), 2):
        if shown[i][0] is shown[j][0]:
            length = _shared_mm(shown[i][1], shown[j][1])
        else:
            length = sum(length for place, length in seams[i].items() if place in seams[j])
        if length >= LEAST_MM:
            found[i, j] = length
    return found


def _shared_mm(first: Polygon, second: Polygon) -> float:
    """Of two parts in one plane."""
    if first.distance(second) >= NEAR_MM:
        return 0.0
    return float(second.boundary.intersection(first.buffer(NEAR_MM)).length)


def _seam_of(flat: FlatPanel, part: Polygon) -> dict[tuple[float, ...], float]:
    """Middle of each step of the seam to the panel's other section, as built -> its length: both sections have the same steps."""
    steps = np.array([index for index, kind in enumerate(flat.kinds) if kind == SEAM], dtype=int)
    if not len(steps):
        return {}
    middles = shapely.points(flat.segments[steps].mean(axis=1))
    own = steps[shapely.distance(middles, part.boundary) < ON_EDGE_MM]
    lengths: dict[tuple[float, ...], float] = defaultdict(float)
    for start, end in flat.built[own]:
        lengths[tuple(np.round((start + end) / 2, 2).tolist())] += float(np.linalg.norm(end - start))
    return lengths

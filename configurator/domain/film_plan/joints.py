"""Which pieces of a panel are butted against which, and for how long a line."""

from collections.abc import Sequence
from itertools import combinations

from shapely.geometry import Polygon

NEAR_MM = 0.05
"""Lines of two parts this close are one line (both come from one cut; rounding lies far below)."""

LEAST_MM = 1.0
"""Parts that meet over less than this meet at a corner."""


def joint_lengths(shown: Sequence[Polygon]) -> dict[tuple[int, int], float]:
    """(i, j), i < j -> mm of line that parts i and j of one panel share, for those that share one."""
    found = {}
    for (i, first), (j, second) in combinations(enumerate(shown), 2):
        if first.distance(second) < NEAR_MM:
            length = second.boundary.intersection(first.buffer(NEAR_MM)).length
            if length >= LEAST_MM:
                found[i, j] = float(length)
    return found

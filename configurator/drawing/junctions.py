"""Where panels meet in a point: the ends of their common edges. A drawing must show such a point at one place in all its views."""

from functools import lru_cache
from itertools import compress
from operator import ne

import numpy as np

from configurator.domain.body.records import Body, Panel, Points


@lru_cache(maxsize=48)
def junctions(body: Body) -> Points:
    """(k, 3) mm: every vertex of a panel's edge at which the neighbour changes."""
    return np.vstack([panel.mesh.vertices[_changes(panel)] for panel in body.panels.values()])


def _changes(panel: Panel) -> list[int]:
    found: list[int] = []
    for loop in panel.loops:
        before = (loop.neighbours[-1], *loop.neighbours[:-1])
        found += compress(loop.indices.tolist(), map(ne, loop.neighbours, before))
    return found

"""Boundary rings of triangle sets, with what lies beyond each of their segments."""

import numpy as np

from configurator.domain.body.records import Indices

_OPEN = "a boundary that doesn't close"


def chained(edges: Indices) -> list[list[int]]:
    """Directed edges (k, 2) as closed rings of edge numbers, each edge following the one that ends where it starts.

    Where a vertex has several ways out (two rings that touch there), a ring takes the last one that is left. ValueError when a
    boundary doesn't close.
    """
    starts, ends = edges[:, 0].tolist(), edges[:, 1].tolist()
    following = dict(zip(starts, range(len(starts)), strict=True))
    if len(following) < len(starts):
        return _chained_through_pinches(starts, ends)
    rings = []
    while following:
        home, number = following.popitem()
        ring, here = [number], ends[number]
        while here != home:
            number = following.pop(here, -1)
            if number < 0:
                raise ValueError(_OPEN)
            ring.append(number)
            here = ends[number]
        rings.append(ring)
    return rings


def _chained_through_pinches(starts: list[int], ends: list[int]) -> list[list[int]]:
    """As `chained`, for boundaries that have vertices with several ways out."""
    leaving: dict[int, list[int]] = {}
    for number, start in enumerate(starts):
        leaving.setdefault(start, []).append(number)
    rings = []
    for first, home in enumerate(starts):
        if first not in leaving[home]:
            continue
        leaving[home].remove(first)
        ring, here = [first], ends[first]
        while here != home:
            if not leaving.get(here):
                raise ValueError(_OPEN)
            number = leaving[here].pop()
            ring.append(number)
            here = ends[number]
        rings.append(ring)
    return rings


def outer_first(rings: list[list[int]], lengths: np.ndarray) -> list[list[int]]:
    """Rings with the longest (the outer one) first."""
    return rings if len(rings) < 2 else sorted(rings, key=lambda ring: -float(lengths[ring].sum()))

"""Boundary rings of triangle sets, with what lies beyond each of their segments."""

import numpy as np

from configurator.domain.body.records import Indices


def chained(edges: Indices) -> list[list[int]]:
    """Directed edges (k, 2) as closed rings of edge numbers, each edge following the one that ends where it starts.

    Where a vertex has several ways out (two rings that touch), the ring takes the first that is left.
    """
    leaving: dict[int, list[int]] = {}
    for number, start in enumerate(edges[:, 0].tolist()):
        leaving.setdefault(start, []).append(number)
    ends = edges[:, 1].tolist()
    starts = edges[:, 0].tolist()
    rings = []
    for first in range(len(edges)):
        if first not in leaving.get(starts[first], ()):
            continue
        ring = _followed(first, starts, ends, leaving)
        if ring:
            rings.append(ring)
    return rings


def _followed(first: int, starts: list[int], ends: list[int], leaving: dict[int, list[int]]) -> list[int]:
    ring, here = [], first
    while True:
        leaving[starts[here]].remove(here)
        ring.append(here)
        if ends[here] == starts[first]:
            return ring
        ways = leaving.get(ends[here])
        if not ways:
            raise ValueError("a boundary that doesn't close")
        here = ways[0]


def outer_first(rings: list[list[int]], lengths: np.ndarray) -> list[list[int]]:
    """Rings with the longest (the outer one) first."""
    return sorted(rings, key=lambda ring: -float(lengths[ring].sum()))

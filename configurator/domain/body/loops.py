"""Boundary rings of triangle sets, with what lies beyond each of their segments."""

import numpy as np

from configurator.domain.body.records import Indices


def chained(edges: Indices) -> list[list[int]]:
    """Directed edges (k, 2) as closed rings of edge numbers, each edge following the one that ends where it starts.

    Where a vertex has several ways out (two rings that touch there), a ring takes the last one that is left. ValueError when a
    boundary doesn't close.
    """
    starts, ends = edges[:, 0].tolist(), edges[:, 1].tolist()
    leaving: dict[int, list[int]] = {}
    for number, start in enumerate(starts):
        leaving.setdefault(start, []).append(number)
    rings = []
    for first in range(len(starts)):
        ways = leaving[starts[first]]
        if first in ways:
            ways.remove(first)
            rings.append(_followed(first, starts[first], ends, leaving))
    return rings


def _followed(first: int, home: int, ends: list[int], leaving: dict[int, list[int]]) -> list[int]:
    ring, here = [first], ends[first]
    while here != home:
        ways = leaving.get(here)
        if not ways:
            raise ValueError("a boundary that doesn't close")
        number = ways.pop()
        ring.append(number)
        here = ends[number]
    return ring


def outer_first(rings: list[list[int]], lengths: np.ndarray) -> list[list[int]]:
    """Rings with the longest (the outer one) first."""
    return sorted(rings, key=lambda ring: -float(lengths[ring].sum()))

"""Solve a mesh's sparse, symmetric, positive definite system: a small one by its inverse, a large one by layers of neighbours.

Ordered by their distance (in sides) from one end, the points of a mesh make its matrix block-tridiagonal: a layer touches only the
layers beside it. The blocks are small and are factored one after another (level structures and block elimination: George and Liu
1981, "Computer Solution of Large Sparse Positive Definite Systems"; from memory). For a bumper's thousand points this takes a fiftieth
of a dense inverse.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import Protocol

import numpy as np

from configurator.domain.body.records import Indices, Points

_SMALL = 320
"""Points up to which one dense product costs less than many small ones."""


class Laplacian(Protocol):
    """The cotangent Laplacian of a mesh, made ready once; `solve` takes right-hand sides (n, k) again and again."""

    def solve(self, right: Points) -> Points:
        """The points (n, k) whose Laplacian is `right` (n, k)."""


def laplacian(count: int, triangles: Indices, weights: Points) -> Laplacian:
    """`weights` (m, 3) of the sides 01, 12, 20 of each of `triangles` (m, 3) between `count` points.

    The first point is held lightly, since a shift of all changes nothing.
    """
    return (DenseLaplacian if count <= _SMALL else LayeredLaplacian)(count, triangles, weights)


def _sides(count: int, triangles: Indices, weights: Points) -> tuple[Indices, Indices, Points, Points]:
    """Ends (3m,), (3m,) and weights (3m,) of all sides, and the diagonal (n,)."""
    a, b, w = triangles.T.ravel(), triangles[:, [1, 2, 0]].T.ravel(), weights.T.ravel()
    diagonal = np.asarray(np.bincount(a, w, count) + np.bincount(b, w, count) + 1e-9, dtype=np.float64)
    diagonal[0] += 1.0
    return a, b, w, diagonal


class DenseLaplacian:
    def __init__(self, count: int, triangles: Indices, weights: Points) -> None:
        a, b, w, diagonal = _sides(count, triangles, weights)
        beside = np.bincount(a * count + b, w, count * count).reshape(count, count)
        self._inverse = np.linalg.inv(np.diag(diagonal) - beside - beside.T)

    def solve(self, right: Points) -> Points:
        return np.asarray(self._inverse @ right)


class LayeredLaplacian:
    def __init__(self, count: int, triangles: Indices, weights: Points) -> None:
        a, b, w, diagonal = _sides(count, triangles, weights)
        layers = _layers(count, a, b)
        self._order = np.concatenate(layers)
        self._bounds = np.r_[0, np.cumsum([len(layer) for layer in layers])]
        self._factor(*self._blocks(layers, a, b, w, diagonal))

    def _blocks(self, layers: list[Indices], a: Indices, b: Indices, w: Points, diagonal: Points) -> tuple[list[Points], list[Points]]:
        """Blocks on the diagonal, and above it from each layer to the next."""
        place, layer_of = np.empty(len(self._order), int), np.empty(len(self._order), int)
        place[self._order] = np.arange(len(self._order))
        for number, layer in enumerate(layers):
            layer_of[layer] = number
        first, second = np.where(place[a] < place[b], a, b), np.where(place[a] < place[b], b, a)
        row, column = place[first] - self._bounds[layer_of[first]], place[second] - self._bounds[layer_of[second]]
        on = [np.diag(diagonal[layer]) for layer in layers]
        above = [np.zeros((len(near), len(far))) for near, far in pairwise(layers)]
        inside = layer_of[first] == layer_of[second]
        for number in range(len(layers)):
            here = layer_of[first] == number
            own, across = here & inside, here & ~inside
            np.add.at(on[number], (row[own], column[own]), -w[own])
            np.add.at(on[number], (column[own], row[own]), -w[own])
            if number < len(above):
                np.add.at(above[number], (row[across], column[across]), -w[across])
        return on, above

    def _factor(self, on: list[Points], above: list[Points]) -> None:
        self._inverses, self._carries = [], []
        rest = on[0]
        for number, following in enumerate([*on[1:], None]):
            inverse = np.linalg.inv(rest)
            self._inverses.append(inverse)
            if following is not None:
                carry = inverse @ above[number]
                self._carries.append(carry)
                rest = following - above[number].T @ carry

    def solve(self, right: Points) -> Points:
        ordered = right[self._order]
        parts = [ordered[start:end] for start, end in pairwise(self._bounds)]
        for number, carry in enumerate(self._carries):
            parts[number + 1] = parts[number + 1] - carry.T @ parts[number]
        parts[-1] = self._inverses[-1] @ parts[-1]
        for number in range(len(parts) - 2, -1, -1):
            parts[number] = self._inverses[number] @ parts[number] - self._carries[number] @ parts[number + 1]
        solved = np.empty_like(ordered)
        solved[self._order] = np.concatenate(parts)
        return solved


def _layers(count: int, a: Indices, b: Indices) -> list[Indices]:
    """All points in layers, each connected piece of the mesh from one of its far ends."""
    tails, heads = np.r_[a, b], np.r_[b, a]
    order = np.argsort(tails, kind="stable")
    heads = heads[order]
    starts = np.searchsorted(tails[order], np.arange(count + 1))

    def neighbours(point: int) -> Indices:
        return np.asarray(heads[starts[point] : starts[point + 1]])

    seen, found = np.zeros(count, bool), []
    while not seen.all():
        far_end = int(_spread(int(np.flatnonzero(~seen)[0]), count, neighbours)[-1][0])
        piece = _spread(far_end, count, neighbours)
        seen[np.concatenate(piece)] = True
        found += piece
    return found


def _spread(root: int, count: int, neighbours: Callable[[int], Indices]) -> list[Indices]:
    """Layers of points at 0, 1, 2, ... sides from the root."""
    reached = np.zeros(count, bool)
    reached[root] = True
    layers = [np.array([root])]
    while True:
        touching = np.unique(np.concatenate([neighbours(point) for point in layers[-1]] or [np.empty(0, int)]))
        fresh = touching[~reached[touching]]
        if not len(fresh):
            return layers
        reached[fresh] = True
        layers.append(fresh)

"""The directed sides of a triangle mesh and who shares them. Side 3t + k runs from corner k of triangle t to its next corner."""

from dataclasses import dataclass

import numpy as np

from configurator.domain.body.records import Indices


def half_edges(triangles: Indices) -> Indices:
    """(3m, 2): the directed sides of triangle 0, then 1, ..."""
    edges = np.empty((triangles.size, 2), dtype=triangles.dtype)
    edges[:, 0], edges[:, 1] = triangles.ravel(), triangles[:, [1, 2, 0]].ravel()
    return edges


def undirected(edges: Indices, count: int) -> Indices:
    """One number per edge (k, 2), the same for both directions. `count`: number of vertices."""
    return np.asarray(np.minimum(edges[:, 0], edges[:, 1]) * count + np.maximum(edges[:, 0], edges[:, 1]))


def compact(triangles: Indices, count: int) -> tuple[Indices, Indices]:
    """The vertices (of `count`) that triangles use, ascending, and the triangles in numbers of their own, (m, 3)."""
    used = np.zeros(count, dtype=bool)
    used[triangles] = True
    return np.flatnonzero(used), (np.cumsum(used) - 1)[triangles]


@dataclass(frozen=True, eq=False)
class Sides:
    """`edges` (3m, 2); `twins` (3m,): the number of each side's reverse, or -1 where the mesh ends."""

    edges: Indices
    twins: Indices
    count: int
    sorted_keys: Indices
    order: Indices

    def find(self, wanted: Indices) -> tuple[Indices, Indices]:
        """(k,) and (k,): the numbers of directed edges (k, 2) and of their reverses, or -1 for those that no triangle has."""
        keys = undirected(wanted, self.count)
        place = np.minimum(np.searchsorted(self.sorted_keys, keys), len(self.sorted_keys) - 1)
        first = np.where(self.sorted_keys[place] == keys, self.order[place], -1)
        other = np.where(first < 0, -1, self.twins[first])
        forward = self.edges[first, 0] == wanted[:, 0]
        return np.where(forward, first, other), np.where(forward, other, first)


def sides_of(triangles: Indices, count: int) -> Sides:
    """Sides of a mesh in which no edge belongs to more than two triangles."""
    edges = half_edges(triangles)
    keys = undirected(edges, count)
    order = np.argsort(keys)
    sorted_keys = keys[order]
    shared = np.flatnonzero(sorted_keys[1:] == sorted_keys[:-1])
    twins = np.full(len(edges), -1)
    twins[order[shared]], twins[order[shared + 1]] = order[shared + 1], order[shared]
    return Sides(edges, twins, count, sorted_keys, order)


def outline(triangles: Indices, count: int) -> Indices:
    """(k, 2): the directed sides that no other triangle shares."""
    edges = half_edges(triangles)
    keys = undirected(edges, count)
    order = np.argsort(keys)
    shared = np.flatnonzero(np.diff(keys[order]) == 0)
    alone = np.ones(len(edges), dtype=bool)
    alone[order[shared]] = alone[order[shared + 1]] = False
    return edges[alone]

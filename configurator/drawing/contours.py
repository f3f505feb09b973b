"""Where a field on a triangle mesh crosses a level: outlines of what faces the eye, of a band between planes, of a shade."""

from dataclasses import dataclass

import numpy as np

from configurator.domain.body import sides
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.sides import undirected
from configurator.drawing.surfaces import Flags


@dataclass(frozen=True, eq=False)
class CutMesh:
    """The part of a mesh on one side of a cut. `sources[i]` is a vertex of the whole mesh at point i, or at one end of the edge it cuts."""

    points: Points
    triangles: Indices
    sources: Indices


@dataclass(frozen=True, eq=False)
class Contours:
    """Rings as indices into `points`; `sources[i]` is a mesh vertex of the same mesh part as point i."""

    points: Points
    sources: Indices
    rings: list[Indices]


def cut_mesh(points: Points, triangles: Indices, field: Points) -> CutMesh:
    """The part where a field that is linear in each triangle is positive. Neighbours share the cut's points; triangles keep their turn.

    `points` (n, k) in the plane or in space, `field` (n,).
    """
    inside = (field > 0)[triangles]
    corners = inside[:, 0].astype(np.int8) + inside[:, 1] + inside[:, 2]
    one, two = (_odd_first(triangles[corners == kept], inside[corners == kept], kept) for kept in (1, 2))
    crossed = np.vstack([one[:, [0, 1]], one[:, [0, 2]], two[:, [0, 1]], two[:, [0, 2]]])
    unique, place = np.unique(undirected(crossed, len(points)), return_inverse=True)
    low, high = unique // len(points), unique % len(points)
    share = (field[low] / (field[low] - field[high]))[:, None]
    every_point = np.vstack([points, points[low] + share * (points[high] - points[low])])
    kept = np.vstack([triangles[corners == 3], _cut_triangles(one, two, len(points) + place)])
    return CutMesh(every_point, kept, np.concatenate([np.arange(len(points)), low]))


def level_rings(points: Points, triangles: Indices, field: Points, *, level: float) -> Contours:
    """Rings around {field > level} on a mesh whose field is linear in each triangle. They turn as the triangles do, holes the other way."""
    part = cut_mesh(points, triangles, field - level)
    rings = chain(border(part.triangles, len(part.points)))
    return Contours(part.points, part.sources, [ring for ring in rings if len(ring) > 2])


def border(triangles: Indices, count: int) -> Indices:
    """Directed edges (k, 2) of triangles whose reverse belongs to none of them; `count` is the number of points."""
    return sides.outline(triangles, count)


def chain(edges: Indices) -> list[Indices]:
    """Directed edges (k, 2) joined end to end into closed rings of indices. Every point must have as many edges out as in.

    Each edge is followed by one that starts where it ends; by doubling the stride of that step, every edge learns its ring (the
    lowest edge number in it) and how far it is from the ring's end, all rings at once.
    """
    if not len(edges):
        return []
    by_start, by_end = np.argsort(edges[:, 0], kind="stable"), np.argsort(edges[:, 1], kind="stable")
    if (edges[by_start, 0] != edges[by_end, 1]).any():
        raise ValueError("edges don't close into rings")
    following = np.empty(len(edges), dtype=np.int64)
    following[by_end] = by_start
    ring, stride = np.arange(len(edges)), following
    for _ in range(len(edges).bit_length()):
        ring, stride = np.minimum(ring, ring[stride]), stride[stride]
    is_last = following == ring
    away, stride = np.where(is_last, 0, 1), np.where(is_last, np.arange(len(edges)), following)
    for _ in range(len(edges).bit_length()):
        away, stride = away + away[stride], stride[stride]
    order = np.lexsort((-away, ring))
    return np.split(edges[order, 0], np.flatnonzero(np.diff(ring[order])) + 1)


def _odd_first(triangles: Indices, inside: Flags, kept: int) -> Indices:
    """Triangles turned so that the corner that differs from the other two comes first."""
    odd = np.argmax(inside if kept == 1 else ~inside, axis=1)
    rows = np.arange(len(triangles))
    return np.stack([triangles[rows, (odd + shift) % 3] for shift in range(3)], axis=1)


def _cut_triangles(one: Indices, two: Indices, cuts: Indices) -> Indices:
    """What a cut leaves of triangles with one corner inside (a triangle) and with two (a quadrangle, as two triangles)."""
    k, m = len(one), len(two)
    one_ab, one_ac, two_ab, two_ac = cuts[:k], cuts[k : 2 * k], cuts[2 * k : 2 * k + m], cuts[2 * k + m :]
    triples = [(one[:, 0], one_ab, one_ac), (two_ab, two[:, 1], two[:, 2]), (two_ab, two[:, 2], two_ac)]
    return np.vstack([np.stack(triple, axis=1) for triple in triples])

"""Where a field on a triangle mesh crosses a level: outlines of what faces the eye, of a band between planes, of a shade."""

from dataclasses import dataclass

import numpy as np

from configurator.domain.body.records import Indices, Points
from configurator.drawing.surfaces import Flags


@dataclass(frozen=True, eq=False)
class Contours:
    """Rings as lists of indices into `points`; `sources[i]` is a mesh vertex of the same mesh part as point i."""

    points: Points
    sources: Indices
    rings: list[Indices]


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
    for _ in range(int(len(edges)).bit_length()):
        ring, stride = np.minimum(ring, ring[stride]), stride[stride]
    is_last = following == ring
    away, stride = np.where(is_last, 0, 1), np.where(is_last, np.arange(len(edges)), following)
    for _ in range(int(len(edges)).bit_length()):
        away, stride = away + away[stride], stride[stride]
    order = np.lexsort((-away, ring))
    return np.split(edges[order, 0], np.flatnonzero(np.diff(ring[order])) + 1)


def level_rings(points: Points, triangles: Indices, field: Points, *, level: float) -> Contours:
    """Rings around {field > level} on a mesh whose field is linear in each triangle.

    `points` (n, k) in the plane or in space, `field` (n,). Rings turn as the triangles do, holes the other way.
    """
    above = field - level
    inside = (above > 0)[triangles]
    corners = inside.sum(axis=1)
    whole = triangles[corners == 3]
    one, two = (_odd_first(triangles[corners == kept], inside[corners == kept], kept) for kept in (1, 2))
    crossed = np.vstack([one[:, [0, 1]], one[:, [0, 2]], two[:, [0, 1]], two[:, [0, 2]]])
    unique, place = np.unique(crossed.min(axis=1) * len(points) + crossed.max(axis=1), return_inverse=True)
    low, high = unique // len(points), unique % len(points)
    share = (above[low] / (above[low] - above[high]))[:, None]
    every_point = np.vstack([points, points[low] + share * (points[high] - points[low])])
    edges = np.vstack([_sides(whole), _cut_sides(one, two, len(points) + place)])
    sources = np.concatenate([np.arange(len(points)), low])
    return Contours(every_point, sources, [ring for ring in chain(_outer(edges, len(every_point))) if len(ring) > 2])


def _odd_first(triangles: Indices, inside: Flags, kept: int) -> Indices:
    """Triangles turned so that the corner that differs from the other two comes first."""
    odd = np.argmax(inside if kept == 1 else ~inside, axis=1)
    rows = np.arange(len(triangles))
    return np.stack([triangles[rows, (odd + shift) % 3] for shift in range(3)], axis=1)


def _sides(triangles: Indices) -> Indices:
    return np.vstack([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])


def _cut_sides(one: Indices, two: Indices, cuts: Indices) -> Indices:
    """Sides of what a cut leaves of triangles with one corner inside (a triangle) and with two (a quadrangle)."""
    k, m = len(one), len(two)
    one_ab, one_ac, two_ab, two_ac = cuts[:k], cuts[k : 2 * k], cuts[2 * k : 2 * k + m], cuts[2 * k + m :]
    pairs = [(one[:, 0], one_ab), (one_ab, one_ac), (one_ac, one[:, 0])]
    pairs += [(two_ab, two[:, 1]), (two[:, 1], two[:, 2]), (two[:, 2], two_ac), (two_ac, two_ab)]
    return np.vstack([np.stack(pair, axis=1) for pair in pairs])


def _outer(edges: Indices, count: int) -> Indices:
    """Directed edges whose reverse isn't there: the border of the kept part."""
    forward = edges[:, 0] * count + edges[:, 1]
    backward = np.sort(edges[:, 1] * count + edges[:, 0])
    place = np.minimum(np.searchsorted(backward, forward), len(backward) - 1)
    return edges[backward[place] != forward] if len(edges) else edges

"""Triangles for a set of plane faces that share their edges exactly: a conforming mesh whose every triangle knows its face.

Delaunay triangulation of the faces' ring points and some inner points; ring edges that Delaunay missed are put back; triangles get
their face from the ring edges they own and pass it on to neighbours up to the next ring edge. Chart units (mm).
"""

from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.curves import Flags
from configurator.domain.body.records import Indices, Points

_OUTSIDE = -1


@dataclass(frozen=True, eq=False)
class Triangulation:
    """`points` (n, 2); `triangles` (m, 3) counter-clockwise; `faces` (m,) the index of each triangle's face."""

    points: Points
    triangles: Indices
    faces: Indices


@dataclass(frozen=True, eq=False)
class _Rings:
    """Ring edges of all faces: `edges` (k, 2) with the face on the left, `faces` (k,) that face."""

    points: Points
    edges: Indices
    faces: Indices


def triangulate(faces: np.ndarray, inner: Points, *, clearance_mm: float) -> Triangulation:
    """Mesh of shapely polygons that don't overlap.

    `inner` (k, 2) are wanted points within; those nearer than `clearance_mm` to a ring are left out.
    """
    rings = _rings(faces)
    inner = _clear_of_rings(faces, inner, clearance_mm)
    points = np.vstack([rings.points, inner])
    triangles = _delaunay(points)
    triangles = _with_edges(points, triangles, rings.edges)
    return _labelled(points, triangles, rings)


def _clear_of_rings(faces: np.ndarray, inner: Points, clearance_mm: float) -> Points:
    if not len(inner):
        return inner
    lines = shapely.multilinestrings(shapely.get_rings(faces))
    shapely.prepare(lines)
    near: Flags = shapely.dwithin(lines, shapely.points(inner), clearance_mm)
    return inner[~near]


def _rings(faces: np.ndarray) -> _Rings:
    oriented = shapely.orient_polygons(faces)
    rings, owner = shapely.get_rings(oriented, return_index=True)
    coordinates, ring = shapely.get_coordinates(rings, return_index=True)
    key = coordinates[:, 0] + 1j * coordinates[:, 1]
    unique, vertex = np.unique(key, return_inverse=True)
    same_ring = ring[:-1] == ring[1:]
    edges = np.stack([vertex[:-1][same_ring], vertex[1:][same_ring]], axis=1)
    return _Rings(np.stack([unique.real, unique.imag], axis=1), edges, owner[ring[:-1][same_ring]])


def _delaunay(points: Points) -> Indices:
    """Delaunay triangles as indices, counter-clockwise."""
    collection = shapely.delaunay_triangles(shapely.multipoints(points))
    corners = shapely.get_coordinates(collection).reshape(-1, 4, 2)[:, :3]
    key = points[:, 0] + 1j * points[:, 1]
    order = np.argsort(key)
    index = order[np.searchsorted(key[order], corners[..., 0] + 1j * corners[..., 1])]
    first, second, third = (points[index[:, corner]] for corner in range(3))
    turn = _cross(second - first, third - first)
    counter_clockwise: Indices = np.where(turn[:, None] < 0, index[:, ::-1], index)
    return counter_clockwise[np.abs(turn) > 1e-9]


def _cross(a: Points, b: Points) -> Points:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def half_edges(triangles: Indices) -> Indices:
    """(3m, 2): the directed sides of triangle 0, then 1, ..."""
    return np.stack([triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()], axis=1)


def twin_of_each(edges: Indices, count: int) -> Indices:
    """For each directed edge a->b the index of b->a, or -1. `count`: number of vertices."""
    forward = edges[:, 0] * count + edges[:, 1]
    backward = edges[:, 1] * count + edges[:, 0]
    order = np.argsort(forward)
    place = np.minimum(np.searchsorted(forward, backward, sorter=order), len(order) - 1)
    found = order[place]
    return np.where(forward[found] == backward, found, -1)


def _missing(edges: Indices, wanted: Indices, count: int) -> Indices:
    there = np.minimum(edges[:, 0], edges[:, 1]) * count + np.maximum(edges[:, 0], edges[:, 1])
    keys = np.unique(np.minimum(wanted[:, 0], wanted[:, 1]) * count + np.maximum(wanted[:, 0], wanted[:, 1]))
    keys = keys[~np.isin(keys, there)]
    return np.stack([keys // count, keys % count], axis=1)


def _with_edges(points: Points, triangles: Indices, wanted: Indices) -> Indices:
    """The triangulation with every wanted edge in it (constrained edges that Delaunay flipped away are forced back)."""
    missing = _missing(half_edges(triangles), wanted, len(points))
    if not len(missing):
        return triangles
    triangles, missing = _turned_sides(points, triangles, missing)
    for start, end in missing.tolist():
        triangles = _with_edge(points, triangles, start, end)
    return triangles


def _turned_sides(points: Points, triangles: Indices, missing: Indices) -> tuple[Indices, Indices]:
    """Makes the missing edges that cross one side only, by turning that side; the triangles, and the edges still missing."""
    ends = np.zeros(len(points), dtype=bool)
    ends[missing] = True
    near = np.flatnonzero(ends[triangles[:, 0]] | ends[triangles[:, 1]] | ends[triangles[:, 2]])
    local = triangles[near]
    while len(missing) and _turn_sides(points, local, missing):
        missing = _missing(half_edges(local), missing, len(points))
    triangles = triangles.copy()
    triangles[near] = local
    return triangles, missing


def _turn_sides(points: Points, triangles: Indices, missing: Indices) -> bool:
    """One round, in place; sides that share a triangle with another one to be turned wait for the next. Whether any was turned."""
    count = len(points)
    edges = half_edges(triangles)
    twins = twin_of_each(edges, count)
    apex = np.roll(triangles, 1, axis=1).ravel()
    sides = np.flatnonzero((twins >= 0) & (apex < apex[twins]))
    wanted = np.minimum(missing[:, 0], missing[:, 1]) * count + np.maximum(missing[:, 0], missing[:, 1])
    sides = sides[np.isin(apex[sides] * count + apex[twins[sides]], wanted)]
    chosen = _apart(_crossing(points, edges, apex, twins, sides), twins)
    here, there = apex[chosen], apex[twins[chosen]]
    triangles[chosen // 3] = np.stack([here, edges[chosen, 0], there], axis=1)
    triangles[twins[chosen] // 3] = np.stack([there, edges[chosen, 1], here], axis=1)
    return len(chosen) > 0


def _crossing(points: Points, edges: Indices, apex: Indices, twins: Indices, sides: Indices) -> Indices:
    """The sides that the line between the two corners opposite them really crosses."""
    start, end = points[edges[sides, 0]], points[edges[sides, 1]]
    here, there = points[apex[sides]], points[apex[twins[sides]]]
    return sides[_cross(there - here, start - here) * _cross(there - here, end - here) < 0]


def _apart(sides: Indices, twins: Indices) -> Indices:
    """Sides of which no two belong to one triangle."""
    taken: set[int] = set()
    chosen = []
    for side in sides.tolist():
        pair = {side // 3, int(twins[side]) // 3}
        if not pair & taken:
            taken |= pair
            chosen.append(side)
    return np.array(chosen, dtype=np.int64)


def _with_edge(points: Points, triangles: Indices, start: int, end: int) -> Indices:
    """Replace the triangles that the segment start-end crosses by fans on its two sides."""
    crossed = _crossed(points, triangles, start, end)
    border = _border_loop(triangles[crossed], start)
    split = border.index(end)
    left, right = border[: split + 1], [*border[split:], start]
    filled = [*_ears(points, left), *_ears(points, right)]
    return np.vstack([np.delete(triangles, crossed, axis=0), np.array(filled, dtype=triangles.dtype)])


def _crossed(points: Points, triangles: Indices, start: int, end: int) -> Indices:
    """Numbers of the triangles that have an inside point on the segment."""
    a, b = points[start], points[end]
    near = _near(points, triangles, a, b)
    candidates = triangles[near]
    side = _cross(b - a, points - a)
    side[[start, end]] = 0.0
    hit = np.zeros(len(candidates), dtype=bool)
    for corner in range(3):
        p, q = candidates[:, corner], candidates[:, (corner + 1) % 3]
        span = points[q] - points[p]
        apart = side[p] * side[q] < 0
        hit |= apart & (_cross(span, a - points[p]) * _cross(span, b - points[p]) < 0)
    return near[hit]


def _near(points: Points, triangles: Indices, a: Points, b: Points) -> Indices:
    """Triangles whose box meets the segment's box."""
    meets = np.ones(len(triangles), dtype=bool)
    for axis in (0, 1):
        first, second, third = (points[triangles[:, corner], axis] for corner in range(3))
        meets &= np.minimum(np.minimum(first, second), third) <= max(a[axis], b[axis])
        meets &= np.maximum(np.maximum(first, second), third) >= min(a[axis], b[axis])
    return np.flatnonzero(meets)


def _border_loop(triangles: Indices, start: int) -> list[int]:
    """The ring around a set of triangles, counter-clockwise from `start`."""
    edges = half_edges(triangles)
    following = dict(edges[twin_of_each(edges, int(edges.max()) + 1) < 0].tolist())
    loop, here = [start], following[start]
    while here != start:
        loop.append(here)
        here = following[here]
    return loop


def _ears(points: Points, ring: list[int]) -> list[list[int]]:
    """A simple counter-clockwise polygon cut into triangles, ear by ear."""
    ring, triangles = list(ring), []
    while len(ring) > 3:
        place = next((i for i in range(len(ring)) if _is_ear(points, ring, i)), 0)
        triangles.append([ring[place - 1], ring[place], ring[(place + 1) % len(ring)]])
        del ring[place]
    return [*triangles, ring]


def _is_ear(points: Points, ring: list[int], place: int) -> bool:
    a, b, c = (points[ring[(place + shift) % len(ring)]] for shift in (-1, 0, 1))
    if _cross(b - a, c - b) <= 0:
        return False
    others = points[[v for v in ring if v not in (ring[place - 1], ring[place], ring[(place + 1) % len(ring)])]]
    within = (_cross(b - a, others - a) >= 0) & (_cross(c - b, others - b) >= 0) & (_cross(a - c, others - c) >= 0)
    return not within.any()


def _labelled(points: Points, triangles: Indices, rings: _Rings) -> Triangulation:
    """Faces from the ring edges inward; what no face reaches (holes, the outside) is dropped, and so are points that nothing uses."""
    count = len(points)
    edges = half_edges(triangles)
    twins = twin_of_each(edges, count)
    ring_keys = rings.edges[:, 0] * count + rings.edges[:, 1]
    order = np.argsort(ring_keys)
    edge_keys = edges[:, 0] * count + edges[:, 1]
    back_keys = edges[:, 1] * count + edges[:, 0]
    owned = _lookup(ring_keys[order], rings.faces[order], edge_keys)
    is_ring = (owned != _OUTSIDE) | (_lookup(ring_keys[order], rings.faces[order], back_keys) != _OUTSIDE)
    faces = np.maximum(np.maximum(owned[0::3], owned[1::3]), owned[2::3])
    open_twins = np.where(is_ring | (twins < 0), -1, twins // 3).reshape(-1, 3)
    faces = _spread(faces, open_twins)
    kept = faces != _OUTSIDE
    used, renumbered = np.unique(triangles[kept], return_inverse=True)
    return Triangulation(points[used], renumbered.reshape(-1, 3), faces[kept])


def _lookup(sorted_keys: Indices, values: Indices, keys: Indices) -> Indices:
    place = np.minimum(np.searchsorted(sorted_keys, keys), len(sorted_keys) - 1)
    return np.where(sorted_keys[place] == keys, values[place], _OUTSIDE)


def _spread(faces: Indices, neighbours: Indices) -> Indices:
    """Pass labels on to unlabelled neighbours, ring by ring, until nothing changes."""
    padded = np.append(faces, _OUTSIDE)
    waiting = np.flatnonzero(faces == _OUTSIDE)
    while True:
        first, second, third = (padded[neighbours[waiting, corner]] for corner in range(3))
        offered = np.maximum(np.maximum(first, second), third)
        if not (offered != _OUTSIDE).any():
            return padded[:-1]
        padded[waiting] = offered
        waiting = waiting[offered == _OUTSIDE]

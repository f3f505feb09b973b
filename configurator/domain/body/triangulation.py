"""Triangles for a set of plane faces that share their edges exactly: a conforming mesh whose every triangle knows its face.

Delaunay triangulation of the faces' ring points and some inner points; ring edges that Delaunay missed are put back; triangles get
their face from the ring edges they own and pass it on to neighbours up to the next ring edge. Chart units (mm).
"""

from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.constraining import cross, with_edges
from configurator.domain.body.curves import Flags
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.sides import Sides, compact, sides_of

_OUTSIDE = -1
_FRAME_SHARE = 0.2
_PLACE_KEY = np.array([61_803.398_875, 1.0])
"""Makes one number of a point: no multiple of a chart's grid, so that no two points share one."""


@dataclass(frozen=True, eq=False)
class Triangulation:
    """`points` (n, 2); `triangles` (m, 3) counter-clockwise; `faces` (m,) the index of each triangle's face.

    `outline` (k,): numbers of the points on the edge of what the faces cover together.
    """

    points: Points
    triangles: Indices
    faces: Indices
    outline: Indices


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
    points = np.vstack([rings.points, inner, _frame(rings.points)])
    triangles = _delaunay(points)
    sides = sides_of(triangles, len(points))
    owned, across = sides.find(rings.edges)
    missing = (owned < 0) & (across < 0)
    if missing.any():
        triangles = with_edges(points, triangles, _once(rings.edges[missing]))
        sides = sides_of(triangles, len(points))
        owned, across = sides.find(rings.edges)
    return _labelled(points, triangles, sides, _Owners(owned, across, rings.faces))


def _frame(points: Points) -> Points:
    """Four points well outside: with them no wanted edge lies on the hull, which Delaunay may leave open."""
    low, high = points.min(axis=0), points.max(axis=0)
    margin = _FRAME_SHARE * (high - low).max() + 1.0
    (left, bottom), (right, top) = low - margin, high + margin
    return np.array([[left, bottom], [right, bottom], [right, top], [left, top]])


def _once(edges: Indices) -> Indices:
    """Each edge in one direction only."""
    return np.unique(np.sort(edges, axis=1), axis=0)


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
    collection = shapely.delaunay_triangles(shapely.linestrings(points))  # a line of them all: no point becomes an object
    corners = shapely.get_coordinates(collection).reshape(-1, 4, 2)[:, :3]
    key = points @ _PLACE_KEY
    order = np.argsort(key)
    index = order[np.searchsorted(key[order], corners @ _PLACE_KEY)]
    first, second, third = (points[index[:, corner]] for corner in range(3))
    turn = cross(second - first, third - first)
    counter_clockwise: Indices = np.where(turn[:, None] < 0, index[:, ::-1], index)
    return counter_clockwise[np.abs(turn) > 1e-9]


@dataclass(frozen=True, eq=False)
class _Owners:
    """(k,) each: the sides that are ring edges and those across them (-1: none), and the face inside the ring."""

    owned: Indices
    across: Indices
    faces: Indices


def _labelled(points: Points, triangles: Indices, sides: Sides, rings: _Owners) -> Triangulation:
    """Faces from the ring edges inward; what no face reaches (holes, the outside) is dropped, and so are points that nothing uses."""
    owned, across = rings.owned, rings.across
    faces = np.full(len(triangles), _OUTSIDE)
    faces[owned[owned >= 0] // 3] = rings.faces[owned >= 0]
    passable = sides.twins >= 0
    passable[owned[owned >= 0]] = passable[across[across >= 0]] = False
    faces = _spread(faces, np.where(passable, sides.twins // 3, -1).reshape(-1, 3))
    kept = faces != _OUTSIDE
    ends = np.repeat(kept, 3) & ~np.append(kept, False)[np.where(sides.twins < 0, -1, sides.twins // 3)]
    used, renumbered = compact(triangles[kept], len(points))
    return Triangulation(
        points=points[used],
        triangles=renumbered,
        faces=faces[kept],
        outline=np.searchsorted(used, np.unique(sides.edges[ends])),
    )


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

"""A covered panel laid flat: its area kept, and on every stretch of its edge what lies beyond and how far film goes past it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from configurator.domain.body.flatten import flatten
from configurator.domain.body.records import EdgeKind, Loop, Panel, Points, Side
from configurator.domain.film_plan.records import SEAM
from configurator.domain.scope import TreatedEdge
from configurator.domain.selection import Treatment

ON_EDGE_MM = 0.05
"""A point this close to the panel's own edge lies on it; cut lines run far farther inside."""

Allowance = Callable[[EdgeKind, str | None], float]


@dataclass(frozen=True, eq=False)
class FlatPanel:
    """`outline`: the panel in its own plane, mm, as one or more polygons with the openings of parts.

    `points` (n, 2), `vertices` (n, 3), `triangles` (m, 3): the mesh flat and as built. `segments` (k, 2, 2): the edge piece by
    piece; `kinds[i]` and `allowances_mm[i]` say what lies beyond segment i and how far film reaches past it (negative: short of it).
    `hidden_share` of the outline lies under a part that stands on the panel. `built` (k, 2, 3): the segments as built.
    """

    id: str
    side: Side
    outline: MultiPolygon
    points: Points
    vertices: Points
    triangles: NDArray[np.int64]
    nose: tuple[float, float]
    segments: Points
    kinds: tuple[str, ...]
    allowances_mm: NDArray[np.float64]
    hidden_share: float
    built: Points

    @property
    def overlap_share(self) -> float:
        """How much of the flat mesh lies on another part of it: 0 where the panel can be cut as it lies."""
        return 1 - float(self.outline.area) / max(_area_2d(self.points[self.triangles]), 1e-9)

    @cached_property
    def _segment_tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.linestrings(self.segments))

    @cached_property
    def _asked(self) -> dict[bytes, NDArray[np.int64]]:
        return {}

    def edge_at(self, points: Points) -> NDArray[np.int64]:
        """Index of the edge segment that each of `points` (k, 2) lies on; -1 inside the panel (on a cut). Answers are remembered."""
        key = points.tobytes()
        if key not in self._asked:
            which, segment = self._segment_tree.query_nearest(shapely.points(points), max_distance=ON_EDGE_MM, all_matches=False)
            self._asked[key] = np.full(len(points), -1)
            self._asked[key][which] = segment
        return self._asked[key]

    def kind_of(self, segment: int) -> str:
        return SEAM if segment < 0 else self.kinds[segment]

    def allowance_of(self, segment: int) -> float:
        return 0.0 if segment < 0 else float(self.allowances_mm[segment])

    def coordinate_at(self, point: tuple[float, float], values: NDArray[np.float64]) -> float:
        """A vertex figure (`values` (n,)) between the vertices, at a place in the flat plane (nearest triangle's plane)."""
        corners = self.points[self.triangles]
        centre = corners.mean(axis=1)
        nearest = np.argsort(((centre - point) ** 2).sum(axis=1))[:12]
        weights = _barycentric(corners[nearest], np.asarray(point))
        best = int(np.argmax(weights.min(axis=1)))
        return float(weights[best] @ values[self.triangles[nearest[best]]])


def lay_flat(panel: Panel, allowance: Allowance, *, seam_x_mm: float | None = None) -> FlatPanel:
    """`panel` as a flat outline whose area is its developed area: the least distorted flattening, scaled by a shade.

    A flattening keeps angles and lengths as well as it can, not area; film is bought and checked by area, so the flat panel is
    scaled as a whole (about 0.1 % on a door, some per cent on a mirror's dome). `seam_x_mm`: open edges in this plane are a seam.
    """
    flat = flatten(panel)
    vertices, triangles = panel.mesh.vertices, panel.mesh.triangles
    points = flat.points * np.sqrt(_area_3d(vertices[triangles]) / max(_area_2d(flat.points[triangles]), 1e-9))
    segments = np.concatenate([_segments(points, loop) for loop in panel.loops])
    built = np.concatenate([_segments(vertices, loop) for loop in panel.loops])
    kinds = [kind for loop in panel.loops for kind in loop.kinds]
    neighbours = [neighbour for loop in panel.loops for neighbour in loop.neighbours]
    allowances = np.array([allowance(kind, neighbour) for kind, neighbour in zip(kinds, neighbours, strict=True)])
    return FlatPanel(
        id=panel.id,
        side=panel.side,
        outline=_outline(points, panel.loops, triangles),
        points=points,
        vertices=vertices,
        triangles=triangles,
        nose=flat.nose,
        segments=segments,
        kinds=_named(kinds, built, seam_x_mm),
        allowances_mm=allowances,
        hidden_share=panel.covered_share,
        built=built,
    )


def allowance_by_edge(
    edges: tuple[TreatedEdge, ...], table: Mapping[Treatment, Mapping[EdgeKind, float]], otherwise: Treatment
) -> Allowance:
    """How far film goes past an edge, from how the scope treats it: by kind and part, else by kind, else as `otherwise`."""
    exact = {(edge.kind, edge.part): edge.treatment for edge in edges}
    by_kind: dict[EdgeKind, Treatment] = {}
    for edge in sorted(edges, key=lambda edge: edge.part is not None):
        by_kind.setdefault(edge.kind, edge.treatment)

    def allowance(kind: EdgeKind, neighbour: str | None) -> float:
        treatment = exact.get((kind, neighbour)) or by_kind.get(kind, otherwise)
        return float(table.get(treatment, {}).get(kind, 0.0))

    return allowance


def _named(kinds: list[EdgeKind], built: Points, seam_x_mm: float | None) -> tuple[str, ...]:
    if seam_x_mm is None:
        return tuple(str(kind) for kind in kinds)
    off_plane = np.abs(built[:, :, 0] - seam_x_mm).max(axis=1).tolist()
    return tuple(SEAM if kind is EdgeKind.OPEN and off < ON_EDGE_MM else str(kind) for kind, off in zip(kinds, off_plane, strict=True))


def _segments(points: Points, loop: Loop) -> Points:
    ring = points[loop.indices]
    return np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)


def _outline(points: Points, loops: tuple[Loop, ...], triangles: NDArray[np.int64]) -> MultiPolygon:
    """The polygon that the rings bound; where rings cross (a dome folded over), the union of the flat triangles instead."""
    rings = [Polygon(points[loop.indices]) for loop in loops]
    whole = shapely.area(shapely.polygons(points[triangles])).sum()
    if all(ring.is_valid for ring in rings):
        shape = _even_odd(rings)
        if abs(shape.area - whole) <= 1e-6 * whole:
            return _multi(shape)
    return _multi(shapely.union_all(shapely.polygons(points[triangles]), grid_size=1e-3))


def _even_odd(rings: list[Polygon]) -> shapely.Geometry:
    shape: shapely.Geometry = Polygon()
    for ring in sorted(rings, key=lambda polygon: -polygon.area):
        shape = shape.symmetric_difference(ring)
    return shape


def _multi(shape: shapely.Geometry) -> MultiPolygon:
    parts = [part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon" and not part.is_empty]
    return MultiPolygon(parts)


def _barycentric(corners: Points, point: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 3) weights of `point` in each triangle (k, 3, 2); negative outside. Flat slivers get a large negative weight."""
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    area = _cross(b - a, c - a)
    safe = np.where(np.abs(area) < 1e-9, 1e-9, area)
    first, second = _cross(b - point, c - point) / safe, _cross(c - point, a - point) / safe
    return np.stack([first, second, 1 - first - second], axis=1)


def _cross(u: Points, v: Points) -> NDArray[np.float64]:
    return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])


def _area_2d(corners: Points) -> float:
    return float(np.abs(_cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])).sum() / 2)


def _area_3d(corners: Points) -> float:
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(normals, axis=1).sum() / 2)

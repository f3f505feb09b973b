"""A panel's own upright plane: ornaments are designed flat in it and lifted back onto the mesh, so that every view shows the same ones."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Panel, Points, Side
from configurator.domain.body.vectors import cross, dot, unit
from configurator.drawing.mending import joined, less, mended
from configurator.drawing.projection import Projection

_MOSTLY_ACROSS = 0.3


@dataclass(frozen=True, eq=False)
class Frame:
    """`across` points outboard (rearward on a flank), `up` upward along the panel; `flat` (n, 2) are the mesh's vertices in mm."""

    panel: Panel
    flat: Points
    triangles: Indices

    @cached_property
    def outline(self) -> shapely.Geometry:
        """The panel in its plane as a valid area."""
        rings = [shapely.Polygon(self.flat[loop.indices]) for loop in self.panel.loops if len(loop.indices) > 2]
        if not rings:
            return shapely.Polygon()
        rings.sort(key=lambda ring: -ring.area)
        return less(rings[:1], [joined(rings[1:])])[0] if len(rings) > 1 else mended(rings)[0]

    def lift(self, points: Points) -> Points:
        """(n, 2) in the plane -> (n, 3) on the mesh; a point beside the mesh goes onto the extended nearest triangle."""
        a, b, c = (self.flat[self.triangles[:, corner]] for corner in range(3))
        first, second = b - a, c - a
        turn = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
        turn = np.where(np.abs(turn) < 1e-6, 1e-6, turn)
        along = np.stack([second[:, 1], -second[:, 0]]) / turn
        beside = np.stack([-first[:, 1], first[:, 0]]) / turn
        # Barycentric coordinates as (3, triangles) factors of x, y and 1: one product for every point and triangle.
        to_s, to_t = (np.vstack([step, -dot(a, step.T)]) for step in (along, beside))
        places = np.column_stack([points, np.ones(len(points))])
        s, t = places @ to_s, places @ to_t
        outside = places @ (np.array([[0.0], [0.0], [1.0]]) - to_s - to_t)
        for coordinate in (s, t, 0.0):
            np.minimum(outside, coordinate, out=outside)
        outside *= np.sqrt(np.abs(turn))
        best = np.argmax(outside, axis=1)
        rows = np.arange(len(points))
        s, t = s[rows, best, None], t[rows, best, None]
        p, q, r = (self.panel.mesh.vertices[self.triangles[best, corner]] for corner in range(3))
        lifted: Points = p + s * (q - p) + t * (r - p)
        return lifted


def frame_of(panel: Panel) -> Frame:
    vertices, triangles = panel.mesh.vertices, panel.mesh.triangles
    a, b, c = (vertices[triangles[:, corner]] for corner in range(3))
    normal = unit(cross(b - a, c - a).sum(axis=0, keepdims=True))
    across = _across(normal[0], panel.side)[None]
    up = cross(normal, across)
    if up[0, 2] + 0.3 * up[0, 0] < 0:
        up = -up
    return Frame(panel, (vertices - vertices.mean(axis=0)) @ np.vstack([across, up]).T, triangles)


def _across(normal: Points, side: Side) -> Points:
    """Level and in the plane with that normal (3,)."""
    level = np.array([-normal[1], normal[0], 0.0])
    length = float(np.hypot(level[0], level[1]))
    if length < 0.15:
        return np.array([0.0, -1.0 if side is Side.LEFT else 1.0, 0.0])
    level /= length
    outboard = -level[1] if side is Side.LEFT else level[1]
    forward = outboard if abs(outboard) > _MOSTLY_ACROSS else level[0]
    return level if forward >= 0 else -level


def frame_seen_from(panel: Panel, view: Projection) -> Frame:
    """The panel's frame in a view's own plane: `lift` puts points of that plane onto the part that faces the eye."""
    corners = panel.mesh.vertices[panel.mesh.triangles]
    normals = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing = dot(normals, view.toward(corners[:, 0])) > 0
    return Frame(panel, view.plane(panel.mesh.vertices), panel.mesh.triangles[facing])

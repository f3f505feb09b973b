"""A body's meshes made ready for drawing: one array for the whole car, smooth normals, triangle normals. Once per body, for every view."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from configurator.domain.body.records import Body, Indices, Layer, Panel, Points, Side
from configurator.domain.body.vectors import cross, dot, lengths, unit

Flags = NDArray[np.bool_]
SYMMETRIC_VIEWS = ("front", "rear", "top")
"""Views that show both sides of the car alike."""
_MIDDLE_MM = 0.5
"""Vertices this near to the plane y = 0 count as lying in it, so that halves meet without a crease."""


@dataclass(frozen=True, eq=False)
class Surfaces:
    """Panels' meshes end to end. Panel i has vertices `first_vertex[i]:first_vertex[i + 1]`, triangles likewise.

    `normals` (n, 3) unit at the vertices; of the triangles `facing` (m, 3) unit, `areas` (m,) mm2, `centres` (m, 3), `owner` (m,) panel.
    """

    panels: tuple[Panel, ...]
    vertices: Points
    triangles: Indices
    first_vertex: Indices
    first_triangle: Indices
    normals: Points
    facing: Points
    areas: Points
    centres: Points
    owner: Indices

    def vertex_span(self, index: int) -> slice:
        return slice(int(self.first_vertex[index]), int(self.first_vertex[index + 1]))

    def triangle_span(self, index: int) -> slice:
        return slice(int(self.first_triangle[index]), int(self.first_triangle[index + 1]))


def _starts(counts: Sequence[int]) -> Indices:
    return np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)


def gather(panels: Sequence[Panel]) -> Surfaces:
    """The meshes of `panels` (at least one) as one."""
    first_vertex = _starts([len(panel.mesh.vertices) for panel in panels])
    vertices = np.vstack([panel.mesh.vertices for panel in panels])
    triangles = np.vstack([panel.mesh.triangles + start for panel, start in zip(panels, first_vertex, strict=False)])
    counts = [len(panel.mesh.triangles) for panel in panels]
    owner = np.repeat(np.arange(len(panels)), counts)
    a, b, c = (vertices[triangles[:, corner]] for corner in range(3))
    across = cross(b - a, c - a)
    doubled = lengths(across)
    return Surfaces(
        panels=tuple(panels),
        vertices=vertices,
        triangles=triangles,
        first_vertex=first_vertex,
        first_triangle=_starts(counts),
        normals=_normals(panels, vertices, triangles, owner, across),
        facing=across / np.maximum(doubled, 1e-9)[:, None],
        areas=doubled / 2,
        centres=(a + b + c) / 3,
        owner=owner,
    )


def _normals(panels: Sequence[Panel], vertices: Points, triangles: Indices, owner: Indices, area_normals: Points) -> Points:
    """The surface's own normals where a panel's mesh carries them, else estimates from the triangles of those that don't."""
    bare = np.array([panel.mesh.normals is None for panel in panels])
    carried = [panel.mesh.vertices if panel.mesh.normals is None else panel.mesh.normals for panel in panels]
    normals = np.vstack(carried)
    if bare.any():
        chosen = bare[owner]
        used, corners = np.unique(triangles[chosen], return_inverse=True)
        normals[used] = _vertex_normals(vertices[used], corners.reshape(-1, 3), area_normals[chosen])
    return normals


def _vertex_normals(vertices: Points, triangles: Indices, area_normals: Points) -> Points:
    """Area-weighted unit normals, shared by coinciding vertices of neighbours; in the middle plane without a sideways part."""
    place = _coinciding(vertices)
    corners = place[triangles.ravel()]
    sums = [np.bincount(corners, np.repeat(area_normals[:, axis], 3), minlength=len(vertices)) for axis in range(3)]
    summed: Points = np.stack(sums, axis=1)[place].astype(np.float64, copy=False)
    summed[np.abs(vertices[:, 1]) < _MIDDLE_MM, 1] = 0.0
    return unit(summed)


def _coinciding(vertices: Points) -> Indices:
    """(n,) the same number for vertices at the same place, to a twentieth of a millimetre."""
    cells = np.rint(vertices * 20).astype(np.int64) + (1 << 20)
    return np.unique((cells[:, 0] << 42) + (cells[:, 1] << 21) + cells[:, 2], return_inverse=True)[1]


def nearest_rows(points: Points, among: Points) -> Indices:
    """(n,) for each point the row of `among` that is nearest to it."""
    away = points @ (-2 * among.T)
    away += dot(among, among)
    return np.asarray(away.argmin(axis=1), dtype=np.int64)


@lru_cache(maxsize=96)
def _without(body: Body, left_out: tuple[str, ...]) -> Surfaces:
    return gather(tuple(panel for panel in body.panels.values() if panel.id not in left_out and _is_drawn(panel)))


@lru_cache(maxsize=48)
def twins(body: Body) -> Mapping[str, str]:
    """Left-hand panel -> the right-hand one of the body whose exact mirror image it is.

    The panel round the fuel door has none: the body's other side has no hole there.
    """
    images = [(panel, panel.mirror_of) for panel in body.panels.values() if panel.mirror_of is not None]
    return {panel.id: right.id for panel, right in images if body.panels.get(right.id) is right}


def surfaces_for(body: Body, view_name: str) -> Surfaces:
    """The panels that a view has to be worked out for.

    A side view can't show the far side. From ahead, behind and above a left panel is its twin turned over, so it isn't looked at.
    """
    panels = body.panels.values()
    if view_name in ("left", "right"):
        far = Side.RIGHT if view_name == "left" else Side.LEFT
        return _without(body, tuple(panel.id for panel in panels if panel.side is far))
    if view_name in SYMMETRIC_VIEWS:
        return _without(body, tuple(twins(body)))
    return _without(body, ())


def _is_drawn(panel: Panel) -> bool:
    """Underbody and wheel wells aren't drawn from their meshes (see `chassis`); a bed's box is."""
    return panel.layer is not Layer.UNDER or panel.id.startswith("bed")

"""What a view sees of each panel by itself: the outline of the part that faces the eye, before anything is in the way."""

from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Points
from configurator.drawing.contours import level_rings
from configurator.drawing.projection import Projection
from configurator.drawing.rings import Areas, Rings
from configurator.drawing.surfaces import Flags, Surfaces

_FACING = 0.02
"""All triangles facing more than this: the panel's own rings are its outline. None: it isn't seen."""
_HORIZON = -0.004
"""Just past the horizon, so that an edge that lies in the middle plane stays in."""
_LEAST_AREA_MM2 = 150.0
_LEAST_ROUNDNESS = 0.006
"""4 pi area / perimeter2 under this is a sliver of a surface seen edge-on."""


@dataclass(frozen=True, eq=False)
class Outlines:
    """`rings` of all panels that are seen; `panels[i]` is the index of ring i's panel. Outer rings turn from x to y, holes back."""

    rings: Rings
    panels: Indices

    def of(self, panel: int) -> list[int]:
        return np.flatnonzero(self.panels == panel).tolist()


def facing_outlines(meshes: Surfaces, view: Projection) -> Outlines:
    facing = (meshes.facing * view.toward(meshes.vertices[meshes.triangles[:, 0]])).sum(axis=1)
    lowest = np.minimum.reduceat(facing, meshes.first_triangle[:-1])
    seen = np.maximum.reduceat(facing, meshes.first_triangle[:-1]) > _FACING
    whole = seen & (lowest > _FACING) & np.array([len(panel.loops) > 0 for panel in meshes.panels])
    plane = view.plane(meshes.vertices)
    own_rings, own_panels = _own_rings(meshes, plane, whole)
    cut_rings, cut_panels = _horizon_rings(meshes, plane, view, seen & ~whole)
    return _without_slivers(Rings.of(own_rings + cut_rings), np.array(own_panels + cut_panels, dtype=np.int64))


def _own_rings(meshes: Surfaces, plane: Points, whole: Flags) -> tuple[list[Points], list[int]]:
    rings, panels = [], []
    for index in np.flatnonzero(whole).tolist():
        for loop in meshes.panels[index].loops:
            rings.append(plane[loop.indices + meshes.first_vertex[index]])
            panels.append(index)
    return rings, panels


def _horizon_rings(meshes: Surfaces, plane: Points, view: Projection, cut: Flags) -> tuple[list[Points], list[int]]:
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_triangle))
    field = (meshes.normals * view.toward(meshes.vertices)).sum(axis=1)
    found = level_rings(plane, meshes.triangles[cut[owner]], field, level=_HORIZON)
    panels = np.searchsorted(meshes.first_vertex, [found.sources[ring[0]] for ring in found.rings], side="right") - 1
    return [found.points[ring] for ring in found.rings], panels.tolist()


def _without_slivers(rings: Rings, panels: Indices) -> Outlines:
    """Slivers dropped, every panel's largest ring turned from x to y and its other rings with it."""
    area = np.abs(rings.areas)
    kept = np.flatnonzero((area > _LEAST_AREA_MM2) & (4 * np.pi * area > _LEAST_ROUNDNESS * rings.perimeters**2))
    order = kept[np.lexsort((-area[kept], panels[kept]))]
    owners = panels[order]
    largest = order[np.searchsorted(owners, owners)]
    turned = rings.areas[largest] < 0
    return Outlines(Rings.of([rings[i][::-1] if back else rings[i] for i, back in zip(order.tolist(), turned, strict=True)]), owners)


def regions(outlines: Outlines, *, tolerance_mm: float = 1.5) -> dict[int, shapely.Geometry]:
    """Each seen panel's outline as one valid shapely area, slightly simplified."""
    shapes = shapely.simplify(outlines.rings.polygons(), tolerance_mm, preserve_topology=False)
    broken = ~shapely.is_valid(shapes)
    shapes[broken] = shapely.buffer(shapes[broken], 0)
    return {panel: _area(shapes, outlines, panel) for panel in dict.fromkeys(outlines.panels.tolist())}


def _area(shapes: Areas, outlines: Outlines, panel: int) -> shapely.Geometry:
    rings = outlines.of(panel)
    if len(rings) == 1:
        return shapes[rings[0]]
    hole = outlines.rings.areas[rings] < 0
    solid = shapely.union_all(shapes[rings][~hole])
    return shapely.difference(solid, shapely.union_all(shapes[rings][hole])) if hole.any() else solid

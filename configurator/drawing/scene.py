"""One view of one body, worked out: which panels are seen, in painter's order, with their outlines, visible regions and shade.

Nothing here knows what is covered: a scene is the same for every selection on that body, so it is kept (bounded) and reused.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Layer, Panel, Points
from configurator.drawing.curves import polygon_data, ring_paths
from configurator.drawing.order import painters_order
from configurator.drawing.outlines import facing_outlines, regions
from configurator.drawing.projection import Projection, projection
from configurator.drawing.shading import Ramp, ramps
from configurator.drawing.surfaces import Surfaces, surfaces

_CRUMB_MM = 5.0
"""Visible bits narrower than twice this are no place to draw or to press."""
_LEAST_VISIBLE_MM2 = 1100.0
_LOOSE = ("roof_antenna", "mirror_left", "mirror_right", "roof_rail_left", "roof_rail_right")
"""Stand off the body; not part of its closed silhouette."""


@dataclass(frozen=True, eq=False)
class Shape:
    """A panel in a view. `rings` (n, 2) mm and their path `data`; `region` the same as an area; `visible` what nothing covers."""

    panel: Panel
    index: int
    rings: tuple[Points, ...]
    data: str
    region: shapely.Geometry
    visible: shapely.Geometry
    ramp: Ramp | None

    @cached_property
    def visible_data(self) -> str:
        return polygon_data(self.visible, tolerance_mm=2.5)

    @property
    def is_hidden_in_part(self) -> bool:
        return bool(self.visible.area < 0.97 * self.region.area)


@dataclass(frozen=True, eq=False)
class Scene:
    body: Body
    view: Projection
    meshes: Surfaces
    shapes: tuple[Shape, ...]
    """From the farthest to the nearest."""
    silhouette: shapely.Geometry
    """The body without mirrors, antenna and rails, closed; wheels are not in it."""

    @cached_property
    def by_id(self) -> dict[str, Shape]:
        return {shape.panel.id: shape for shape in self.shapes}

    @cached_property
    def silhouette_data(self) -> str:
        return polygon_data(self.silhouette)


@lru_cache(maxsize=96)
def scene(body: Body, view_name: str) -> Scene:
    view = projection(body, view_name)
    meshes = surfaces(body)
    outlines = facing_outlines(meshes, view)
    paths = ring_paths(outlines.rings)
    areas = regions(outlines)
    shades = ramps(meshes, view, body.size.height_mm)
    order = [index for index in painters_order(body, view) if index in areas]
    visible = _visible([areas[index] for index in order])
    shapes = []
    for index, seen in zip(order, visible, strict=True):
        panel = meshes.panels[index]
        if seen.area < min(_LEAST_VISIBLE_MM2, 0.5 * areas[index].area):
            continue
        rings = outlines.of(index)
        data = "".join(paths[ring] for ring in rings)
        shapes.append(Shape(panel, index, tuple(outlines.rings[ring] for ring in rings), data, areas[index], seen, shades[index]))
    return Scene(body, view, meshes, tuple(shapes), _silhouette(shapes))


def _visible(areas: list[shapely.Geometry]) -> list[shapely.Geometry]:
    """For areas in painter's order, each one's part that no later one lies over, without crumbs."""
    stack = np.array(areas, dtype=object)
    lower, upper = shapely.STRtree(stack).query(stack, predicate="intersects")
    above: dict[int, list[int]] = {}
    for below, over in zip(lower.tolist(), upper.tolist(), strict=True):
        if over > below:
            above.setdefault(below, []).append(over)
    left = stack.copy()
    covered = np.array(sorted(above))
    lids = np.array([shapely.union_all(stack[above[index]]) for index in covered], dtype=object)
    left[covered] = shapely.difference(stack[covered], lids)
    opened = shapely.buffer(shapely.buffer(left, -_CRUMB_MM, quad_segs=1, join_style="mitre"), _CRUMB_MM, quad_segs=1, join_style="mitre")
    left[covered] = shapely.intersection(opened[covered], left[covered])
    return list(left)


def _silhouette(shapes: list[Shape]) -> shapely.Geometry:
    solid = (Layer.BODY, Layer.GLASS, Layer.UNDER, Layer.INSET)
    areas = [shape.region for shape in shapes if shape.panel.id not in _LOOSE and shape.panel.layer in solid]
    grown = shapely.union_all(shapely.buffer(np.array(areas, dtype=object), 8, quad_segs=1, join_style="mitre"))
    parts = shapely.get_parts(shapely.buffer(grown, -8, quad_segs=1, join_style="mitre"))
    return shapely.union_all([shapely.Polygon(part.exterior) for part in parts])

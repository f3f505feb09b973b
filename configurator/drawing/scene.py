"""One view of one body, worked out: which panels are seen, in painter's order, with their outlines, visible regions and shade.

Nothing here knows what is covered: a scene is the same for every selection on that body, so it is kept (bounded) and reused.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Indices, Layer, Panel
from configurator.drawing.curves import path_data, paths_of, polygon_rings
from configurator.drawing.order import hosts, lies_on_skin, painters_order
from configurator.drawing.outlines import facing_outlines, regions
from configurator.drawing.projection import Projection, projection
from configurator.drawing.rings import Areas
from configurator.drawing.shading import SHADED, Ramp, ramps
from configurator.drawing.surfaces import Surfaces, surfaces

_CRUMB_MM = 6.0
"""Visible bits narrower than twice this are no place to press."""
_LEAST_VISIBLE_MM2 = 3000.0
_LEAST_SHARE = 0.35
"""A panel is drawn when this much of it shows, or this share of it."""
_SAMPLES = 16
_SMALL_MM2 = 15_000.0
"""A panel that shows less than this is too small for light and shade of its own."""
_FLIP = {"front": "scale(-1 1)", "rear": "scale(-1 1)", "top": "scale(1 -1)"}
_OPENING_MM2 = 9000.0
"""A hole in the silhouette larger than this (a wheel arch) is an opening; a smaller one is a gap between panels."""
_GAP_MM = 8.0
_SOLID = (Layer.BODY, Layer.GLASS, Layer.INSET)


@dataclass(frozen=True, eq=False)
class Shape:
    """A panel in a view: path `data` of its outline, and the same as an area (`region`), nothing in the way."""

    panel: Panel
    index: int
    data: str
    region: shapely.Geometry
    ramp: Ramp | None
    twin: str | None = None
    """In a view that shows both sides alike: the right-hand panel whose outline this is, turned over (`flip`); `data` is empty then."""
    flip: str | None = None
    """The SVG transform that turns the twin's outline over."""
    zones: tuple["Shape", ...] = ()
    """Extra zones that lie on this panel."""

    @property
    def outline(self) -> str:
        """Id of the panel whose path is this panel's outline."""
        return self.twin or self.panel.id


@dataclass(frozen=True, eq=False)
class Scene:
    body: Body
    view: Projection
    meshes: Surfaces
    under: tuple[Shape, ...]
    """A bed's box: behind wheels and body."""
    shapes: tuple[Shape, ...]
    """From the farthest to the nearest, without extra zones."""

    @cached_property
    def beyond_wheels(self) -> int:
        """How many of the first shapes lie wholly beyond the wheels of a front or rear view, so that the tyres hide them."""
        if self.view.name not in ("front", "rear"):
            return 0
        wheel = self.body.wheels[0 if self.view.name == "front" else -1]
        hub = np.array([[wheel.x_mm, 0.0, wheel.tyre_radius_mm]])
        limit = float(self.view.depth(hub)[0]) + 0.9 * wheel.tyre_radius_mm
        nearest = [float(self.view.depth(shape.panel.mesh.vertices).min()) for shape in self.shapes]
        return next((place for place, depth in enumerate(nearest) if depth < limit), len(nearest))

    @cached_property
    def by_id(self) -> Mapping[str, Shape]:
        return {shape.panel.id: shape for shape in self.shapes}

    @cached_property
    def silhouette(self) -> shapely.Geometry:
        """The body without mirrors, antenna, rails; gaps between panels closed, wheel openings open."""
        return _silhouette(self.shapes[self.beyond_wheels :])

    @cached_property
    def silhouette_data(self) -> str:
        return path_data(polygon_rings(self.silhouette))

    @cached_property
    def visible(self) -> Mapping[str, shapely.Geometry]:
        """Panel id -> the part of its region that nothing lies over, without crumbs; no two overlap. Zones lie within their panel's."""
        seen = _visible(np.array([shape.region for shape in self.shapes], dtype=object))
        parts = {shape.panel.id: part for shape, part in zip(self.shapes, seen, strict=True)}
        for shape in self.shapes:
            for zone in shape.zones:
                parts[zone.panel.id] = shapely.intersection(zone.region, parts[shape.panel.id])
        return {panel: part for panel, part in parts.items() if not part.is_empty}

    @cached_property
    def _visible_paths(self) -> Mapping[str, str]:
        parts = [(panel, ring) for panel, part in self.visible.items() for ring in polygon_rings(part, least_area_mm2=300)]
        joined: dict[str, str] = {}
        for (panel, _), data in zip(parts, paths_of([ring for _, ring in parts], (), tolerance_mm=4), strict=True):
            joined[panel] = joined.get(panel, "") + data
        return joined

    def visible_data(self, panel: str) -> str:
        """Path data of the part of a panel that nothing lies over."""
        return self._visible_paths.get(panel, "")

    def is_hidden_in_part(self, shape: Shape) -> bool:
        part = self.visible.get(shape.panel.id)
        return part is None or bool(part.area < 0.97 * shape.region.area)


@lru_cache(maxsize=96)
def scene(body: Body, view_name: str) -> Scene:
    view = projection(body, view_name)
    meshes = surfaces(body)
    outlines = facing_outlines(meshes, view)
    areas = regions(outlines)
    order = [index for index in painters_order(body, view) if index in areas]
    layers = {layer: [index for index in order if meshes.panels[index].layer is layer] for layer in (Layer.UNDER, Layer.ZONE)}
    solid = [index for index in order if meshes.panels[index].layer not in layers]
    kept = _not_hidden(meshes, view, solid, [areas[index] for index in solid])
    lit = [index for index in kept if meshes.panels[index].surface in SHADED and areas[index].area > _SMALL_MM2]
    shades = ramps(meshes, view, body.size.height_mm, lit)
    twins = _twins(meshes, view_name, [*kept, *layers[Layer.ZONE]])
    drawn = [index for index in areas if index not in twins]
    rings = [ring for index in drawn for ring in outlines.of(index)]
    paths = dict(zip(rings, paths_of([outlines.rings[ring] for ring in rings], ()), strict=True))

    def shape(index: int, zones: Sequence[Shape] = ()) -> Shape:
        twin = twins.get(index)
        data = "" if twin else "".join(paths[ring] for ring in outlines.of(index))
        flip = _FLIP[view_name] if twin else None
        return Shape(meshes.panels[index], index, data, areas[index], shades.get(index), twin, flip, tuple(zones))

    zones = _by_host(body, layers[Layer.ZONE], kept)
    shapes = [shape(index, [shape(zone) for zone in zones.get(index, ())]) for index in kept]
    return Scene(body, view, meshes, tuple(shape(index) for index in layers[Layer.UNDER]), tuple(shapes))


def _twins(meshes: Surfaces, view_name: str, shown: list[int]) -> dict[int, str]:
    """Left-hand panels whose outline is their right-hand twin's turned over, in the views from ahead, behind and above."""
    if view_name not in _FLIP:
        return {}
    names = {meshes.panels[index].id for index in shown}
    pairs = [(index, meshes.panels[index].mirror_of) for index in shown]
    return {index: twin.id for index, twin in pairs if twin is not None and twin.id in names}


def _not_hidden(meshes: Surfaces, view: Projection, order: list[int], areas: list[shapely.Geometry]) -> list[int]:
    """The panels of a painter's order of which enough shows: looked at in a few triangles of each."""
    looked_at = [_every_so_many(meshes.triangle_span(index)) for index in order]
    chosen = np.concatenate(looked_at)
    owner = np.repeat(np.arange(len(order)), [len(some) for some in looked_at])
    points = meshes.vertices[meshes.triangles[chosen]].mean(axis=1)
    standing = np.array([meshes.panels[index].layer is Layer.FITTING for index in order])[owner]
    turned = ((meshes.facing[chosen] * view.toward(points)).sum(axis=1) > 0) | standing
    lids, found = shapely.STRtree(shapely.points(view.plane(points))).query(np.array(areas, dtype=object), predicate="contains")
    hidden = np.zeros(len(points), dtype=bool)
    hidden[found[lids > owner[found]]] = True
    shown = np.bincount(owner[turned & ~hidden], minlength=len(order)) / np.maximum(np.bincount(owner[turned], minlength=len(order)), 1)
    return [
        index
        for index, area, share in zip(order, areas, shown.tolist(), strict=True)
        if share > _LEAST_SHARE or share * area.area > _LEAST_VISIBLE_MM2
    ]


def _every_so_many(span: slice) -> Indices:
    return np.arange(span.start, span.stop, max(1, (span.stop - span.start) // _SAMPLES))


def _visible(areas: Areas) -> list[shapely.Geometry]:
    """For areas in painter's order, each one's part that no later one lies over, without crumbs."""
    lower, upper = shapely.STRtree(areas).query(areas, predicate="intersects")
    above: dict[int, list[int]] = {}
    for below, over in zip(lower.tolist(), upper.tolist(), strict=True):
        if over > below:
            above.setdefault(below, []).append(over)
    left = areas.copy()
    covered = np.array(sorted(above), dtype=np.int64)
    lids = np.array([shapely.union_all(areas[above[index]]) for index in covered.tolist()], dtype=object)
    left[covered] = shapely.difference(areas[covered], lids)
    opened = shapely.buffer(left[covered], -_CRUMB_MM, quad_segs=1, join_style="mitre")
    opened = shapely.buffer(opened, _CRUMB_MM, quad_segs=1, join_style="mitre")
    left[covered] = shapely.intersection(opened, left[covered])
    return list(left)


def _by_host(body: Body, zones: list[int], kept: list[int]) -> dict[int, list[int]]:
    """Extra zones by the panel that they lie on; a door sill behind the closed door lies on none."""
    found: dict[int, list[int]] = {}
    for index in zones:
        host = hosts(body)[index]
        if host in kept and lies_on_skin(body, index):
            found.setdefault(host, []).append(index)
    return found


def _silhouette(shapes: Sequence[Shape]) -> shapely.Geometry:
    areas = np.array([shape.region for shape in shapes if shape.panel.layer in _SOLID], dtype=object)
    grown = shapely.union_all(shapely.buffer(areas, _GAP_MM, quad_segs=1, join_style="mitre"))
    parts = shapely.get_parts(shapely.buffer(grown, -_GAP_MM, quad_segs=1, join_style="mitre"))
    closed = [
        shapely.Polygon(part.exterior, [hole for hole in part.interiors if shapely.Polygon(hole).area > _OPENING_MM2])
        for part in parts
        if part.area > _OPENING_MM2
    ]
    return shapely.union_all(closed)

"""One view of one body, worked out: which panels are seen, in painter's order, with their outlines, visible regions and shade.

Nothing here knows what is covered: a scene is the same for every selection on that body, so it is kept (bounded) and reused.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Indices, Layer, Panel, Points
from configurator.domain.body.vectors import dot
from configurator.drawing.curves import TOLERANCE_MM, paths_of, polygon_rings
from configurator.drawing.details import TOLERANCE_MM as MARK_TOLERANCE_MM
from configurator.drawing.details import Drawn, Mark, drawn_marks, marks_by_panel
from configurator.drawing.junctions import junctions
from configurator.drawing.mending import grown, joined, less, mended
from configurator.drawing.order import hosts, lies_on_skin, painters_order
from configurator.drawing.outlines import Outlines, facing_outlines, regions
from configurator.drawing.projection import THREE_QUARTER_VIEWS, Projection, projection
from configurator.drawing.rings import Areas
from configurator.drawing.shading import SHADED, Ramp, ramps
from configurator.drawing.surfaces import SYMMETRIC_VIEWS, Flags, Surfaces, surfaces_for, twins

_CRUMB_MM = 6.0
"""Visible bits narrower than twice this are no place to press."""
_LEAST_VISIBLE_MM2 = 3000.0
_LEAST_FITTING_VISIBLE_MM2 = 100.0
_LEAST_SHARE = 0.35
"""A panel is drawn when this much of it shows, or this share of it."""
_SAMPLES = 16
_SMALL_MM2 = 15_000.0
"""A panel that shows less than this is too small for light and shade of its own."""
_TURN = {"front": (-1, 1), "rear": (-1, 1), "top": (1, -1)}
_FLIP = {"front": "scale(-1 1)", "rear": "scale(-1 1)", "top": "scale(1 -1)"}
_OPENING_MM2 = 9000.0
"""A hole in the silhouette larger than this (a wheel arch) is an opening; a smaller one is a gap between panels."""
_GAP_MM = 8.0
_SOLID = (Layer.BODY, Layer.GLASS, Layer.INSET)
_PAST_HUB = 0.6
"""What begins this share of the tyre's radius past the hub, or farther, lies beyond the wheel in a three-quarter view."""


@dataclass(frozen=True, eq=False)
class Shape:
    """A panel in a view: path `data` of its outline, and the same as an area (`region`), nothing in the way."""

    panel: Panel
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
    under: tuple[Shape, ...]
    """A bed's box: behind wheels and body."""
    shapes: tuple[Shape, ...]
    """From the farthest to the nearest, without extra zones."""
    marks: Mapping[str, tuple[Mark, ...]]
    """Lines and ornaments by the panel that they lie on; a twin's are its right-hand panel's, turned over."""

    @cached_property
    def by_wheels(self) -> tuple[tuple[Shape, ...], ...]:
        """The shapes parted by what wheels hide of them, each part from the farthest to the nearest.

        Front and rear views: what lies wholly beyond the wheels of that end; the rest. Three-quarter views: what lies beyond the near
        side's farther wheel; beyond its nearer wheel; the rest. Side views and from above: nothing; everything.
        """
        if self.view.name in THREE_QUARTER_VIEWS:
            return self._by_near_wheels()
        if self.view.name not in ("front", "rear"):
            return (), self.shapes
        wheel = self.body.wheels[0 if self.view.name == "front" else -1]
        hub = np.array([[wheel.x_mm, 0.0, wheel.tyre_radius_mm]])
        limit = float(self.view.depth(hub)[0]) + 0.9 * wheel.tyre_radius_mm
        nearest = [float(self.view.depth(shape.panel.mesh.vertices).min()) for shape in self.shapes]
        beyond = next((place for place, depth in enumerate(nearest) if depth < limit), len(nearest))
        return self.shapes[:beyond], self.shapes[beyond:]

    def _by_near_wheels(self) -> tuple[tuple[Shape, ...], ...]:
        """A bumper or rocker past a wheel, as seen from the eye's end of the car, is set in behind the wheel's face there.

        What lies above the tyres (glass, mirrors) hides none of them and keeps its place among the rest.
        """
        away = 1.0 if self.view.name.startswith("front") else -1.0
        hubs = sorted((away * wheel.x_mm + _PAST_HUB * wheel.tyre_radius_mm for wheel in self.body.wheels), reverse=True)
        tyres_top = 2 * self.body.wheels[0].tyre_radius_mm
        part = []
        for shape in self.shapes:
            x, z = away * shape.panel.mesh.vertices[:, 0], shape.panel.mesh.vertices[:, 2]
            part.append(sum(bool(x.min() < hub) for hub in hubs) if z.min() < tyres_top else len(hubs))
        return tuple(tuple(shape for shape, of in zip(self.shapes, part, strict=True) if of == which) for which in range(len(hubs) + 1))

    @cached_property
    def by_id(self) -> Mapping[str, Shape]:
        return {shape.panel.id: shape for shape in self.shapes}

    @property
    def reach(self) -> tuple[float, float]:
        """Least and greatest x of what is drawn of the body, mm."""
        bounds = shapely.bounds(np.array([shape.region for shape in self.shapes if shape.panel.layer in _SOLID], dtype=object))
        return float(bounds[:, 0].min()), float(bounds[:, 2].max())

    @cached_property
    def silhouette(self) -> shapely.Geometry:
        """The body without mirrors, antenna, rails; gaps between panels closed, wheel openings open."""
        return _silhouette(self.shapes)

    @cached_property
    def visible(self) -> Mapping[str, shapely.Geometry]:
        """Panel id -> the part of its region that nothing lies over, without crumbs; no two overlap. Zones lie within their panel's."""
        seen = _visible(np.array([shape.region for shape in self.shapes], dtype=object))
        parts = {shape.panel.id: part for shape, part in zip(self.shapes, seen, strict=True)}
        for shape in self.shapes:
            for zone in shape.zones:
                parts[zone.panel.id] = shapely.intersection(*mended([zone.region, parts[shape.panel.id]]))
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
    sketch = _sketch(body, view_name)
    order = [panel for panel in painters_order(body, sketch.view) if panel in sketch.areas]
    solid = [panel for panel in order if body.panels[panel].layer not in (Layer.UNDER, Layer.ZONE)]
    kept = sketch.not_hidden(solid)
    zones = _by_host(body, [panel for panel in order if body.panels[panel].layer is Layer.ZONE], kept)
    outlined = [*kept, *(zone for some in zones.values() for zone in some), *(panel for panel in order if panel not in solid)]
    finished, marks = sketch.finished(kept, outlined)
    shapes = [finished(panel, zones.get(panel, ())) for panel in kept]
    under = [finished(panel) for panel in order if body.panels[panel].layer is Layer.UNDER]
    return Scene(body, sketch.view, tuple(under), tuple(shapes), marks)


@dataclass(frozen=True, eq=False)
class _Sketch:
    """What a view has of each panel before anything is in the way. `twins`: left-hand panel -> the right-hand one that it mirrors."""

    body: Body
    view: Projection
    meshes: Surfaces
    outlines: Outlines
    areas: dict[str, shapely.Geometry]
    twins: dict[str, str]
    index: dict[str, int]

    def not_hidden(self, order: list[str]) -> list[str]:
        """The panels of a painter's order of which enough shows: looked at in a few triangles of each.

        A mirror image shows as its twin does.
        """
        looked_at = [panel for panel in order if panel not in self.twins]
        turned = dot(self.meshes.facing, self.view.toward(self.meshes.centres)) > 0
        triangles = [_every_so_many(self._to_be_seen(panel, turned)) for panel in looked_at]
        chosen, place = np.concatenate(triangles), {panel: number for number, panel in enumerate(order)}
        owner = np.repeat(np.arange(len(looked_at)), [len(some) for some in triangles])
        depth = np.array([place[panel] for panel in looked_at])[owner]
        x, y = self.view.plane(self.meshes.centres[chosen]).T
        lids = np.array([self.areas[panel] for panel in order], dtype=object)
        left, low, right, high = shapely.bounds(lids).T[:, :, None]
        nearer = np.arange(len(order))[:, None] > depth
        lid, found = np.nonzero(nearer & (left < x) & (x < right) & (low < y) & (y < high))
        shapely.prepare(lids)
        hidden = np.zeros(len(chosen), dtype=bool)
        hidden[found[shapely.contains_xy(lids[lid], x[found], y[found])]] = True
        seen = np.bincount(owner[~hidden], minlength=len(looked_at)) / np.maximum(np.bincount(owner, minlength=len(looked_at)), 1)
        share = dict(zip(looked_at, seen.tolist(), strict=True))
        return [panel for panel in order if self._shows(panel, share[self.twins.get(panel, panel)])]

    def _to_be_seen(self, panel: str, turned: Flags) -> Indices:
        """Those of a panel's triangles that face the eye (`turned`, of all triangles, says which do); all of a fitting's."""
        span = self.meshes.triangle_span(self.index[panel])
        if self.body.panels[panel].layer is Layer.FITTING:
            return np.arange(span.start, span.stop)
        return np.asarray(np.flatnonzero(turned[span]) + span.start)

    def _shows(self, panel: str, share: float) -> bool:
        """A fitting closes a hole in its panel (a mirror's foot, a handle): without it one would look through the door."""
        least = _LEAST_FITTING_VISIBLE_MM2 if self.body.panels[panel].layer is Layer.FITTING else _LEAST_VISIBLE_MM2
        return bool(share > _LEAST_SHARE or share * self.areas[panel].area > least)

    def finished(self, kept: list[str], outlined: list[str]) -> tuple[Callable[..., Shape], Mapping[str, tuple[Mark, ...]]]:
        """Light, outlines and marks of the panels that stay; all their paths are worked out together."""
        own = [panel for panel in outlined if panel not in self.twins]
        lit = [panel for panel in kept if self.body.panels[panel].surface in SHADED and self.areas[panel].area > _SMALL_MM2]
        shades = ramps(self.meshes, self.view, self.body.size.height_mm, [self.index[panel] for panel in lit if panel not in self.twins])
        rings = [(panel, self.outlines.rings[ring]) for panel in own for ring in self.outlines.of(self.index[panel])]
        drawn = drawn_marks(self.body, self.view, [panel for panel in own if panel in kept])
        paths = self._paths([ring for _, ring in rings], drawn)
        data: dict[str, str] = {}
        for (panel, _), path in zip(rings, paths, strict=False):
            data[panel] = data.get(panel, "") + path

        def shape(panel: str, zones: Sequence[str] = ()) -> Shape:
            twin = self.twins.get(panel)
            flip, ramp = _FLIP[self.view.name] if twin else None, shades.get(self.index[twin or panel])
            lying_on = tuple(shape(zone) for zone in zones)
            return Shape(self.body.panels[panel], data.get(panel, ""), self.areas[panel], ramp, twin, flip, lying_on)

        return shape, marks_by_panel(drawn, paths[len(rings) :])

    def _paths(self, rings: list[Points], drawn: list[Drawn]) -> list[str]:
        """Paths of outlines and then of marks, in their order."""
        closed = [mark.plane for mark in drawn if mark.is_closed]
        lines = [mark.plane for mark in drawn if not mark.is_closed]
        tolerances = [TOLERANCE_MM] * len(rings) + [MARK_TOLERANCE_MM] * len(drawn)
        pins = self.view.plane(junctions(self.body))
        paths = paths_of([*rings, *closed], lines, tolerance_mm=tolerances, pins=pins)
        of_rings, of_lines = iter(paths[len(rings) : len(rings) + len(closed)]), iter(paths[len(rings) + len(closed) :])
        return paths[: len(rings)] + [next(of_rings if mark.is_closed else of_lines) for mark in drawn]


def _sketch(body: Body, view_name: str) -> _Sketch:
    view = projection(body, view_name)
    meshes = surfaces_for(body, view_name)
    outlines = facing_outlines(meshes, view)
    areas = {meshes.panels[index].id: area for index, area in regions(outlines).items()}
    turned = {}
    if view_name in SYMMETRIC_VIEWS:
        turned = {panel: twin for panel, twin in twins(body).items() if twin in areas}
        right = np.array([areas[twin] for twin in turned.values()], dtype=object)
        images = shapely.transform(right, lambda points: points * _TURN[view_name])
        areas |= dict(zip(turned, images.tolist(), strict=True))
    return _Sketch(body, view, meshes, outlines, areas, turned, {panel.id: index for index, panel in enumerate(meshes.panels)})


def _every_so_many(triangles: Indices) -> Indices:
    return triangles[:: max(1, len(triangles) // _SAMPLES)]


def _visible(areas: Areas) -> list[shapely.Geometry]:
    """For areas in painter's order, each one's part that no later one lies over, without crumbs."""
    lower, upper = shapely.STRtree(areas).query(areas, predicate="intersects")
    above: dict[int, list[int]] = {}
    for below, over in zip(lower.tolist(), upper.tolist(), strict=True):
        if over > below:
            above.setdefault(below, []).append(over)
    left = areas.copy()
    covered = np.array(sorted(above), dtype=np.int64)
    lids = [joined(areas[above[index]]) for index in covered.tolist()]
    left[covered] = less(areas[covered], lids)
    opened = grown(grown(left[covered], -_CRUMB_MM), _CRUMB_MM)
    left[covered] = shapely.intersection(opened, mended(left[covered]))
    return list(left)


def _by_host(body: Body, zones: list[str], kept: list[str]) -> dict[str, list[str]]:
    """Extra zones by the panel that they lie on; a door sill behind the closed door lies on none."""
    found: dict[str, list[str]] = {}
    for zone in zones:
        host = hosts(body)[zone]
        if host in kept and lies_on_skin(body.panels[zone], body.panels[host]):
            found.setdefault(host, []).append(zone)
    return found


def _silhouette(shapes: Sequence[Shape]) -> shapely.Geometry:
    areas = np.array([shape.region for shape in shapes if shape.panel.layer in _SOLID], dtype=object)
    parts = shapely.get_parts(grown([joined(grown(areas, _GAP_MM))], -_GAP_MM))
    closed = [
        shapely.Polygon(part.exterior, [hole for hole in part.interiors if shapely.Polygon(hole).area > _OPENING_MM2])
        for part in parts
        if part.area > _OPENING_MM2
    ]
    return joined(closed)

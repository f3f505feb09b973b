"""What a view sees of each panel by itself: the outline of the part that faces the eye, before anything is in the way."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Layer, Panel, Points
from configurator.domain.body.vectors import cross, dot, unit
from configurator.drawing.contours import border, chain, level_rings
from configurator.drawing.curves import polygon_rings
from configurator.drawing.mending import grown, joined, mended
from configurator.drawing.projection import Perspective, Projection
from configurator.drawing.rings import Areas, Rings
from configurator.drawing.rounding import rounded_once
from configurator.drawing.surfaces import Flags, Surfaces

_FACING = 0.02
"""All triangles facing more than this: the panel's own rings are its outline. None: it isn't seen."""
_DENTED_VIEWS = ("front", "rear")
_DENT_MM = 9.0
_SAW_MM = 150.0
"""Dents that are closed: where a surface just turns away, and the teeth that a coarse mesh gives a rail's ridge."""
_LEVEL = 0.6
"""A fitting's triangles whose normals point upward by more than this sine are its top."""
_JUST_TURNED = -0.15
"""Triangles turned away by less than this lie close behind the horizon."""
_LEAST_AREA_MM2 = 150.0
_CRUMB_MM2 = 20.0
_LEAST_SHOWN_MM2 = {Layer.BODY: 1000.0, Layer.GLASS: 1000.0, Layer.FITTING: 600.0}
_LEAST_OTHER_MM2 = 4000.0
_LEAST_SHARE = 0.04
"""A panel that shows less than this of itself (or this share of a small one) isn't drawn; a body panel that is missing is a gap."""
_SMALL_MM = 330.0
_HORIZON = -0.004
"""Just past the horizon, so that an edge that lies in the middle plane stays in."""
_LEAST_WIDTH_MM = 3.0
_LEAST_HOLE_WIDTH_MM = 14.0
"""Mean widths (twice the area over the perimeter): a narrower ring is a sliver seen edge-on, a narrower hole a dent, not an opening."""


@dataclass(frozen=True, eq=False)
class Outlines:
    """`rings` of all panels that are seen, panel by panel; `panels[i]` is the index of ring i's panel, ascending.

    Outer rings turn from x to y, holes back.
    """

    rings: Rings
    panels: Indices

    @cached_property
    def _first_ring(self) -> list[int]:
        """For each panel up to the last one seen, and the one after it, the place of its first ring."""
        last = int(self.panels[-1]) if len(self.panels) else -1
        return list(np.searchsorted(self.panels, np.arange(last + 2)).tolist())

    def of(self, panel: int) -> list[int]:
        bounds = self._first_ring
        return list(range(bounds[panel], bounds[panel + 1])) if panel + 1 < len(bounds) else []


def facing_outlines(meshes: Surfaces, view: Projection) -> Outlines:
    facing = dot(meshes.facing, view.toward(meshes.corners))
    starts = meshes.first_triangle[:-1]
    seen = _worth_drawing(meshes, facing)
    whole = seen & (np.minimum.reduceat(facing, starts) > _FACING) & np.array([len(panel.loops) > 0 for panel in meshes.panels])
    plane = view.plane(meshes.vertices)
    field = dot(meshes.normals, view.toward(meshes.vertices))
    joined = seen & ~whole & np.array([_needs_joining(panel, view) for panel in meshes.panels])
    small = joined.copy()
    small[joined] = [_is_small(meshes.panels[index]) for index in np.flatnonzero(joined).tolist()]
    found = [
        _own_rings(meshes, plane, whole),
        _horizon_rings(meshes, plane, field, seen & ~whole & ~joined, dented=view.name in _DENTED_VIEWS),
        _hulls(meshes, plane, small),
        _silhouette_rings(meshes, view, joined & ~small),
    ]
    rings = Rings.of([ring for rings, _ in found for ring in rings])
    return _without_slivers(rings, np.array([panel for _, panels in found for panel in panels], dtype=np.int64))


def _worth_drawing(meshes: Surfaces, facing: Points) -> Flags:
    """Panels that show more of themselves than a sliver."""
    starts = meshes.first_triangle[:-1]
    shown = np.add.reduceat(np.maximum(facing, 0) * meshes.areas, starts)
    steep = np.maximum.reduceat(facing, starts) > _FACING
    least = np.array([_LEAST_SHOWN_MM2.get(panel.layer, _LEAST_OTHER_MM2) for panel in meshes.panels])
    least = np.minimum(least, _LEAST_SHARE * np.add.reduceat(meshes.areas, starts))
    return np.asarray(steep & (shown > least), dtype=np.bool_)


def _needs_joining(panel: Panel, view: Projection) -> bool:
    """A fitting stands on the skin; in perspective long strips of skin lie nearly along the sight line."""
    return panel.layer is Layer.FITTING or isinstance(view, Perspective)


def _is_small(panel: Panel) -> bool:
    """A handle, a badge, an antenna: from any side as good as its convex hull."""
    return panel.layer is Layer.FITTING and float(np.ptp(panel.mesh.vertices, axis=0).max()) < _SMALL_MM


def _hulls(meshes: Surfaces, plane: Points, small: Flags) -> tuple[list[Points], list[int]]:
    panels = np.flatnonzero(small).tolist()
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_vertex))
    chosen = small[owner]
    if not panels:
        return [], []
    hulls = shapely.convex_hull(shapely.linestrings(plane[chosen], indices=np.searchsorted(panels, owner[chosen])))
    return [shapely.get_coordinates(hull)[:-1] for hull in hulls], panels


def _own_rings(meshes: Surfaces, plane: Points, whole: Flags) -> tuple[list[Points], list[int]]:
    rings, panels = [], []
    for index in np.flatnonzero(whole).tolist():
        for loop in meshes.panels[index].loops:
            rings.append(plane[loop.indices + meshes.first_vertex[index]])
            panels.append(index)
    return rings, panels


def _horizon_rings(meshes: Surfaces, plane: Points, field: Points, cut: Flags, *, dented: bool) -> tuple[list[Points], list[int]]:
    """Outlines of the part of each panel on this side of its horizon, where smooth normals turn away from the eye.

    `dented`: the view looks along shoulders and hollows, so that narrow dents are closed.
    """
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_triangle))
    found = level_rings(plane, meshes.triangles[cut[owner]], field, level=_HORIZON)
    panels = np.searchsorted(meshes.first_vertex, [found.sources[ring[0]] for ring in found.rings], side="right") - 1
    if not dented:
        return [found.points[ring] for ring in found.rings], panels.tolist()
    rings = Rings.of([found.points[ring] for ring in found.rings])
    solid, holes = _sorted_by_turn(rings.polygons(), rings.areas, panels)
    closed = _closed([shapely.MultiPolygon(parts) for parts in solid.values()], _DENT_MM)
    areas = [_less(area, holes.get(panel, [])) for panel, area in zip(solid, closed, strict=True)]
    return _outlines(list(solid), areas)


def _sorted_by_turn(
    shapes: Areas, areas: Points, panels: Indices
) -> tuple[dict[int, list[shapely.Polygon]], dict[int, list[shapely.Polygon]]]:
    """By panel: the rings that turn as the panel's largest one does, and its holes. Crumbs are left out."""
    turns: dict[int, float] = {}
    solid: dict[int, list[shapely.Polygon]] = {}
    holes: dict[int, list[shapely.Polygon]] = {}
    for place in np.argsort(-np.abs(areas)).tolist():
        panel, turn = int(panels[place]), float(np.sign(areas[place]))
        if abs(areas[place]) > _CRUMB_MM2:
            (solid if turns.setdefault(panel, turn) == turn else holes).setdefault(panel, []).append(shapes[place])
    return solid, holes


def _less(area: shapely.Geometry, holes: list[shapely.Polygon]) -> shapely.Geometry:
    """An area without the holes that are more than a dent."""
    if not holes:
        return area
    wide = grown(grown(holes, -_DENT_MM), _DENT_MM, segments=2, join="round")
    return shapely.difference(area, shapely.union_all(wide))


def _silhouette_rings(meshes: Surfaces, view: Projection, cut: Flags) -> tuple[list[Points], list[int]]:
    """Outlines of panels that the horizon runs along rather than across.

    The triangles that face the eye and those that turn away only just are outlined apart and joined: the zigzag where they meet goes,
    and what bounds both is the true silhouette. Of a fitting, which stands on the skin, every triangle counts, its top apart from its
    walls, since the one may lie over the other.
    """
    vertices, triangles, owner, smooth, across = _finer(meshes, view, cut)
    plane, panel_of = view.plane(vertices), np.zeros(len(vertices), dtype=np.int64)
    panel_of[triangles] = owner[:, None]
    standing = np.array([panel.layer is Layer.FITTING for panel in meshes.panels])[owner]
    flat = dot(across, view.toward(vertices[triangles[:, 0]]))
    level = standing & (np.abs(across[:, 2]) > _LEVEL)
    front = (smooth > 0) | (flat > _FACING)
    turning = ~front & (standing | (smooth > _JUST_TURNED))
    parts: dict[int, list[shapely.Geometry]] = {}
    for chosen in (front & ~level, turning & ~level, front & level, turning & level):
        pieces: dict[int, list[Points]] = {}
        for ring in chain(border(triangles[chosen], len(vertices))):
            panel = int(panel_of[ring[0]])
            pieces.setdefault(panel, []).append(plane[ring])
        for panel, found in pieces.items():
            parts.setdefault(panel, []).append(_filled(found))
    areas = [joined(found) for found in parts.values()]
    fittings = [place for place, panel in enumerate(parts) if meshes.panels[panel].layer is Layer.FITTING]
    for place, area in zip(fittings, _closed([areas[place] for place in fittings], _SAW_MM), strict=True):
        areas[place] = shapely.MultiPolygon([shapely.Polygon(part.exterior) for part in shapely.get_parts(area)])
    return _outlines(list(parts), areas)


def _finer(meshes: Surfaces, view: Projection, cut: Flags) -> tuple[Points, Indices, Indices, Points, Points]:
    """The triangles of some panels, finer in perspective: (n, 3) vertices, (m, 3) corners, (m,) panels, (m,) the mean cosine between
    smooth normals and sight line, (m, 3) the triangles' own unit normals."""
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_triangle))
    chosen = np.flatnonzero(cut[owner])
    vertices, normals, triangles, parts = meshes.vertices, meshes.normals, meshes.triangles[chosen], 1
    if isinstance(view, Perspective):
        vertices, normals, triangles = rounded_once(vertices, normals, triangles)
        parts = 4
    facing = dot(normals, view.toward(vertices))
    a, b, c = (vertices[triangles[:, corner]] for corner in range(3))
    across = unit(cross(b - a, c - a))
    return vertices, triangles, np.repeat(owner[chosen], parts), facing[triangles].mean(axis=1), across


def _closed(areas: list[shapely.Geometry], by_mm: float) -> list[shapely.Geometry]:
    """Areas with dents narrower than twice `by_mm` filled, corners kept. A wide reach needs round joins, a narrow one doesn't."""
    segments, join = (10, "round") if by_mm > _DENT_MM else (1, "mitre")
    return list(grown(grown(areas, by_mm, segments=segments, join=join), -by_mm, segments=segments))


def _outlines(panels: list[int], areas: list[shapely.Geometry]) -> tuple[list[Points], list[int]]:
    pairs = [(outline, panel) for panel, area in zip(panels, areas, strict=True) for outline in polygon_rings(area)]
    return [outline for outline, _ in pairs], [panel for _, panel in pairs]


def _filled(rings: list[Points]) -> shapely.Geometry:
    """The area of rings: those that turn as the largest one does, less those that turn the other way. One that touches itself is mended."""
    together = Rings.of(rings)
    turn = np.sign(together.areas[np.abs(together.areas).argmax()]) * together.areas
    shapes = together.polygons()
    solid, holes = joined(shapes[turn > _CRUMB_MM2]), shapes[turn < -_CRUMB_MM2]
    return shapely.difference(solid, joined(holes)) if len(holes) else solid


def _without_slivers(rings: Rings, panels: Indices) -> Outlines:
    """Slivers and dents dropped, every panel's largest ring turned from x to y and its other rings with it."""
    area = np.abs(rings.areas)
    width = 2 * area / np.maximum(rings.perimeters, 1e-9)
    kept = np.flatnonzero((area > _LEAST_AREA_MM2) & (width > _LEAST_WIDTH_MM))
    order = kept[np.lexsort((-area[kept], panels[kept]))]
    largest = order[np.searchsorted(panels[order], panels[order])]
    turned = rings.areas[largest] < 0
    dent = (rings.areas[order] * rings.areas[largest] < 0) & (width[order] < _LEAST_HOLE_WIDTH_MM)
    chosen = zip(order[~dent].tolist(), turned[~dent].tolist(), strict=True)
    return Outlines(Rings.of([rings[ring][::-1] if back else rings[ring] for ring, back in chosen]), panels[order[~dent]])


def regions(outlines: Outlines, *, tolerance_mm: float = 3.0) -> dict[int, shapely.Geometry]:
    """Each seen panel's outline as one valid shapely area, slightly simplified."""
    shapes = mended(shapely.simplify(outlines.rings.polygons(), tolerance_mm, preserve_topology=False))
    return {panel: _area(shapes, outlines, panel) for panel in dict.fromkeys(outlines.panels.tolist())}


def _area(shapes: Areas, outlines: Outlines, panel: int) -> shapely.Geometry:
    """Of sound shapes: what the panel's outer ones cover, without its holes."""
    rings = outlines.of(panel)
    if len(rings) == 1:
        return shapes[rings[0]]
    hole = outlines.rings.areas[rings] < 0
    solid, holes = shapes[rings][~hole], shapes[rings][hole]
    area = solid[0] if len(solid) == 1 else shapely.union_all(solid)
    return shapely.difference(area, shapely.union_all(holes)) if len(holes) else area

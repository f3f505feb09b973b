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
"""Half the width up to which dents are closed where a surface just turns away."""
_NEEDLESS_MM = 0.5
"""How far an outline may leave its points before its dents are closed: with fewer of them that takes half the time."""
_PIECE_MM = 160.0
"""A large fitting is taken to pieces of about this length and breadth."""
_CELLS = 1024
"""More than there are such pieces along or across any car."""
_JUST_TURNED = -0.05
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
    facing = dot(meshes.facing, view.toward(meshes.centres))
    starts = meshes.first_triangle[:-1]
    seen = _worth_drawing(meshes, facing)
    whole = seen & (np.minimum.reduceat(facing, starts) > _FACING) & np.array([len(panel.loops) > 0 for panel in meshes.panels])
    plane = view.plane(meshes.vertices)
    field = dot(meshes.normals, view.toward(meshes.vertices))
    cut = seen & ~whole
    fitting = cut & np.array([panel.layer is Layer.FITTING for panel in meshes.panels])
    found = [_own_rings(meshes, plane, whole), _fitting_rings(meshes, plane, fitting)]
    if isinstance(view, Perspective):
        found.append(_silhouette_rings(meshes, view, cut & ~fitting))
    else:
        found.append(_horizon_rings(meshes, plane, field, cut & ~fitting, dented=view.name in _DENTED_VIEWS))
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


def _own_rings(meshes: Surfaces, plane: Points, whole: Flags) -> tuple[list[Points], list[int]]:
    rings, panels = [], []
    for index in np.flatnonzero(whole).tolist():
        for loop in meshes.panels[index].loops:
            rings.append(plane[loop.indices + meshes.first_vertex[index]])
            panels.append(index)
    return rings, panels


def _fitting_rings(meshes: Surfaces, plane: Points, fitting: Flags) -> tuple[list[Points], list[int]]:
    """Outlines of what stands on the skin. All of it counts, whichever way it faces: it is its pieces' convex hulls, joined.

    A small one (a handle, a badge, an antenna) is one piece: from any side as good as its convex hull.
    """
    chosen = np.flatnonzero(fitting[meshes.owner])
    if not len(chosen):
        return [], []
    owner = meshes.owner[chosen]
    large = fitting.copy()
    large[fitting] = [not _is_small(meshes.panels[index]) for index in np.flatnonzero(fitting).tolist()]
    cells = np.where(large[owner, None], meshes.centres[chosen, :2] // _PIECE_MM, 0.0).astype(np.int64) + _CELLS // 2
    pieces, piece = np.unique((owner * _CELLS + cells[:, 0]) * _CELLS + cells[:, 1], return_inverse=True)
    piece_corners = np.unique(np.repeat(piece, 3) * len(plane) + meshes.triangles[chosen].ravel())
    hulls = shapely.convex_hull(shapely.linestrings(plane[piece_corners % len(plane)], indices=piece_corners // len(plane)))
    panels, first = np.unique(pieces // _CELLS**2, return_index=True)
    areas = [shapely.union_all(found) if len(found) > 1 else found[0] for found in np.split(hulls, first[1:])]
    parts, of = shapely.get_parts(areas, return_index=True)
    solid = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    rings = [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_exterior_ring(parts[solid])]
    return rings, panels[of[solid]].tolist()


def _is_small(panel: Panel) -> bool:
    return float(np.ptp(panel.mesh.vertices, axis=0).max()) < _SMALL_MM


def _horizon_rings(meshes: Surfaces, plane: Points, field: Points, cut: Flags, *, dented: bool) -> tuple[list[Points], list[int]]:
    """Outlines of the part of each panel on this side of its horizon, where smooth normals turn away from the eye.

    `dented`: the view looks along shoulders and hollows, so that narrow dents are closed.
    """
    found = level_rings(plane, meshes.triangles[cut[meshes.owner]], field, level=_HORIZON)
    panels = np.searchsorted(meshes.first_vertex, [found.sources[ring[0]] for ring in found.rings], side="right") - 1
    if not dented:
        return [found.points[ring] for ring in found.rings], panels.tolist()
    rings = Rings.of([found.points[ring] for ring in found.rings]).thinned(_NEEDLESS_MM)
    solid, holes = _sorted_by_turn(rings.polygons(), rings.areas, panels)
    closed = _closed([shapely.MultiPolygon(parts) for parts in solid.values()])
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
    """Outlines in perspective, where long strips of skin lie nearly along the sight line: the horizon runs along rather than across them.

    The triangles that face the eye and those that turn away only just are outlined apart and joined: the zigzag where they meet goes,
    and what bounds both is the true silhouette. Of the skin its dents are closed then.
    """
    vertices, triangles, owner, smooth, flat = _finer(meshes, view, cut)
    plane, panel_of = view.plane(vertices), np.zeros(len(vertices), dtype=np.int64)
    panel_of[triangles] = owner[:, None]
    front = (smooth > 0) | (flat > _FACING)
    parts: dict[int, list[shapely.Geometry]] = {}
    for chosen in (front, ~front & (smooth > _JUST_TURNED)):
        pieces: dict[int, list[Points]] = {}
        for ring in chain(border(triangles[chosen], len(vertices))):
            panel = int(panel_of[ring[0]])
            pieces.setdefault(panel, []).append(plane[ring])
        for panel, found in pieces.items():
            parts.setdefault(panel, []).append(_filled(found))
    areas = [joined(found) for found in parts.values()]
    skin = [place for place, panel in enumerate(parts) if meshes.panels[panel].layer is not Layer.MIRROR]
    for place, area in zip(skin, _closed([areas[place] for place in skin]), strict=True):
        areas[place] = area
    return _outlines(list(parts), areas)


def _finer(meshes: Surfaces, view: Projection, cut: Flags) -> tuple[Points, Indices, Indices, Points, Points]:
    """The triangles of some panels, made finer: (n, 3) vertices, (m, 3) corners, (m,) panels, and (m,) cosines to the sight line: the mean
    of the smooth normals' and the triangles' own."""
    chosen = np.flatnonzero(cut[meshes.owner])
    vertices, normals, triangles = rounded_once(meshes.vertices, meshes.normals, meshes.triangles[chosen])
    toward = view.toward(vertices)
    a, b, c = (vertices[triangles[:, corner]] for corner in range(3))
    flat = dot(unit(cross(b - a, c - a)), toward[triangles[:, 0]])
    return vertices, triangles, np.repeat(meshes.owner[chosen], 4), dot(normals, toward)[triangles].mean(axis=1), flat


def _closed(areas: list[shapely.Geometry]) -> list[shapely.Geometry]:
    """Areas with their dents filled, corners kept."""
    return list(grown(grown(areas, _DENT_MM), -_DENT_MM))


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
    shapes = mended(outlines.rings.thinned(tolerance_mm).polygons())
    panels, first, counts = np.unique(outlines.panels, return_index=True, return_counts=True)
    areas = dict(zip(panels.tolist(), shapes[first].tolist(), strict=True))
    for panel in panels[counts > 1].tolist():
        areas[panel] = _area(shapes, outlines, panel)
    return areas


def _area(shapes: Areas, outlines: Outlines, panel: int) -> shapely.Geometry:
    """Of sound shapes: what the panel's outer ones cover, without its holes."""
    rings = outlines.of(panel)
    hole = outlines.rings.areas[rings] < 0
    solid, holes = shapes[rings][~hole], shapes[rings][hole]
    area = solid[0] if len(solid) == 1 else shapely.union_all(solid)
    return shapely.difference(area, shapely.union_all(holes)) if len(holes) else area

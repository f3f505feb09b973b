"""What a view shows is the body: outlines true to the projected edges, the same place in all views, nothing missing, nothing twice."""

from functools import cache

import numpy as np
import pytest
import shapely
from shapely import affinity

from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body, Layer, Side
from configurator.drawing.curves import TOLERANCE_MM
from configurator.drawing.outlines import Outlines, facing_outlines, regions
from configurator.drawing.projection import PARALLEL_VIEWS, SHEET_VIEWS, Parallel, projection
from configurator.drawing.scene import Scene, scene
from configurator.drawing.surfaces import SYMMETRIC_VIEWS, Surfaces, gather, surfaces_for, twins
from configurator.loading.body_styles import load_body_styles
from tests.drawing.cars import STYLES
from tests.drawing.path_reading import points_of
from tests.drawing.rays import first_met

_GRID_MM = 2.0
_STRAY_MM = 1.5 * TOLERANCE_MM + _GRID_MM
"""How far a drawn curve may leave the edge it draws: thinning, the curve through what is left, rounding to the grid."""
_NEAR_EDGE_MM = 8.0
_EDGE_ON = 0.07
"""Cosine of 86 degrees: what is seen at less is a line, not a surface."""
_TURN = {"front": (-1, 1), "rear": (-1, 1), "top": (1, -1)}


@cache
def bare_and_full(style: str) -> tuple[Body, Body]:
    """With the usual features, and with all that it can have."""
    authored = load_body_styles()[style]
    usual = build_body(authored, size=authored.typical_size, features=authored.usual_features, fuel_door=authored.fuel_door)
    return usual, build_body(authored, size=authored.typical_size, features=authored.possible_features, fuel_door=authored.fuel_door)


def _true_rings(body: Body, view: str) -> dict[str, list[np.ndarray]]:
    """Panel -> its outline in the view before any thinning."""
    meshes = surfaces_for(body, view)
    outlines = facing_outlines(meshes, projection(body, view))
    return {meshes.panels[panel].id: [outlines.rings[ring] for ring in outlines.of(panel)] for panel in set(outlines.panels.tolist())}


def _closed_lines(rings: list[np.ndarray]) -> shapely.Geometry:
    return shapely.MultiLineString([np.vstack([ring, ring[:1]]) for ring in rings if len(ring) > 1])


@pytest.mark.parametrize("view", SHEET_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_drawn_outlines_run_along_the_projected_edges(style: str, view: str) -> None:
    body = bare_and_full(style)[0]
    true = _true_rings(body, view)
    for shape in scene(body, view).shapes:
        if shape.twin is None and true[shape.panel.id]:
            drawn, edge = _closed_lines(points_of(shape.data)), shapely.segmentize(_closed_lines(true[shape.panel.id]), 5)
            assert shapely.hausdorff_distance(drawn, edge) < _STRAY_MM, shape.panel.id


def _junctions(body: Body) -> dict[tuple[float, ...], set[str]]:
    """Places where an edge of one neighbour ends and that of another begins -> the panels that meet there."""
    found: dict[tuple[float, ...], set[str]] = {}
    for panel in body.panels.values():
        for loop in panel.loops:
            for place, beyond in enumerate(loop.neighbours):
                if beyond != loop.neighbours[place - 1]:
                    found.setdefault(tuple(panel.mesh.vertices[loop.indices[place]].round(3).tolist()), set()).add(panel.id)
    return {place: panels for place, panels in found.items() if len(panels) > 1}


@pytest.mark.parametrize("style", STYLES)
def test_a_place_where_panels_meet_has_the_same_coordinates_in_every_view(style: str) -> None:
    """Every outline that runs through such a place passes it within a millimetre each way, which is half a step of the drawing's grid.

    So two views that show it agree on the coordinate that they share.
    """
    body = bare_and_full(style)[0]
    seen_in: dict[tuple[float, ...], set[str]] = {}
    for view in SHEET_VIEWS:
        flat, true = projection(body, view), _true_rings(body, view)
        ends = {shape.panel.id: _nodes(shape.data) for shape in scene(body, view).shapes if shape.twin is None}
        for place, panels in _junctions(body).items():
            at = flat.plane(np.array([place]))[0]
            for panel in panels & ends.keys():
                if any((np.abs(ring - at).max(axis=1) < 0.01).any() for ring in true[panel]):
                    seen_in.setdefault(place, set()).add(view)
                    assert np.abs(ends[panel] - at).max(axis=1).min() <= _GRID_MM / 2 + 0.01, (view, panel)
    assert sum(len(views) > 1 for views in seen_in.values()) > 25


def _nodes(data: str) -> np.ndarray:
    """(n, 2) the points that a path's segments start and end in."""
    return np.vstack(points_of(data, steps=1))


@pytest.mark.parametrize("view", SYMMETRIC_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_a_twin_turned_over_lies_where_its_panel_is(style: str, view: str) -> None:
    """Outlined from its own mesh the left panel is the right one turned over, to the drawing's tolerance on average."""
    for body in bare_and_full(style):
        flat = projection(body, view)
        areas = _by_panel(surfaces_for(body, view), flat)
        for left, right in twins(body).items():
            (own,) = _by_panel(gather([body.panels[left]]), flat).values() or (None,)
            assert (own is None) == (right not in areas), left
            if own is not None:
                turned = affinity.scale(areas[right], *_TURN[view], origin=(0, 0))
                assert own.symmetric_difference(turned).area < TOLERANCE_MM * own.length, left


def _by_panel(meshes: Surfaces, flat: Parallel) -> dict[str, shapely.Geometry]:
    outlines: Outlines = facing_outlines(meshes, flat)
    return {meshes.panels[panel].id: area for panel, area in regions(outlines, tolerance_mm=0.01).items()}


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("style", STYLES)
def test_the_fuel_door_is_seen_on_its_side_alone(style: str, side: str) -> None:
    """In the plan and from behind, where both flanks show: it lies in its panel's hole, and the other flank has none."""
    authored = load_body_styles()[style]
    body = build_body(authored, size=authored.typical_size, features=authored.usual_features, fuel_door=Side(side))
    door = body.panels["fuel_door"].mesh.vertices
    for view in ("left", "right"):
        shown = scene(body, view).by_id
        assert ("fuel_door" in shown) == (view == side)
    plan = scene(body, "top")
    middle = shapely.Point(*projection(body, "top").plane(door.mean(axis=0)[None])[0])
    across = shapely.Point(middle.x, -middle.y)
    over = [shape for shape in plan.shapes if shape.region.buffer(4).contains(across) and shape.panel.layer is Layer.BODY]
    assert over, "the other flank is whole"


@pytest.mark.parametrize("view", PARALLEL_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_no_two_panels_overlap_where_they_are_seen(style: str, view: str) -> None:
    for body in bare_and_full(style):
        drawn = scene(body, view)
        parts = [part for panel, part in drawn.visible.items() if body.panels[panel].layer is not Layer.ZONE]
        assert sum(part.area for part in parts) == pytest.approx(shapely.union_all(parts, grid_size=0.001).area, rel=1e-4)


@pytest.mark.parametrize("view", PARALLEL_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_no_outline_crosses_itself(style: str, view: str) -> None:
    """As a drawn area: nothing that its rings enclose twice is wider than a stray of the curves."""
    for body in bare_and_full(style):
        for shape in scene(body, view).shapes:
            for ring in points_of(shape.data):
                if len(ring) > 3:
                    whole = shapely.make_valid(shapely.Polygon(ring))
                    enclosed = sum(abs(part.area) for part in shapely.get_parts(whole) if part.geom_type in ("Polygon", "MultiPolygon"))
                    assert enclosed - abs(_signed_area(ring)) < _STRAY_MM * whole.length, shape.panel.id


def _signed_area(ring: np.ndarray) -> float:
    x, y = ring.T
    return 0.5 * float(x @ np.roll(y, -1) - np.roll(x, -1) @ y)


@pytest.mark.parametrize("view", SHEET_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_a_view_shows_what_a_sight_line_meets_first(style: str, view: str) -> None:
    """Ray casting, triangle by triangle, at two thousand places: no other panel and no hole but in one of five hundred.

    Left out are places nearer than a shut line to an edge, what is met edge-on, insides (seen under the car and through its arches), and
    the camera, which is drawn though it lies behind the windshield.
    """
    body = bare_and_full(style)[0]
    drawn = scene(body, view)
    places = _scattered(drawn, 2000)
    areas = np.array([shape.region for shape in drawn.shapes], dtype=object)
    spots = shapely.points(places)
    spot, layer = shapely.STRtree(areas).query(spots, predicate="within")
    uppermost = np.full(len(places), -1)
    np.maximum.at(uppermost, spot, layer)
    from_edge = shapely.distance(spots, shapely.union_all(shapely.boundary(areas)))
    wrong = []
    for place, met in enumerate(first_met(body, drawn.view, places)):
        seen = drawn.shapes[uppermost[place]].panel.id if uppermost[place] >= 0 else None
        if seen not in (met.panel, "windshield_camera") and met.facing > _EDGE_ON and from_edge[place] > _NEAR_EDGE_MM:
            wrong.append((seen, met, places[place].round().tolist()))
    assert len(wrong) <= 4, wrong


def _scattered(drawn: Scene, count: int) -> np.ndarray:
    """Places over the whole view, the same on every run."""
    low_x, low_y, high_x, high_y = shapely.total_bounds(np.array([shape.region for shape in drawn.shapes], dtype=object))
    return np.random.default_rng(20).uniform((low_x, low_y), (high_x, high_y), size=(count, 2))

"""Three-quarter views: nothing shows through what is nearer, no teeth where a fender turns away, lamps drawn where they face the eye."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
import shapely

from configurator.domain.body import face
from configurator.domain.body.records import Wheel
from configurator.drawing.cabin import cabin_outlines
from configurator.drawing.details import drawn_marks
from configurator.drawing.glazing import main_panes
from configurator.drawing.ornaments import ornaments
from configurator.drawing.projection import THREE_QUARTER_VIEWS, Projection, near_side, projection
from configurator.drawing.scene import Shape, scene
from tests.drawing.cars import STYLES, body_of
from tests.drawing.path_reading import points_of

_FAR = {"left": "right", "right": "left"}


@pytest.mark.parametrize("view", THREE_QUARTER_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_what_is_painted_over_a_wheel_is_nearer_to_the_eye(style: str, view: str) -> None:
    """At 300 places on each near wheel's face, against the distance of the panel's own triangles there."""
    body = body_of(style)
    drawn = scene(body, view)
    wheels = sorted(body.wheels, key=lambda wheel: -float(drawn.view.depth(_face(wheel, view)[:1])[0]))
    wrong = []
    for place, wheel in enumerate(wheels):
        face_points = _face(wheel, view)
        spots, away = drawn.view.plane(face_points), drawn.view.depth(face_points)
        for shape in (shape for part in drawn.by_wheels[place + 1 :] for shape in part):
            over = shapely.contains_xy(shape.region.buffer(-8), spots)
            behind = over & (_depth_of(shape, drawn.view, spots) > away + 5)
            wrong += [(shape.panel.id, wheel.x_mm)] * int(behind.sum())
    assert len(wrong) <= 2, wrong


def _face(wheel: Wheel, view: str) -> np.ndarray:
    """Points on a near wheel's face, the middle first."""
    radius, around = np.meshgrid(np.linspace(0, 0.97, 10) * wheel.tyre_radius_mm, np.linspace(0, 2 * np.pi, 31)[:-1], indexing="ij")
    side = 1.0 if near_side(view) == "right" else -1.0
    x, z = wheel.x_mm + radius * np.cos(around), wheel.tyre_radius_mm + radius * np.sin(around)
    return np.stack([x.ravel(), np.full(x.size, side * wheel.outer_y_mm), z.ravel()], axis=1)


def _depth_of(shape: Shape, view: Projection, spots: np.ndarray) -> np.ndarray:
    """(n,) how far away the panel is at places of the view; 0 where no triangle of it lies."""
    corners = shape.panel.mesh.vertices[shape.panel.mesh.triangles]
    plane = view.plane(corners.reshape(-1, 3)).reshape(-1, 3, 2)
    depth = view.depth(corners.reshape(-1, 3)).reshape(-1, 3)
    found = np.full(len(spots), np.inf)
    for triangle, away in zip(plane, depth, strict=True):
        frame = np.stack([triangle[1] - triangle[0], triangle[2] - triangle[0]], axis=1)
        if abs(np.linalg.det(frame)) > 1e-6:
            s, t = np.linalg.solve(frame, (spots - triangle[0]).T)
            inside = (s >= 0) & (t >= 0) & (s + t <= 1)
            found[inside] = np.minimum(found[inside], (away[0] * (1 - s - t) + away[1] * s + away[2] * t)[inside])
    return np.where(np.isfinite(found), found, 0.0)


@pytest.mark.parametrize("view", THREE_QUARTER_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_marks_lie_on_the_part_of_their_panel_that_is_seen(style: str, view: str) -> None:
    """Lamps' insides, exhausts and plates: nothing of them is drawn beside their panel, as it was where a lamp runs round a corner."""
    body = body_of(style)
    drawn = scene(body, view)
    areas = {shape.panel.id: shape.region.buffer(14) for shape in drawn.shapes}
    beside = {
        (mark.panel, mark.look)
        for mark in drawn_marks(body, drawn.view, list(areas))
        if mark.is_closed and shapely.contains_xy(areas[mark.panel], mark.plane).mean() < 0.9
    }
    assert not beside


@pytest.mark.parametrize("style", STYLES)
def test_no_exhaust_shows_from_ahead(style: str) -> None:
    body = body_of(style)
    carriers = [panel for panel in ("rear_bumper", "rear_lip") if panel in body.panels]
    for view in ("front_left", "front_right"):
        assert not [mark for mark in drawn_marks(body, projection(body, view), carriers) if mark.look.startswith("exhaust")]


@pytest.mark.parametrize("style", STYLES)
def test_a_far_fender_has_no_teeth(style: str) -> None:
    """Its upper outline, where the surface turns away, falls and rises without a dent deeper than 9 mm."""
    body = body_of(style)
    for view in ("front_left", "front_right"):
        drawn = scene(body, view)
        fender = drawn.by_id.get(f"fender_{_FAR[str(near_side(view))]}")
        if fender is None:
            continue
        largest = max(shapely.get_parts(fender.region), key=lambda part: part.area)
        assert _deepest_dent(_upper_edge(largest)) < 9, view


def _upper_edge(area: shapely.Polygon) -> np.ndarray:
    """(n, 2) the highest point of an area at places 4 mm apart, its outer tenths left out."""
    low, top, high, bottom = area.bounds
    places = np.arange(low + 0.1 * (high - low), high - 0.1 * (high - low), 4.0)
    lines = shapely.linestrings([[(x, top - 10), (x, bottom + 10)] for x in places])
    heights = [shapely.intersection(line, area).bounds[1] for line in lines]
    return np.stack([places, np.array(heights)], axis=1)


def _deepest_dent(edge: np.ndarray) -> float:
    """How far an edge lies under the straight line between points 60 mm to its left and right, at most (y points down)."""
    reach = 15
    chord = (edge[: -2 * reach, 1] + edge[2 * reach :, 1]) / 2
    return float((edge[reach:-reach, 1] - chord).max())


@pytest.mark.parametrize("view", THREE_QUARTER_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_no_hole_is_left_where_a_mirror_stands(style: str, view: str) -> None:
    assert f"mirror_foot_{near_side(view)}" in scene(body_of(style), view).by_id


@pytest.mark.parametrize("word", face.WORDS["drl"])
@pytest.mark.parametrize("style", STYLES)
def test_a_daytime_light_leaves_most_of_the_lamp_to_see(style: str, word: str) -> None:
    """A light that runs all round has a hole: seen flat it takes less than half of the lamp."""
    body = replace(body_of(style), face=MappingProxyType({**body_of(style).face, "drl": word}))
    lamp = body.panels["headlamp_right"].mesh
    origin = lamp.vertices.mean(axis=0)
    across = _flat(lamp.vertices - origin)
    corners = ((lamp.vertices - origin) @ across)[lamp.triangles]
    whole = float(abs(_turn(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])).sum() / 2)
    light = [one.points for one in ornaments(body)["headlamp_right"] if one.look == "daylight"]
    lit = abs(sum(_signed_area((points - origin) @ across) for points in light))
    assert lit < 0.5 * whole


def _flat(points: np.ndarray) -> np.ndarray:
    """(3, 2) axes of the plane that fits points best."""
    return np.asarray(np.linalg.svd(points, full_matrices=False)[2][:2].T)


def _turn(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def _signed_area(ring: np.ndarray) -> float:
    return float(_turn(ring, np.roll(ring, -1, axis=0)).sum() / 2)


@pytest.mark.parametrize("view", THREE_QUARTER_VIEWS)
@pytest.mark.parametrize("style", STYLES)
def test_seats_show_through_the_glass_and_stand_inside_the_body(style: str, view: str) -> None:
    body = body_of(style)
    drawn = scene(body, view)
    seats, _ = cabin_outlines(body, drawn.view)
    shapes = [shapely.Polygon(ring) for data in seats for ring in points_of(data)]
    glass = shapely.union_all([pane.region for pane in main_panes(drawn)])
    skin = drawn.silhouette.convex_hull

    assert len(seats) in (4, 8)
    assert all(skin.contains(shape) for shape in shapes)
    assert shapely.union_all(shapes).intersection(glass).area > 0.1 * glass.area


@pytest.mark.parametrize("view", ["front", "front_left", "front_right"])
@pytest.mark.parametrize("style", STYLES)
def test_a_plate_hangs_before_what_lies_in_its_panel(style: str, view: str) -> None:
    order = [shape.panel.id for shape in scene(body_of(style), view).shapes]
    for inset in ("grille", "intake"):
        if inset in order:
            assert order.index("front_plate") > order.index(inset), inset

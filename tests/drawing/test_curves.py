"""Path data: true to the outline, smooth where it is smooth, sharp where it turns. Areas are checked against closed forms and shapely."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.drawing.curves import TOLERANCE_MM, line_data, path_data, paths_of, polygon_data
from tests.drawing.path_reading import points_of

_ROUNDING_MM = 0.71
"""A point on a grid of whole millimetres is at most half a diagonal off."""


def circle(radius: float, count: int = 90) -> np.ndarray:
    angle = np.linspace(0, 2 * np.pi, count + 1)[:-1]
    return radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)


@pytest.mark.parametrize("radius", [40.0, 330.0, 2000.0])
def test_a_circle_is_drawn_round(radius: float) -> None:
    drawn = points_of(path_data([circle(radius)]))[0]

    assert np.abs(np.linalg.norm(drawn, axis=1) - radius).max() < 1.5 * TOLERANCE_MM + _ROUNDING_MM
    assert shapely.Polygon(drawn).area == pytest.approx(np.pi * radius**2, rel=0.03 if radius < 100 else 0.005)


def test_a_circle_needs_few_curves() -> None:
    assert sum(path_data([circle(330.0)]).count(letter) for letter in "lqc") == 1
    assert len(path_data([circle(330.0)])) < 340


def test_a_square_keeps_its_corners_and_straight_sides() -> None:
    square = np.array([[0.0, 0.0], [900.0, 0.0], [900.0, 400.0], [0.0, 400.0]])
    data = path_data([square])

    assert "c" not in data
    assert shapely.Polygon(points_of(data)[0]).equals(shapely.Polygon(square))


def test_a_long_straight_into_a_small_rounding_does_not_bulge() -> None:
    door = shapely.box(0, 0, 1000, 700).buffer(-9).buffer(9, quad_segs=4)
    drawn = shapely.Polygon(points_of(polygon_data(door))[0])

    assert drawn.symmetric_difference(door).area < 0.004 * door.area
    assert drawn.hausdorff_distance(door) < 2 * TOLERANCE_MM + _ROUNDING_MM


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.6, 1.4), min_size=8, max_size=20), st.floats(60, 3000))
def test_any_star_shaped_outline_is_drawn_within_the_tolerance(reach: list[float], size: float) -> None:
    angle = np.linspace(0, 2 * np.pi, len(reach) + 1)[:-1]
    ring = size * np.array(reach)[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    drawn = shapely.LinearRing(points_of(path_data([ring]))[0])

    assert drawn.hausdorff_distance(shapely.LinearRing(ring)) < 3 * TOLERANCE_MM + _ROUNDING_MM


def test_holes_are_kept_and_crumbs_left_out() -> None:
    plate = shapely.box(0, 0, 500, 300).difference(shapely.box(100, 100, 200, 200))
    parts = points_of(polygon_data(shapely.union(plate, shapely.box(900, 0, 905, 5))))

    assert len(parts) == 2
    assert {round(abs(shapely.Polygon(part).area)) for part in parts} == {150_000, 10_000}


def test_paths_worked_out_together_are_those_worked_out_alone() -> None:
    rings = [circle(200.0), circle(35.0, 24) + 400, np.array([[0.0, 0.0], [60.0, 0.0], [30.0, 50.0]])]
    lines = [circle(500.0)[:30], np.array([[0.0, 0.0], [300.0, 20.0]])]

    assert paths_of(rings, lines) == [path_data([ring]) for ring in rings] + [line_data([line]) for line in lines]


def test_a_ring_without_an_inside_has_an_empty_path_among_the_others() -> None:
    flat = np.array([[5.0, 5.0], [5.0, 5.0], [90.0, 5.0]])
    paths = paths_of([circle(200.0), flat, circle(90.0)], ())

    assert paths == [path_data([circle(200.0)]), "", path_data([circle(90.0)])]


def test_repeated_points_change_nothing() -> None:
    ring = circle(300.0, 40)

    assert points_of(path_data([np.repeat(ring, 2, axis=0)]))[0].shape == points_of(path_data([ring]))[0].shape


def test_an_open_line_stays_open() -> None:
    angle = np.linspace(0, np.pi, 40)
    data = line_data([500 * np.stack([np.cos(angle), np.sin(angle)], axis=1)])
    drawn = points_of(data)[0]

    assert "z" not in data
    assert drawn[0].tolist() == [500, 0]
    assert drawn[-1].tolist() == [-500, 0]
    assert np.abs(np.linalg.norm(drawn, axis=1) - 500).max() < 1.5 * TOLERANCE_MM + _ROUNDING_MM


def test_nothing_gives_nothing() -> None:
    assert path_data([]) == ""
    assert line_data([]) == ""
    assert polygon_data(shapely.Polygon()) == ""

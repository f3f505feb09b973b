"""Splines through authored points, and their division for a mesh."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.body.curves import divided, ring_around, smooth_curve, thinned

CIRCLE = np.stack([np.cos(np.arange(24) * np.pi / 12), np.sin(np.arange(24) * np.pi / 12)], axis=1) * 500


def _none(points: np.ndarray) -> np.ndarray:
    return np.zeros(len(points), dtype=bool)


def test_a_curve_passes_through_its_points() -> None:
    points = np.array([[0.0, 0], [100, 30], [260, 10], [300, 200]])
    curve = smooth_curve(points, _none(points))

    for point in points:
        assert np.linalg.norm(curve - point, axis=1).min() < 1e-9


def test_points_on_a_circle_give_back_the_circle() -> None:
    curve = smooth_curve(CIRCLE, _none(CIRCLE), closed=True)

    assert np.linalg.norm(curve, axis=1) == pytest.approx(500, rel=5e-4)
    assert np.array_equal(curve[0], curve[-1])


def test_a_curve_is_sharp_at_corners_only() -> None:
    """Between corners a two-point run is straight; at a corner the direction jumps."""
    points = np.array([[0.0, 0], [100, 0], [100, 100]])
    curve = smooth_curve(points, np.array([False, True, False]))

    assert curve.tolist() == points.tolist()


@given(st.lists(st.tuples(st.floats(20, 90), st.floats(-60, 60)), min_size=3, max_size=9))
@settings(max_examples=60, deadline=None)
def test_centripetal_splines_through_rising_points_have_no_loops(steps: list[tuple[float, float]]) -> None:
    points = np.cumsum(np.array(steps), axis=0)
    points[:, 1] = [value for _, value in steps]

    assert shapely.LineString(smooth_curve(points, _none(points))).is_simple


def test_division_keeps_the_line_and_the_longest_piece_short() -> None:
    line = divided(thinned(smooth_curve(CIRCLE, _none(CIRCLE), closed=True)), 40.0)
    steps = np.linalg.norm(np.diff(shapely.get_coordinates(line), axis=0), axis=1)

    assert steps.max() <= 40.0
    assert shapely.Polygon(line).area == pytest.approx(np.pi * 500**2, rel=2e-3)


def test_a_ring_is_closed_once() -> None:
    square = np.array([[0.0, 0], [100, 0], [100, 100], [0, 100]])

    assert ring_around(square, 200.0).is_closed
    assert len(shapely.get_coordinates(ring_around(np.vstack([square, square[:1]]), 200.0))) == 5

"""Views: the frame of SAE J1100 (x rearward, y to the right, z up) laid into planes as on a first-angle sheet (ISO 128-3, method E)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.drawing.projection import PARALLEL_VIEWS, THREE_QUARTER_VIEWS, VIEWS, near_side, projection
from tests.drawing.cars import body_of

POINTS = st.tuples(st.floats(-500, 6000), st.floats(-1100, 1100), st.floats(0, 2300))
MIRROR = np.array([1.0, -1.0, 1.0])


@pytest.mark.parametrize(
    ("view", "at"),
    [("left", (100, -300)), ("right", (-100, -300)), ("front", (-200, -300)), ("rear", (200, -300)), ("top", (100, -200))],
)
def test_a_point_lies_where_a_draughtsman_puts_it(view: str, at: tuple[int, int]) -> None:
    """A point 100 behind the nose, 200 to the right, 300 above the ground; y runs downward in the plane."""
    plane = projection(body_of("sedan"), view).plane(np.array([[100.0, 200.0, 300.0]]))

    assert plane[0].tolist() == list(at)


@given(POINTS, POINTS)
def test_parallel_views_keep_lengths_that_lie_in_their_plane(first: tuple[float, ...], second: tuple[float, ...]) -> None:
    ends = np.array([first, second])
    body = body_of("sedan")
    for view, axes in (("left", (0, 2)), ("right", (0, 2)), ("front", (1, 2)), ("rear", (1, 2)), ("top", (0, 1))):
        drawn = projection(body, view).plane(ends)
        assert np.hypot(*(drawn[1] - drawn[0])) == pytest.approx(np.hypot(*(ends[1] - ends[0])[list(axes)]), abs=1e-6)


@given(POINTS)
def test_right_views_are_the_left_ones_mirrored(point: tuple[float, ...]) -> None:
    body, here = body_of("suv"), np.array([point])
    for left, right in (("left", "right"), ("front_left", "front_right"), ("rear_left", "rear_right")):
        assert projection(body, right).plane(here * MIRROR)[0] == pytest.approx(projection(body, left).plane(here)[0] * [-1, 1], abs=1e-6)
        assert projection(body, right).depth(here * MIRROR)[0] == pytest.approx(projection(body, left).depth(here)[0], abs=1e-6)


@given(POINTS)
def test_a_step_toward_the_eye_is_nearer_and_stays_in_place(point: tuple[float, ...]) -> None:
    body, here = body_of("van"), np.array([point])
    for name in VIEWS:
        view = projection(body, name)
        nearer = here + 50 * view.toward(here)
        assert view.depth(nearer)[0] < view.depth(here)[0]
        assert view.plane(nearer)[0] == pytest.approx(view.plane(here)[0], abs=1e-6)


def test_lengths_across_the_line_of_sight_are_true_where_a_camera_aims() -> None:
    camera = projection(body_of("wagon"), "front_left")
    ends = camera.target + np.outer([-150.0, 150.0], camera.right)  # type: ignore[attr-defined]

    assert np.linalg.norm(np.diff(camera.plane(ends), axis=0)) == pytest.approx(300.0)


def test_what_is_farther_is_smaller() -> None:
    camera = projection(body_of("wagon"), "rear_right")
    near, far = (np.array([[x, 900.0, 300.0], [x, 900.0, 600.0]]) for x in (4700.0, 100.0))

    assert np.linalg.norm(np.diff(camera.plane(near), axis=0)) > np.linalg.norm(np.diff(camera.plane(far), axis=0))


def test_views_know_the_side_that_they_show() -> None:
    assert [near_side(view) for view in PARALLEL_VIEWS] == ["left", "right", None, None, None]
    assert [near_side(view) for view in THREE_QUARTER_VIEWS] == ["left", "right", "left", "right"]


def test_an_unknown_view_is_refused() -> None:
    with pytest.raises(KeyError):
        projection(body_of("sedan"), "below")

"""Meshes of plane faces against shapely's own areas, and edges that Delaunay leaves out."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.body.triangulation import Triangulation, triangulate

NO_POINTS = np.empty((0, 2))


def _areas(mesh: Triangulation) -> np.ndarray:
    a, b, c = (mesh.points[mesh.triangles[:, corner]] for corner in range(3))
    return ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2


def _check(mesh: Triangulation, faces: list[shapely.Polygon]) -> None:
    areas = _areas(mesh)

    assert (areas > 0).all()
    for number, face in enumerate(faces):
        assert areas[mesh.faces == number].sum() == pytest.approx(face.area, rel=1e-9)


def test_neighbouring_faces_and_a_hole_keep_their_areas() -> None:
    square = shapely.box(0, 0, 100, 100)
    island = shapely.box(30, 30, 60, 50)
    faces = [square.difference(island), island, shapely.box(100, 0, 180, 100)]
    inner = np.stack(np.meshgrid(np.arange(5.0, 180, 9), np.arange(5.0, 100, 9)), axis=-1).reshape(-1, 2)

    _check(triangulate(np.array(faces), inner, clearance_mm=4.0), faces)


def test_what_lies_between_separate_faces_stays_empty() -> None:
    faces = [shapely.box(0, 0, 10, 10), shapely.box(50, 0, 60, 10)]
    mesh = triangulate(np.array(faces), NO_POINTS, clearance_mm=1.0)

    assert _areas(mesh).sum() == pytest.approx(200)


def test_the_outline_is_the_edge_of_all_faces_together() -> None:
    faces = [shapely.box(0, 0, 10, 10), shapely.box(10, 0, 20, 10)]
    inner = np.array([[5.0, 5.0], [15.0, 5.0]])
    mesh = triangulate(np.array(faces), inner, clearance_mm=1.0)

    assert {tuple(point) for point in mesh.points[mesh.outline]} == {(0, 0), (10, 0), (20, 0), (20, 10), (10, 10), (0, 10)}


def test_a_long_narrow_band_keeps_its_edges() -> None:
    """Points of the far side lie inside the circle over each edge, so Delaunay alone would leave edges out."""
    outer = [(x, 0.0) for x in range(0, 500, 50)] + [(x + 20.0, 4.0) for x in range(450, -50, -50)]
    faces = [shapely.Polygon(outer), shapely.Polygon([(0, 0), (450, 0), (450, -80), (0, -80)]).segmentize(50)]
    mesh = triangulate(np.array(faces), np.array([[75.0, -20.0], [225.0, -3.5]]), clearance_mm=1.0)

    _check(mesh, faces)


@given(
    spikes=st.lists(st.floats(1.0, 60.0), min_size=5, max_size=40),
    inner=st.lists(st.tuples(st.floats(-60, 60), st.floats(-60, 60)), max_size=25, unique=True),
)
@settings(max_examples=80, deadline=None)
def test_any_star_keeps_its_area(spikes: list[float], inner: list[tuple[float, float]]) -> None:
    angles = np.arange(len(spikes)) * 2 * np.pi / len(spikes)
    star = shapely.Polygon(np.round(np.stack([np.cos(angles), np.sin(angles)], axis=1) * np.array(spikes)[:, None], 3))
    points = np.round(np.array(inner, dtype=float).reshape(-1, 2), 3)
    points = points[shapely.contains_xy(star, points[:, 0], points[:, 1])]

    _check(triangulate(np.array([star]), np.unique(points, axis=0), clearance_mm=0.5), [star])


def test_many_spiky_stars_keep_their_area() -> None:
    """Spikes leave out many edges at once; some come in with the fans of others."""
    random = np.random.default_rng(3)
    for _ in range(150):
        count = int(random.integers(5, 40))
        angles = np.arange(count) * 2 * np.pi / count
        star = shapely.Polygon(np.round(np.stack([np.cos(angles), np.sin(angles)], axis=1) * random.uniform(1, 60, count)[:, None], 3))

        _check(triangulate(np.array([star]), np.zeros((0, 2)), clearance_mm=0.5), [star])

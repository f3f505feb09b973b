"""Level lines and cuts on meshes, against closed forms: circles on a plane, slices of a sphere (Archimedes: area 2 pi r h)."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.body.measure import surface_area_mm2
from configurator.drawing.contours import border, chain, cut_mesh, level_rings


def grid(count: int, size: float) -> tuple[np.ndarray, np.ndarray]:
    """A square of side 2 * size around the origin as a triangle mesh."""
    steps = np.linspace(-size, size, count)
    points = np.stack(np.meshgrid(steps, steps, indexing="ij"), axis=-1).reshape(-1, 2)
    corner = (np.arange(count - 1)[:, None] * count + np.arange(count - 1)).ravel()
    first = np.stack([corner, corner + count, corner + count + 1], axis=1)
    second = np.stack([corner, corner + count + 1, corner + 1], axis=1)
    return points, np.vstack([first, second])


def test_the_level_line_of_a_cone_is_a_circle() -> None:
    points, triangles = grid(61, 300.0)
    found = level_rings(points, triangles, -np.linalg.norm(points, axis=1), level=-200.0)
    ring = shapely.Polygon(found.points[found.rings[0]])

    assert len(found.rings) == 1
    assert ring.is_valid
    assert ring.area == pytest.approx(np.pi * 200**2, rel=0.003)


def test_a_ring_around_a_hole_turns_the_other_way() -> None:
    points, triangles = grid(61, 300.0)
    away = np.linalg.norm(points, axis=1)
    found = level_rings(points, triangles, 80.0 - np.abs(away - 180.0), level=0.0)
    areas = sorted(_signed_area(found.points[ring]) for ring in found.rings)

    assert len(areas) == 2
    assert areas[0] == pytest.approx(-np.pi * 100**2, rel=0.01)
    assert areas[1] == pytest.approx(np.pi * 260**2, rel=0.01)


def _signed_area(ring: np.ndarray) -> float:
    return 0.5 * float(ring[:, 0] @ np.roll(ring[:, 1], -1) - np.roll(ring[:, 0], -1) @ ring[:, 1])


def test_a_field_above_the_level_everywhere_gives_the_meshs_own_border() -> None:
    points, triangles = grid(5, 100.0)
    found = level_rings(points, triangles, np.ones(len(points)), level=0.0)

    assert [len(ring) for ring in found.rings] == [16]
    assert _signed_area(found.points[found.rings[0]]) == 200.0**2


def test_a_field_below_the_level_gives_nothing() -> None:
    points, triangles = grid(5, 100.0)

    assert level_rings(points, triangles, -np.ones(len(points)), level=0.0).rings == []


def test_sources_name_a_vertex_near_each_point() -> None:
    points, triangles = grid(41, 200.0)
    found = level_rings(points, triangles, points[:, 0], level=7.0)

    assert np.linalg.norm(found.points - points[found.sources], axis=1).max() <= 10.0 * np.sqrt(2) + 1e-9


def test_edges_in_any_order_join_into_rings() -> None:
    rings = chain(np.array([[7, 2], [0, 1], [2, 9], [1, 3], [9, 7], [3, 0]]))

    assert sorted(sorted(ring.tolist()) for ring in rings) == [[0, 1, 3], [2, 7, 9]]
    assert all(_follows(ring.tolist(), [[7, 2], [0, 1], [2, 9], [1, 3], [9, 7], [3, 0]]) for ring in rings)


def _follows(ring: list[int], edges: list[list[int]]) -> bool:
    return all([start, end] in edges for start, end in zip(ring, ring[1:] + ring[:1], strict=True))


@given(st.permutations(range(40)), st.integers(3, 37))
def test_any_two_rings_come_apart_whole(points: list[int], cut: int) -> None:
    given_rings = [points[:cut], points[cut:]]
    edges = [[start, end] for ring in given_rings for start, end in zip(ring, ring[1:] + ring[:1], strict=True)]
    found = chain(np.array(sorted(edges)))

    assert sorted(sorted(ring.tolist()) for ring in found) == sorted(sorted(ring) for ring in given_rings)
    assert all(_follows(ring.tolist(), edges) for ring in found)


def test_edges_that_close_no_ring_are_refused() -> None:
    with pytest.raises(ValueError, match="rings"):
        chain(np.array([[0, 1], [1, 2]]))


def sphere(radius: float, count: int) -> tuple[np.ndarray, np.ndarray]:
    flat, triangles = grid(count, 1.0)
    polar, around = (flat[:, 0] + 1) / 2 * np.pi, (flat[:, 1] + 1) * np.pi
    points = radius * np.stack([np.sin(polar) * np.cos(around), np.sin(polar) * np.sin(around), np.cos(polar)], axis=1)
    return points, triangles


@pytest.mark.parametrize("low", [-300.0, 0.0, 250.0])
def test_a_slice_of_a_sphere_has_archimedes_area(low: float) -> None:
    points, triangles = sphere(500.0, 121)
    part = cut_mesh(points, triangles, points[:, 2] - low)

    assert surface_area_mm2(part.points, part.triangles) == pytest.approx(2 * np.pi * 500 * (500 - low), rel=0.002)
    assert part.points[np.unique(part.triangles), 2].min() >= low - 1e-9


def test_the_two_sides_of_a_cut_are_the_whole() -> None:
    points, triangles = sphere(500.0, 61)
    field = points @ np.array([0.3, 0.5, 0.8]) - 77.0
    parts = [cut_mesh(points, triangles, sign * field) for sign in (1, -1)]

    assert sum(surface_area_mm2(part.points, part.triangles) for part in parts) == pytest.approx(
        surface_area_mm2(points, triangles), rel=1e-9
    )


def test_neighbours_share_the_points_of_a_cut() -> None:
    """What is left of a square is one piece: its border is one ring."""
    points, triangles = grid(9, 100.0)
    part = cut_mesh(points, triangles, points @ np.array([1.0, 0.37]) + 11.0)

    assert len(chain(border(part.triangles, len(part.points)))) == 1

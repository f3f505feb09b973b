"""Finer triangles of a coarse mesh come nearer to the surface that it stands for."""

import numpy as np
import pytest

from configurator.domain.body.measure import surface_area_mm2
from configurator.drawing.rounding import rounded_once
from tests.drawing.shapes import a_sphere


def test_a_coarse_sphere_becomes_rounder() -> None:
    """Its area against 4 pi R^2 (Archimedes), and every new point against the radius."""
    mesh = a_sphere(500.0, middle=(0.0, 0.0, 0.0), rings=8).mesh
    vertices, normals, triangles = rounded_once(mesh.vertices, mesh.vertices / 500.0, mesh.triangles)
    coarse, finer = (surface_area_mm2(points, corners) for points, corners in ((mesh.vertices, mesh.triangles), (vertices, triangles)))

    assert len(triangles) == 4 * len(mesh.triangles)
    assert (vertices[: len(mesh.vertices)] == mesh.vertices).all()
    assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0)
    assert abs(finer / (4 * np.pi * 500**2) - 1) < 0.4 * abs(coarse / (4 * np.pi * 500**2) - 1)
    assert np.abs(np.linalg.norm(vertices, axis=1) - 500).max() < 0.25 * _sag_mm(500.0, 2 * np.pi / 16)


def _sag_mm(radius: float, angle: float) -> float:
    """How far the middle of a chord over an angle lies inside its circle."""
    return radius * (1 - np.cos(angle / 2))


def test_a_plane_stays_as_it_is() -> None:
    corners = np.array([[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 0.0], [0.0, 300.0, 0.0]])
    vertices, _, triangles = rounded_once(corners, np.tile([0.0, 0.0, 1.0], (4, 1)), np.array([[0, 1, 2], [0, 2, 3]]))

    assert (vertices[:, 2] == 0).all()
    assert surface_area_mm2(vertices, triangles) == pytest.approx(400 * 300)


def test_triangles_keep_their_turn() -> None:
    mesh = a_sphere(300.0, middle=(0.0, 0.0, 0.0), rings=10).mesh
    vertices, _, triangles = rounded_once(mesh.vertices, mesh.vertices / 300.0, mesh.triangles)
    a, b, c = (vertices[triangles[:, corner]] for corner in range(3))

    assert (np.einsum("ij,ij->i", np.cross(b - a, c - a), a + b + c) > 0).all()

"""Areas, edges and strain of surfaces whose measures stand in any handbook of geometry: plane, cylinder, spherical cap.

Sphere: Archimedes, On the Sphere and Cylinder (area of a cap 2 pi R^2 (1 - cos t), its rim 2 pi R sin t, t the half angle). Strain of a
disc laid on a sphere: Foppl-von Karman plate theory with a free edge (Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells,
from memory), for a sheet without lateral contraction, which is what as-rigid-as-possible flattening minimises.
"""

import math

import numpy as np
import pytest

from configurator.domain.body.flatten import flatten
from configurator.domain.body.measure import area_m2, difficulty, perimeter_mm, seam_length_mm
from tests.domain.body.surfaces import a_cap, a_patch

CAPS = [
    (1000, 100, 0.0025, -0.0017),
    (1000, 300, 0.0228, -0.0149),
    (500, 150, 0.0228, -0.0149),
    (300, 150, 0.0652, -0.0411),
    (150, 100, 0.1199, -0.0724),
    (100, 80, 0.1788, -0.1033),
    (60, 60, 0.2984, -0.1585),
]
"""R, geodesic reach r (mm); area of the cap over that of a flat disc with the same rim, less 1: tan^2(t/2); the rim over that of a flat
disc of radius r, less 1: sin(t)/t - 1; t = r/R. The figures were worked out apart from this program."""


@pytest.mark.parametrize(("radius", "reach", "excess", "hoop"), CAPS)
def test_a_cap_has_more_area_and_less_rim_than_a_flat_disc(radius: float, reach: float, excess: float, hoop: float) -> None:
    cap = a_cap(radius_mm=radius, reach_mm=reach, rings=60, around=240)
    rim = perimeter_mm(cap)
    flat_disc_m2 = rim**2 / (4 * math.pi) / 1e6

    assert rim == pytest.approx(2 * math.pi * radius * math.sin(reach / radius), rel=1e-4)
    assert area_m2(cap) / flat_disc_m2 - 1 == pytest.approx(excess, abs=3e-4)
    assert rim / (2 * math.pi * reach) - 1 == pytest.approx(hoop, abs=2e-4)


@pytest.mark.parametrize(("radius", "reach"), [(2000, 300), (1000, 200), (1000, 300)])
def test_a_disc_on_a_sphere_is_strained_as_plate_theory_says(radius: float, reach: float) -> None:
    """Radial strain K (r0^2 - r^2) / 16, hoop strain K (r0^2 - 3 r^2) / 16, K = 1 / R^2.

    From the 5 % quantile of the one to the 95 % quantile of the other, by area (r^2 = 0.05 r0^2 and 0.95 r0^2), the span is 0.175 t^2.
    """
    curvature, share = 1 / radius**2, 0.05
    radial = curvature * reach**2 * (1 - share) / 16
    hoop = curvature * reach**2 * (1 - 3 * (1 - share)) / 16
    strain = flatten(a_cap(radius_mm=radius, reach_mm=reach, rings=30, around=90)).strain

    assert radial - hoop == pytest.approx(0.175 * (reach / radius) ** 2, rel=1e-3)
    assert strain == pytest.approx(radial - hoop, rel=0.04)


@pytest.mark.parametrize(("radius", "reach"), [(1000, 300), (300, 150), (150, 100)])
def test_the_least_distorted_laying_strains_less_than_the_conformal_one(radius: float, reach: float) -> None:
    """Conformal (Gauss): the middle is stretched by 1 / cos^2(t/2) - 1 against the rim; a lower bound is none, no strain at all."""
    conformal = 1 / math.cos(reach / radius / 2) ** 2 - 1

    assert 0.5 * conformal < flatten(a_cap(radius_mm=radius, reach_mm=reach)).strain < conformal


@pytest.mark.parametrize("radius", [40.0, 300.0, 2500.0])
def test_a_cylinder_is_its_development(radius: float) -> None:
    """Half a turn of a cylinder, 900 mm long: area pi R l, a seam round it pi R, edges both, and no strain (Gauss: curvature 0)."""

    def half_turn(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        return np.stack([-radius * np.cos(math.pi * u), 900 * (v - 0.5), radius * np.sin(math.pi * u)], axis=1)

    patch = a_patch(half_turn, columns=121, rows=12)

    assert area_m2(patch) == pytest.approx(math.pi * radius * 900 / 1e6, rel=1e-4)
    assert seam_length_mm(patch, 123.0) == pytest.approx(math.pi * radius, rel=1e-4)
    assert perimeter_mm(patch) == pytest.approx(2 * (900 + math.pi * radius), rel=1e-4)
    assert difficulty(patch) < 0.01


@pytest.mark.parametrize("tilt_deg", [0, 20, 65, 90])
def test_a_plane_keeps_its_measures_however_it_is_tilted(tilt_deg: float) -> None:
    tilt = math.radians(tilt_deg)

    def plane(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        return np.stack([1100 * u * math.cos(tilt), 700 * (v - 0.5), 1100 * u * math.sin(tilt)], axis=1)

    patch = a_patch(plane, columns=9, rows=8)

    assert area_m2(patch) == pytest.approx(0.77, rel=1e-9)
    assert perimeter_mm(patch) == pytest.approx(3600, rel=1e-9)
    assert seam_length_mm(patch, 50.0) == pytest.approx(1100, rel=1e-9)
    assert difficulty(patch) < 1e-3

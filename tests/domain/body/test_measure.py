"""Areas, edges and seams against closed forms."""

import math
from dataclasses import asdict

import numpy as np
import pytest

from configurator.domain.body.measure import area_m2, difficulty, edges, perimeter_mm, seam_length_mm
from tests.domain.body.surfaces import BODIES, STYLES, a_body, a_cap, a_patch, everything

SLOPE = math.radians(35)


def flat(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    """1200 x 800 mm, level."""
    return np.stack([1200 * u, 800 * (v - 0.5), 500 + 0 * u], axis=1)


def slope(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    """1200 x 800 mm in its own plane, tilted by 35 degrees about the y axis."""
    return np.stack([1200 * u * math.cos(SLOPE), 800 * (v - 0.5), 1200 * u * math.sin(SLOPE)], axis=1)


def cylinder(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Radius 300 mm about the y axis, 1.2 rad of it, 800 mm long."""
    angle = 1.2 * u
    return np.stack([-300 * np.cos(angle), 800 * (v - 0.5), 300 * np.sin(angle)], axis=1)


@pytest.mark.parametrize("surface", [flat, slope])
def test_a_plane_has_the_area_of_its_sides(surface) -> None:  # type: ignore[no-untyped-def]
    patch = a_patch(surface, columns=7, rows=5)

    assert area_m2(patch) == pytest.approx(1.2 * 0.8, rel=1e-12)
    assert perimeter_mm(patch) == pytest.approx(2 * (1200 + 800), rel=1e-12)


def test_a_cylinder_has_the_area_of_its_development() -> None:
    """r x angle x length; a polygon of 60 steps falls short of the arc by 1 - sin(x)/x with x half a step: 2e-5."""
    patch = a_patch(cylinder, columns=61, rows=5)

    assert area_m2(patch) == pytest.approx(0.3 * 1.2 * 0.8, rel=3e-5)


def test_a_sphere_cap_has_archimedes_area() -> None:
    """2 pi R^2 (1 - cos(theta)), Archimedes."""
    cap = a_cap(radius_mm=1000, reach_mm=300, rings=40, around=180)

    assert area_m2(cap) == pytest.approx(2 * math.pi * (1 - math.cos(0.3)), rel=5e-4)


def test_a_seam_on_a_slope_is_as_long_as_the_slope() -> None:
    assert seam_length_mm(a_patch(slope, columns=7, rows=6), 100.0) == pytest.approx(1200, rel=1e-12)


def test_a_seam_round_a_cylinder_is_as_long_as_the_arc() -> None:
    assert seam_length_mm(a_patch(cylinder, columns=61, rows=6), -77.0) == pytest.approx(360, rel=3e-5)


def test_a_seam_beside_the_panel_has_no_length() -> None:
    assert seam_length_mm(a_patch(flat, columns=3, rows=3), 400.1) == 0.0


def test_edges_are_summed_by_kind_and_neighbour() -> None:
    (edge,) = edges(a_patch(flat, columns=4, rows=3))

    assert (str(edge.kind), edge.neighbour) == ("shut_line", "beside")
    assert edge.length_mm == pytest.approx(4000)


def test_a_cylinder_lies_flat_however_tight() -> None:
    """A developable surface needs no stretch (Gauss): difficulty 0 at a radius of 30 mm too."""

    def tight(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        return cylinder(u, v) * [0.1, 1.0, 0.1]

    assert difficulty(a_patch(cylinder, columns=21, rows=9)) < 1e-3
    assert difficulty(a_patch(tight, columns=41, rows=30)) < 5e-3


def test_difficulty_ends_at_one() -> None:
    assert difficulty(a_cap(radius_mm=60, reach_mm=85)) == 1.0


EASY = ("hood", "roof", "door_front_right", "door_rear_right", "windshield", "a_pillar_right")


@pytest.mark.parametrize("style", BODIES)
def test_difficulty_ranks_panels_as_an_installer_would(style: str) -> None:
    """Mirrors and bumpers hardest, doors and hood lie nearly flat (common practice, no source)."""
    panels = a_body(style).panels
    rank = {id: difficulty(panels[id]) for id in ("mirror_right", "front_bumper", "rear_bumper", *EASY) if id in panels}
    bumpers, easy = (rank["front_bumper"], rank["rear_bumper"]), [rank[id] for id in EASY if id in rank and panels[id].surface != "fabric"]

    assert rank["mirror_right"] > max(bumpers)
    assert min(bumpers) > 2 * max(easy)
    assert max(rank["hood"], rank["door_front_right"]) < 0.05


LARGE = (*EASY, "fender_right", "quarter_right", "bed_side_right", "rear_lid")


@pytest.mark.parametrize("scale", [0.97, 1.0, 1.03])
@pytest.mark.parametrize("style", BODIES)
def test_no_large_panel_is_harder_than_a_bumper(style: str, scale: float) -> None:
    """Fenders, quarters and lids come after both bumpers (common practice, no source)."""
    panels = a_body(style, **{name: scale * length for name, length in asdict(STYLES[style].typical_size).items()}).panels
    bumpers = min(difficulty(panels["front_bumper"]), difficulty(panels["rear_bumper"]))
    harder = [id for id in LARGE if id in panels and difficulty(panels[id]) >= bumpers]

    assert not harder


@pytest.mark.parametrize("style", BODIES)
def test_a_bumper_stays_the_harder_one_where_a_lip_takes_its_lower_half(style: str) -> None:
    panels = a_body(style, features=everything(STYLES[style])).panels
    bumpers = min(difficulty(panels["front_bumper"]), difficulty(panels["rear_bumper"]))
    harder = [id for id in LARGE if id in panels and difficulty(panels[id]) >= bumpers]

    assert {"front_lip", "rear_lip"} <= panels.keys()
    assert not harder


@pytest.mark.parametrize("style", BODIES)
def test_what_stands_out_or_is_cupped_is_harder_than_the_panel_round_it(style: str) -> None:
    """Handles against doors, lips against hood, rails against roof (common practice, no source)."""
    panels = a_body(style, features=everything(STYLES[style])).panels
    for small, around in (("handle_front_right", "door_front_right"), ("front_lip", "hood"), ("roof_rail_right", "roof")):
        if small in panels:
            assert difficulty(panels[small]) > difficulty(panels[around]), small

"""What a view sees of a panel, against closed forms: the shadow of a sphere is a circle, of a tilted plate its cosine."""

import numpy as np
import pytest
import shapely

from configurator.domain.body.records import Panel
from configurator.drawing.outlines import facing_outlines, regions
from configurator.drawing.projection import PARALLEL_VIEWS, VIEWS, Projection, projection
from configurator.drawing.rings import Rings
from configurator.drawing.surfaces import gather
from tests.drawing.cars import body_of
from tests.drawing.shapes import a_plate, a_sphere


def view_of(name: str) -> Projection:
    return projection(body_of("sedan"), name)


def area_seen(panel: Panel, view: Projection) -> float:
    return sum(float(area.area) for area in regions(facing_outlines(gather([panel]), view)).values())


@pytest.mark.parametrize("name", PARALLEL_VIEWS)
def test_a_sphere_is_a_circle_from_everywhere(name: str) -> None:
    assert area_seen(a_sphere(300.0), view_of(name)) == pytest.approx(np.pi * 300**2, rel=0.01)


@pytest.mark.parametrize("name", ["front_left", "front_right", "rear_left", "rear_right"])
def test_a_sphere_is_little_more_than_its_circle_in_perspective(name: str) -> None:
    """A camera at distance d sees a sphere of radius r as a cone of half angle asin(r / d): a disc of area pi r^2 d^2 / (d^2 - r^2)."""
    view = view_of(name)
    target = view.target.tolist()  # type: ignore[attr-defined]
    distance, radius = view.distance_mm, 300.0  # type: ignore[attr-defined]
    expected = np.pi * radius**2 * distance**2 / (distance**2 - radius**2)

    assert area_seen(a_sphere(radius, middle=tuple(target)), view) == pytest.approx(expected, rel=0.012)


@pytest.mark.parametrize("tilt_deg", [0, 30, 60, 80])
def test_a_tilted_plate_shows_the_cosine_of_its_area(tilt_deg: float) -> None:
    tilt = np.radians(tilt_deg)
    run, rise = 500 * np.cos(tilt), 500 * np.sin(tilt)
    plate = a_plate([(0, -400, 0), (run, -400, rise), (run, 400, rise), (0, 400, 0)])

    assert area_seen(plate, view_of("top")) == pytest.approx(800 * run, rel=1e-6)
    assert area_seen(plate, view_of("front")) == pytest.approx(800 * rise, rel=1e-6, abs=1e-6)


def test_a_plate_isnt_seen_from_behind() -> None:
    plate = a_plate([(0, -400, 0), (500, -400, 0), (500, 400, 0), (0, 400, 0)])

    assert area_seen(plate, view_of("top")) == pytest.approx(400_000)
    assert regions(facing_outlines(gather([plate]), view_of("left"))) == {}


@pytest.mark.parametrize("name", VIEWS)
def test_outlines_are_sound_areas(name: str) -> None:
    for panel in (a_sphere(300.0), a_sphere(90.0, middle=(100.0, 600.0, 300.0), rings=12)):
        for area in regions(facing_outlines(gather([panel]), view_of(name))).values():
            assert area.is_valid
            assert area.area > 0


@pytest.mark.parametrize("name", ["left", "top", "rear", "front_left", "rear_right"])
@pytest.mark.parametrize(("style", "fitting"), [("coupe", "rear_spoiler"), ("suv", "rear_spoiler"), ("suv", "roof_rail_right")])
def test_a_fitting_covers_what_all_its_triangles_cover(style: str, fitting: str, name: str) -> None:
    """Against shapely's union of the projected triangles: nothing is lost, and what pieces of 160 mm fill in is nowhere 8 mm wide."""
    panel, view = body_of(style).panels[fitting], projection(body_of(style), name)
    drawn = shapely.union_all(list(regions(facing_outlines(gather([panel]), view), tolerance_mm=0.01).values()))
    covered = shapely.union_all(shapely.polygons(view.plane(panel.mesh.vertices)[panel.mesh.triangles]))

    assert shapely.difference(covered, drawn).area < 0.002 * covered.area
    assert shapely.difference(drawn, covered).buffer(-4).is_empty


def test_thinned_rings_keep_their_corners_and_a_sliver_stays_a_ring() -> None:
    square = np.array([[0, 0], [50, 0.2], [100, 0], [100, 100], [0, 100]], dtype=float)
    sliver = np.array([[0, 0], [100, 0.1], [200, 0], [100, -0.1]], dtype=float)

    thin = Rings.of([square, sliver]).thinned(0.5)

    assert thin[0].tolist() == [[0, 0], [100, 0], [100, 100], [0, 100]]
    assert thin[1].tolist() == sliver.tolist()
    assert len(Rings.of([]).thinned(0.5)) == 0

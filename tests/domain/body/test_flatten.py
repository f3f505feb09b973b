"""Panels laid flat: nothing is lost, nothing is turned inside out, the nose points forward."""

import numpy as np
import pytest
import shapely

from configurator.domain.body import flatten as flattening
from configurator.domain.body.flatten import flatten
from configurator.domain.body.measure import surface_area_mm2
from configurator.domain.body.records import Panel
from tests.domain.body.surfaces import BODIES, a_body, a_cap, a_patch


def _flat_area_mm2(panel: Panel) -> float:
    corners = flatten(panel).points[panel.mesh.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float((first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]).sum() / 2)


def test_a_plane_comes_out_as_it_is() -> None:
    def tilted(u: np.ndarray, v: np.ndarray) -> np.ndarray:
        return np.stack([900 * u, 600 * v, 300 * u], axis=1)

    panel = a_patch(tilted, columns=8, rows=6)
    flat = flatten(panel)
    pairs = np.array([[0, 7], [0, 40], [7, 47], [3, 44]])

    true = np.linalg.norm(panel.mesh.vertices[pairs[:, 0]] - panel.mesh.vertices[pairs[:, 1]], axis=1)
    assert np.linalg.norm(flat.points[pairs[:, 0]] - flat.points[pairs[:, 1]], axis=1) == pytest.approx(true, rel=1e-3)
    assert flat.strain == pytest.approx(0.0, abs=2e-3)


@pytest.mark.parametrize("style", BODIES)
def test_flat_outlines_keep_the_area_and_do_not_fold(style: str) -> None:
    """Least distortion keeps areas to within the strain itself; a folded outline would show as a self-crossing ring."""
    for panel in a_body(style).panels.values():
        if not panel.selectable or panel.mirror_of is not None or panel.id.startswith("mirror"):
            continue
        flat = flatten(panel)
        true = surface_area_mm2(panel.mesh.vertices, panel.mesh.triangles)

        assert _flat_area_mm2(panel) == pytest.approx(true, rel=0.03), panel.id
        assert shapely.Polygon(flat.points[panel.loops[0].indices]).is_valid, panel.id


def test_a_panel_is_seen_from_its_outside() -> None:
    """Rings run counter-clockwise on the outside, so they must on the flat piece."""
    for id in ("hood", "door_front_right", "door_front_left", "rear_bumper"):
        panel = a_body("sedan").panels[id]

        assert _flat_area_mm2(panel) > 0
        assert shapely.LinearRing(flatten(panel).points[panel.loops[0].indices]).is_ccw


def test_left_and_right_are_mirror_images() -> None:
    panels = a_body("coupe").panels
    right, left = flatten(panels["fender_right"]), flatten(panels["fender_left"])

    assert np.array_equal(left.points, right.points * [-1.0, 1.0])
    assert left.strain == right.strain
    assert left.nose == (-right.nose[0], right.nose[1])


@pytest.mark.parametrize("id", ["hood", "roof", "door_front_right", "fender_left", "rear_lid"])
def test_the_nose_lies_forward(id: str) -> None:
    """Toward the flat nose direction, vertices come from further ahead on the car."""
    panel = a_body("sedan").panels[id]
    flat = flatten(panel)
    along = flat.points @ np.array(flat.nose)

    assert np.hypot(*flat.nose) == pytest.approx(1.0)
    assert np.corrcoef(along, -panel.mesh.vertices[:, 0])[0, 1] > 0.8


def test_strain_grows_with_the_square_of_the_span_and_not_with_the_scale() -> None:
    small, large = (flatten(a_cap(radius_mm=radius, reach_mm=reach)).strain for radius, reach in ((500, 150), (1000, 300)))
    wider = flatten(a_cap(radius_mm=1000, reach_mm=600)).strain

    assert small == pytest.approx(large, rel=1e-3)
    assert wider == pytest.approx(4 * large, rel=0.12)


@pytest.mark.parametrize("style", BODIES)
def test_more_rounds_would_lay_no_panel_flatter(style: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The steps have come to rest: stopped early, a lid or bumper looks up to twice as hard as it is."""
    panels = [panel for panel in a_body(style).panels.values() if panel.selectable and panel.mirror_of is None]
    strains = {panel.id: flatten(panel).strain for panel in panels}
    monkeypatch.setattr(flattening, "_ROUNDS", 1000)
    monkeypatch.setattr(flattening, "_STILL_MM", 1e-3)
    at_rest = {panel.id: flatten.__wrapped__(panel).strain for panel in panels}

    assert strains == pytest.approx(at_rest, abs=0.004)

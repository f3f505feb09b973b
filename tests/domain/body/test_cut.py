"""Parts of panels: what a cut keeps, what it opens, and that nothing is lost."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.body.cut import keep_behind, keep_below, keep_in_front_of, leading_strip
from configurator.domain.body.flatten import flatten
from configurator.domain.body.measure import area_m2, edges, perimeter_mm
from configurator.domain.body.records import EdgeKind, Panel
from tests.domain.body.surfaces import a_body, a_patch

SEDAN = a_body("sedan", features=frozenset({"badges", "rear_spoiler"}))
CUT_ACROSS = ("hood", "fender_right", "fender_left", "roof", "rear_lid", "quarter_right", "front_bumper")


def flat(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    """x from 100 to 1100, y from -400 to 400."""
    return np.stack([100 + 1000 * u, 800 * (v - 0.5), 500 + 0 * u], axis=1)


def _span(panel: Panel, axis: int) -> tuple[float, float]:
    values = panel.mesh.vertices[:, axis]
    return float(values.min()), float(values.max())


def test_a_rectangle_is_cut_where_it_is_told() -> None:
    strip = leading_strip(a_patch(flat, columns=9, rows=7), 333.0)

    assert area_m2(strip) == pytest.approx(0.333 * 0.8, rel=1e-12)
    assert {str(edge.kind): round(edge.length_mm, 6) for edge in edges(strip)} == {"shut_line": 800 + 2 * 333.0, "open": 800.0}


@pytest.mark.parametrize("id", CUT_ACROSS)
@given(share=st.floats(0.02, 0.98))
@settings(max_examples=15, deadline=None)
def test_the_two_sides_of_a_cut_add_up_to_the_panel(id: str, share: float) -> None:
    panel = SEDAN.panels[id]
    low, high = _span(panel, 0)
    x = low + share * (high - low)
    front, rear = keep_in_front_of(panel, x), keep_behind(panel, x)

    assert area_m2(front) + area_m2(rear) == pytest.approx(area_m2(panel), rel=1e-9)
    assert _open_mm(front) == pytest.approx(_open_mm(rear), rel=1e-6)
    assert perimeter_mm(front) + perimeter_mm(rear) == pytest.approx(perimeter_mm(panel) + 2 * _open_mm(front), rel=1e-6)


def _open_mm(panel: Panel) -> float:
    return sum(edge.length_mm for edge in edges(panel) if edge.kind is EdgeKind.OPEN)


@pytest.mark.parametrize("id", CUT_ACROSS)
def test_a_cut_keeps_nothing_beyond_its_plane(id: str) -> None:
    panel = SEDAN.panels[id]
    low, high = _span(panel, 2)
    kept = keep_below(panel, (low + high) / 2)

    assert _span(kept, 2)[1] == pytest.approx((low + high) / 2, abs=1e-4)


def test_old_edges_keep_what_lies_beyond_them() -> None:
    hood = SEDAN.panels["hood"]
    strip = leading_strip(hood, 600.0)
    before = {(edge.kind, edge.neighbour): edge.length_mm for edge in edges(hood)}

    for edge in edges(strip):
        if edge.kind is not EdgeKind.OPEN:
            assert edge.length_mm <= before[edge.kind, edge.neighbour] + 1e-6
    assert ("front_bumper") in {edge.neighbour for edge in edges(strip)}


def test_a_strip_runs_along_the_hoods_own_leading_edge() -> None:
    """Wherever the strip ends on the hood, it is 600 mm behind the hood's leading edge there."""
    strip = leading_strip(SEDAN.panels["hood"], 600.0)
    loop = strip.loops[0]
    points = strip.mesh.vertices[loop.indices]
    ends = np.array([kind is EdgeKind.OPEN for kind in loop.kinds])
    leads = np.array([neighbour == "front_bumper" for neighbour in loop.neighbours])
    lead = points[leads][np.argsort(points[leads][:, 1])]
    inner = points[ends & (np.abs(points[:, 1]) < 0.9 * np.abs(lead[:, 1]).max())]

    assert inner[:, 0] - np.interp(inner[:, 1], lead[:, 1], lead[:, 0]) == pytest.approx(600, abs=1.5)


def test_a_strip_deeper_than_the_panel_is_the_panel_itself() -> None:
    hood = SEDAN.panels["hood"]

    assert leading_strip(hood, 5000.0) is hood


def test_a_cut_beside_the_panel_is_refused() -> None:
    with pytest.raises(ValueError, match="hood"):
        keep_in_front_of(SEDAN.panels["hood"], -10.0)


def test_a_cut_panel_can_be_laid_flat() -> None:
    strip = leading_strip(SEDAN.panels["fender_right"], 450.0)
    flat_strip = flatten(strip)

    assert len(flat_strip.points) == len(strip.mesh.vertices)
    assert np.isfinite(flat_strip.points).all()


def test_a_spoiler_at_the_rear_hides_nothing_of_a_front_strip() -> None:
    lid = SEDAN.panels["rear_lid"]

    assert lid.covered_share > 0
    assert leading_strip(lid, 120.0).covered_share == 0.0
    rear = keep_behind(lid, float(lid.mesh.vertices[:, 0].max()) - 250.0)
    assert rear.covered_share > lid.covered_share

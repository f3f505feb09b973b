"""Any plausible size of any body: panels meet, wheels are round, what has a sane size keeps it. And what is implausible."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator.domain.body.build import build_body
from configurator.domain.body.measure import area_m2, edges, frontal_area_m2
from configurator.domain.body.records import Body, Layer, Side, Size
from configurator.domain.body.scaling import size_faults
from configurator.errors import InvalidInput
from tests.domain.body.sizes import plausible_sizes
from tests.domain.body.surfaces import BODIES, STYLES, a_body, everything

_NOT_BODY = ("mirror", "roof_antenna", "roof_rail", "front_plate", "rear_plate", "rear_spoiler", "handle", "badge", "tailgate")
"""Outside the overall dimensions by SAE J1100, or proud of the skin by millimetres."""


def _extent(body: Body) -> np.ndarray:
    """(2, 3): least and most x, y, z of the body without what doesn't count."""
    points = np.vstack(
        [
            panel.mesh.vertices
            for panel in body.panels.values()
            if panel.layer not in (Layer.MIRROR, Layer.ZONE) and not panel.id.startswith(_NOT_BODY)
        ]
    )
    return np.stack([points.min(axis=0), points.max(axis=0)])


@pytest.mark.parametrize("name", BODIES)
@given(data=st.data())
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_plausible_size_makes_a_whole_body(name: str, data: st.DataObject) -> None:
    style = STYLES[name]
    size = data.draw(plausible_sizes(style))
    features = frozenset(data.draw(st.sets(st.sampled_from(sorted(style.possible_features)))))
    body = build_body(style, size=size, features=features, fuel_door=Side.LEFT)
    typical = build_body(style, size=style.typical_size, features=features, fuel_door=Side.LEFT)

    low, high = _extent(body)
    assert high[1] - low[1] == pytest.approx(size.width_mm, abs=3)
    assert high[2] == pytest.approx(size.height_mm, abs=3)
    assert (low[0], high[0]) == (pytest.approx(0, abs=3), pytest.approx(size.length_mm, abs=3))
    assert set(body.panels) == set(typical.panels)
    _check_panels(body, typical)
    _check_wheels(body)


def _check_panels(body: Body, typical: Body) -> None:
    """No panel vanishes, swells or tears: its area follows the size within what the wheels' own size leaves open."""
    ratios = [getattr(body.size, name) / getattr(typical.size, name) for name in ("length_mm", "width_mm", "height_mm")]
    for id, panel in body.panels.items():
        before, now = area_m2(typical.panels[id]), area_m2(panel)
        assert np.isfinite(panel.mesh.vertices).all()
        if before > 0.008 and panel.layer is not Layer.ZONE:
            assert 0.55 * min(ratios) ** 2 < now / before < 1.6 * max(ratios) ** 2, id
        assert sum(edge.length_mm for edge in edges(panel)) > 0


def _check_wheels(body: Body) -> None:
    """Arches are circles round the wheels: every arch edge lies on one, but where it is cut off above the ground."""
    for wheel, name in zip(body.wheels, ("wheel_arch_front", "wheel_arch_rear"), strict=True):
        for panel in body.panels.values():
            for loop in panel.loops:
                on_arch = [place for place, neighbour in enumerate(loop.neighbours) if neighbour == name]
                points = panel.mesh.vertices[loop.indices[on_arch]]
                from_hub = np.hypot(points[:, 0] - wheel.x_mm, points[:, 2] - wheel.tyre_radius_mm)
                assert from_hub == pytest.approx(wheel.arch_radius_mm, abs=4), panel.id
        assert wheel.tyre_radius_mm < wheel.arch_radius_mm
    front, rear = body.wheels
    assert rear.x_mm - front.x_mm == pytest.approx(body.size.wheelbase_mm)


@pytest.mark.parametrize("style", BODIES)
def test_overhangs_and_wheelbase_add_up_to_the_length(style: str) -> None:
    """SAE J1100: L103 = L104 + L101 + L105, and overhangs keep their shares of what the wheelbase leaves."""
    typical = STYLES[style].typical_size
    body = a_body(style, length_mm=typical.length_mm * 1.03, wheelbase_mm=typical.wheelbase_mm * 0.98)
    front = body.wheels[0].x_mm
    rear = body.size.length_mm - body.wheels[1].x_mm

    assert front + body.size.wheelbase_mm + rear == pytest.approx(body.size.length_mm)
    share = STYLES[style].running.front_overhang_mm / (typical.length_mm - typical.wheelbase_mm)
    assert front / (front + rear) == pytest.approx(share)


@pytest.mark.parametrize("style", BODIES)
@pytest.mark.parametrize("factor", [0.96, 1.04])
def test_skin_area_scales_with_the_square_of_the_size(style: str, factor: float) -> None:
    """Within 3 % over the whole car, since tyres, lamps' depth and mirrors keep a size of their own."""
    typical = STYLES[style].typical_size
    lengths = {name: getattr(typical, name) * factor for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm")}

    assert _skin_m2(a_body(style, **lengths)) / _skin_m2(a_body(style)) == pytest.approx(factor**2, rel=0.03)


def _skin_m2(body: Body) -> float:
    return sum(area_m2(panel) for panel in body.panels.values() if panel.selectable and panel.layer is not Layer.ZONE)


@pytest.mark.parametrize("style", BODIES)
def test_mirrors_keep_their_size(style: str) -> None:
    least, most = STYLES[style].plausible.width_mm.least, STYLES[style].plausible.width_mm.most

    assert area_m2(a_body(style, width_mm=least).panels["mirror_left"]) == pytest.approx(
        area_m2(a_body(style, width_mm=most).panels["mirror_left"]), rel=1e-9
    )


@pytest.mark.parametrize("style", BODIES)
def test_one_given_length_never_contradicts_the_typical_rest(style: str) -> None:
    """A visitor may give a single length: at either end of its range it fits the typical others."""
    chosen = STYLES[style]
    for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm"):
        allowed = getattr(chosen.plausible, name)
        for value in (allowed.least, allowed.most):
            assert list(size_faults(chosen, replace(chosen.typical_size, **{name: value}))) == []


@pytest.mark.parametrize("style", BODIES)
@pytest.mark.parametrize("name", ["length_mm", "width_mm", "height_mm", "wheelbase_mm"])
@pytest.mark.parametrize(("beyond", "code"), [(-1.0, "too_small"), (1.0, "too_large")])
def test_an_implausible_length_is_refused_with_its_range(style: str, name: str, beyond: float, code: str) -> None:
    chosen = STYLES[style]
    allowed = getattr(chosen.plausible, name)
    value = allowed.least + beyond if beyond < 0 else allowed.most + beyond
    with pytest.raises(InvalidInput) as caught:
        build_body(chosen, size=replace(chosen.typical_size, **{name: value}), features=frozenset(), fuel_door=Side.LEFT)

    (fault,) = caught.value.faults
    assert (fault.path, fault.code) == (f"vehicle.size.{name}", code)
    assert dict(fault.facts) == {"min_mm": allowed.least, "max_mm": allowed.most}


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_no_number_is_no_size(value: float) -> None:
    assert list(size_faults(STYLES["sedan"], replace(STYLES["sedan"].typical_size, height_mm=value)))


def test_every_implausible_length_is_named_at_once() -> None:
    faults = list(size_faults(STYLES["van"], Size(1000, 1000, 1000, 1000)))

    assert [fault.path.rsplit(".", 1)[-1] for fault in faults] == ["length_mm", "width_mm", "height_mm", "wheelbase_mm"]


def test_a_wheelbase_that_does_not_fit_the_length_is_refused_with_what_would() -> None:
    style = STYLES["sedan"]
    (fault,) = size_faults(style, replace(style.typical_size, length_mm=5200, wheelbase_mm=2520))

    assert (fault.path, fault.code) == ("vehicle.size.wheelbase_mm", "wheelbase_does_not_fit_length")
    fitting = replace(style.typical_size, length_mm=5200, wheelbase_mm=float(str(fault.facts["min_mm"])))
    assert list(size_faults(style, fitting)) == []


@pytest.mark.parametrize("style", BODIES)
def test_the_frontal_area_is_the_union_of_all_that_faces_forward(style: str) -> None:
    """A second way to the same figure: every triangle projected along the car and joined by shapely, tyres added, no mirrors."""
    body = a_body(style, features=everything(STYLES[style]) - {"camera_mirrors"})
    seen = [
        panel.mesh.vertices[panel.mesh.triangles][:, :, 1:]
        for panel in body.panels.values()
        if panel.layer not in (Layer.MIRROR, Layer.ZONE) and panel.side is not Side.LEFT and not panel.id.startswith("mirror")
    ]
    triangles = shapely.polygons(np.vstack(seen))
    union = shapely.union_all(triangles[shapely.area(triangles) > 1], grid_size=0.1).intersection(shapely.box(0, 0, 3000, 3000))
    wheel = body.wheels[0]
    tyre = shapely.box(wheel.outer_y_mm - wheel.width_mm, 0, wheel.outer_y_mm, 1.5 * wheel.tyre_radius_mm)

    assert frontal_area_m2(body) == pytest.approx(2 * union.union(tyre).area / 1e6, rel=5e-3)

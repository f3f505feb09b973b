"""What a feature changes: panels, edges, areas, and the parts that come off."""

import pytest

from configurator.domain.body.build import build_body
from configurator.domain.body.measure import area_m2, edges
from configurator.domain.body.records import Body, EdgeKind, Side, Surface
from configurator.domain.body.style import Feature
from configurator.errors import InvalidInput
from tests.domain.body.surfaces import BODIES, STYLES, a_body, everything

BARE: frozenset[str] = frozenset()
ADDS = {
    Feature.HOOD_VENTS: ("hood_vent_left", "hood"),
    Feature.FENDER_VENTS: ("fender_vent_left", "fender_left"),
    Feature.FENDER_FLARES: ("flare_front_left", "fender_left"),
    Feature.FRONT_LIP: ("front_lip", "front_bumper"),
    Feature.REAR_LIP: ("rear_lip", "rear_bumper"),
    Feature.ROOF_ANTENNA: ("roof_antenna", "roof"),
    Feature.SUNROOF: ("sunroof", "roof"),
    Feature.ROOF_RAILS: ("roof_rail_left", "roof"),
    Feature.FOG_LAMPS: ("fog_lamp_left", "front_bumper"),
    Feature.BADGES: ("badge_rear", "rear_lid"),
    Feature.PARKING_SENSORS: ("parking_sensor_front_1_left", "front_bumper"),
    Feature.WASHER_JETS: ("washer_jet_left", "hood"),
    Feature.SIDE_CLADDING: ("cladding_left", "door_front_left"),
}
"""Feature -> a panel it adds, and the panel that makes room for it."""


def _edge_to(body: Body, panel: str, neighbour: str) -> EdgeKind | None:
    return next((edge.kind for edge in edges(body.panels[panel]) if edge.neighbour == neighbour), None)


@pytest.mark.parametrize("feature", ADDS)
@pytest.mark.parametrize("style", BODIES)
def test_a_feature_takes_its_room_from_the_panel_under_it(style: str, feature: Feature) -> None:
    if feature not in STYLES[style].possible_features:
        pytest.skip(f"a {style} has no {feature}")
    added, host = ADDS[feature]
    bare, featured = a_body(style, features=BARE), a_body(style, features=frozenset({str(feature)}))

    assert added not in bare.panels
    assert added in featured.panels
    assert area_m2(featured.panels[host]) < area_m2(bare.panels[host])
    assert _edge_to(featured, host, added) not in (None, EdgeKind.SHUT_LINE)


def test_edges_under_a_feature_are_of_its_kind() -> None:
    body = a_body("suv", features=everything(STYLES["suv"]))

    assert _edge_to(body, "fender_left", "flare_front_left") is EdgeKind.WHEEL_ARCH
    assert _edge_to(body, "roof", "sunroof") is EdgeKind.GLASS
    assert _edge_to(body, "roof", "roof_antenna") is EdgeKind.PART
    assert _edge_to(body, "front_bumper", "fog_lamp_right") is EdgeKind.LAMP
    assert _edge_to(body, "front_bumper", "front_lip") is EdgeKind.PART
    assert _edge_to(body, "door_rear_right", "cladding_right") is EdgeKind.PART


def test_a_spoiler_hides_a_share_of_the_lid_but_cuts_nothing_from_it() -> None:
    bare, featured = a_body("coupe", features=BARE), a_body("coupe", features=frozenset({"rear_spoiler"}))
    plain, under = bare.panels["rear_lid"], featured.panels["rear_lid"]

    assert plain.covered_share == 0.0
    assert 0.1 < under.covered_share < 0.5
    assert area_m2(under) == pytest.approx(area_m2(plain) * (1 - under.covered_share))


def test_camera_mirrors_are_smaller() -> None:
    plain, camera = (a_body("sedan", features=features).panels["mirror_left"] for features in (BARE, frozenset({"camera_mirrors"})))

    assert area_m2(camera) < 0.6 * area_m2(plain)


def test_window_mouldings_are_bright_and_come_off() -> None:
    body = a_body("sedan", features=frozenset({"window_mouldings"}))

    assert body.panels["window_moulding_left"].surface is Surface.BRIGHT_TRIM
    assert "window_frame_left" not in body.panels
    assert _edge_to(body, "door_front_left", "window_moulding_left") is EdgeKind.GLASS


def test_a_camera_sits_behind_the_windshield_and_takes_nothing_from_it() -> None:
    bare, featured = a_body("van", features=BARE), a_body("van", features=frozenset({"windshield_camera"}))

    assert "windshield_camera" in featured.panels
    assert area_m2(featured.panels["windshield"]) == area_m2(bare.panels["windshield"])


PARTS = {
    "badge": "badges",
    "antenna": "roof_antenna",
    "spoiler": "rear_spoiler",
    "window_moulding": "window_mouldings",
    "flare": "fender_flares",
    "vent": "hood_vents",
    "washer_jet": "washer_jets",
    "roof_rail": "roof_rails",
}


def test_features_bring_the_parts_that_come_off() -> None:
    bare = {fitting.part for fitting in a_body("suv", features=BARE).fittings}
    for part, feature in PARTS.items():
        featured = a_body("suv", features=frozenset({feature}))
        assert part not in bare
        assert part in {fitting.part for fitting in featured.fittings}, feature
    assert bare == {
        *("grille", "headlamp", "tail_lamp", "fuel_door", "tailgate_handle", "door_handle", "mirror", "mirror_cap"),
        *("front_bumper", "rear_bumper", "plate_holder", "cowl_panel"),
    }


@pytest.mark.parametrize("style", BODIES)
def test_every_fitting_frees_panels_that_are_there(style: str) -> None:
    body = a_body(style, features=everything(STYLES[style]))
    ids = [fitting.id for fitting in body.fittings]

    assert len(ids) == len(set(ids))
    for fitting in body.fittings:
        assert fitting.panels
        assert all(body.panels[id].selectable for id in fitting.panels), fitting.id


def test_a_fitting_frees_the_panels_whose_edges_name_it() -> None:
    body = a_body("sedan")
    freed = {fitting.id: fitting.panels for fitting in body.fittings}

    assert set(freed["headlamp_left"]) == {"front_bumper", "fender_left"}
    assert freed["handle_rear_right"] == ("door_rear_right",)
    assert freed["mirror_left"] == ("door_front_left",)
    assert freed["mirror_cap_left"] == ("mirror_left",)
    assert freed["roof_antenna"] == ("roof",)
    assert set(freed["window_moulding_left"]) >= {"door_front_left", "door_rear_left", "quarter_left"}


def test_a_feature_that_the_body_cannot_have_is_refused_by_name() -> None:
    style = STYLES["convertible"]
    with pytest.raises(InvalidInput) as caught:
        build_body(style, size=style.typical_size, features=frozenset({"sunroof", "badges"}), fuel_door=style.fuel_door)

    (fault,) = caught.value.faults
    assert (fault.path, fault.code, fault.facts["feature"]) == ("vehicle.features", "feature_not_on_this_body", "sunroof")


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
def test_a_flare_that_reaches_the_fuel_door_knows_it_on_that_side_alone(side: Side) -> None:
    """On a low coupe the rear flare runs up to the fuel door."""
    body = a_body("coupe", features=frozenset({"fender_flares"}), fuel_door=side, length_mm=4850, height_mm=1210)
    beside = {name: {edge.neighbour for edge in edges(body.panels[f"flare_rear_{name}"])} for name in ("left", "right")}

    assert "fuel_door" in beside[side]
    assert "fuel_door" not in beside["right" if side is Side.LEFT else "left"]

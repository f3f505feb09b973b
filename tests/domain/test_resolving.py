"""Defaults are filled in, and what can't be is refused with the path of every fault."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from configurator.domain.body.records import Side, Size
from configurator.domain.estimating import body_of
from configurator.domain.resolving import resolve
from configurator.domain.selection import LampFilm, Package, Selection
from configurator.errors import InvalidInput
from tests.shops import STYLES, chosen, demo_shop


def _resolved(selection: Selection) -> Selection:
    return resolve(selection, demo_shop().styles, demo_shop().book)


def _faults(selection: Selection) -> list[tuple[str, str]]:
    with pytest.raises(InvalidInput) as refused:
        _resolved(selection)
    return [(fault.path, fault.code) for fault in refused.value.faults]


# -- defaults


@pytest.mark.parametrize("body", STYLES)
def test_a_body_alone_is_a_whole_selection(body: str) -> None:
    style = demo_shop().styles[body]
    resolved = _resolved(chosen(body))
    assert resolved.vehicle.size == style.typical_size
    assert resolved.vehicle.features == style.usual_features
    assert resolved.vehicle.fuel_door is style.fuel_door
    assert resolved.region == "us"
    assert resolved.drop_off == date(2027, 3, 8)
    assert set(resolved.lamps) >= {"headlamps", "tail_lamps"}
    assert set(resolved.lamps.values()) == {LampFilm.NONE}


def test_a_length_may_be_given_alone() -> None:
    typical = demo_shop().styles["sedan"].typical_size
    resolved = _resolved(chosen("sedan", vehicle={"size": {"height_mm": typical.height_mm + 20}}))
    assert resolved.vehicle.size == Size(typical.length_mm, typical.width_mm, typical.height_mm + 20, typical.wheelbase_mm)


def test_resolving_twice_changes_nothing() -> None:
    vehicle = {"features": ["fog_lamps", "badges"], "fuel_door": "right", "surfaces": {"hood": "vinyl"}}
    once = _resolved(chosen("coupe", "full_front", add=("rocker_right", "rocker_left"), remove=("mirror_left",), vehicle=vehicle))
    assert once.vehicle.fuel_door is Side.RIGHT
    assert _resolved(once) == once


def test_order_and_repetition_of_panels_don_t_matter() -> None:
    one = chosen("coupe", add=("roof", "hood"))
    assert _resolved(replace(one, add=("hood", "roof", "hood"))) == _resolved(one)


def test_a_package_suggests_lamp_film_by_region() -> None:
    assert _resolved(chosen("coupe", "full_front")).lamps["headlamps"] is LampFilm.CLEAR
    assert _resolved(chosen("coupe", "full_front", region="un")).lamps["headlamps"] is LampFilm.NONE
    assert _resolved(chosen("coupe", "full_front", lamps={"headlamps": "none"})).lamps["headlamps"] is LampFilm.NONE


def test_only_lamps_that_the_body_has_are_resolved() -> None:
    assert "fog_lamps" not in _resolved(chosen("coupe", "full_body", vehicle={"features": []})).lamps
    assert "fog_lamps" in _resolved(chosen("coupe", "full_body", vehicle={"features": ["fog_lamps"]})).lamps
    assert "fog_lamps" not in _resolved(chosen("coupe", vehicle={"features": []}, lamps={"fog_lamps": "none"})).lamps


def test_the_gap_of_a_single_stripe_means_nothing() -> None:
    stripes = {"count": 1, "width_mm": 300, "gap_mm": 110, "finish": "matte"}
    resolved = _resolved(chosen("coupe", vehicle={"stripes": stripes})).vehicle.stripes
    assert resolved is not None
    assert resolved.gap_mm == 0


# -- refusals


def _stripes(**changes: Any) -> dict[str, Any]:
    usual = {"count": 2, "width_mm": 240, "gap_mm": 110, "offset_mm": 0, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss"}}
    return {"stripes": {**usual, **changes}}


@pytest.mark.parametrize(
    ("selection", "path", "code"),
    [
        (chosen("limousine"), "vehicle.body", "unknown_body"),
        (chosen(vehicle={"size": {"length_mm": 1500}}), "vehicle.size.length_mm", "too_small"),
        (chosen(vehicle={"size": {"width_mm": 2900}}), "vehicle.size.width_mm", "too_large"),
        (chosen(vehicle={"features": ["wings"]}), "vehicle.features", "feature_not_on_this_body"),
        (chosen(vehicle={"surfaces": {"headlamp_left": "vinyl"}}), "vehicle.surfaces.headlamp_left", "lamp_is_no_panel"),
        (chosen(vehicle={"surfaces": {"windshield": "vinyl"}}), "vehicle.surfaces.windshield", "glass_is_no_panel"),
        (chosen("convertible", vehicle={"surfaces": {"roof": "gloss_paint"}}), "vehicle.surfaces.roof", "fabric_takes_no_film"),
        (chosen(vehicle={"condition": {"resprayed": {"bonnet": "2026-11-02"}}}), "vehicle.condition.resprayed.bonnet", "unknown_panel"),
        (chosen(vehicle={"prep": {"remove_film": ["hood", "bonnet"]}}), "vehicle.prep.remove_film[1]", "unknown_panel"),
        (chosen(vehicle=_stripes(finish="match")), "vehicle.stripes.finish", "unknown_finish"),
        (chosen(vehicle=_stripes(border={"width_mm": 6, "finish": "glitter"})), "vehicle.stripes.border.finish", "unknown_finish"),
        (chosen(vehicle=_stripes(gap_mm=10)), "vehicle.stripes.gap_mm", "borders_overlap"),
        (chosen(vehicle=_stripes(offset_mm=600, width_mm=400)), "vehicle.stripes.offset_mm", "stripes_beyond_car"),
        (chosen(add=("hood", "door_rear_left")), "coverage.add[1]", "unknown_panel"),
        (chosen(add=("headlamp_left",)), "coverage.add[0]", "lamp_is_no_panel"),
        (chosen(add=("windshield",)), "coverage.add[0]", "glass_is_no_panel"),
        (chosen("sedan", remove=("bed_side_left",)), "coverage.remove[0]", "unknown_panel"),
        (chosen(add=("hood",), remove=("roof", "hood")), "coverage.remove[1]", "added_and_removed"),
        (chosen(finish={"default": "glitter"}), "finish.default", "unknown_finish"),
        (chosen(finish={"panels": {"bonnet": "gloss"}}), "finish.panels.bonnet", "unknown_panel"),
        (chosen(finish={"panels": {"hood": "glitter"}}), "finish.panels.hood", "unknown_finish"),
        (chosen(vehicle={"features": []}, lamps={"fog_lamps": "clear"}), "lamps.fog_lamps", "no_such_lamps"),
        (chosen(windshield="smoke_dark"), "windshield", "windshield_film_not_sold"),
        (chosen(region="mars"), "region", "unknown_region"),
        (chosen(drop_off="2071-01-01"), "drop_off", "day_out_of_range"),
    ],
)
def test_what_can_t_be_is_refused_by_path(selection: Selection, path: str, code: str) -> None:
    assert _faults(selection) == [(path, code)]


def test_all_faults_come_at_once() -> None:
    selection = chosen(
        add=("bonnet",),
        vehicle={"size": {"length_mm": 1500}, "features": ["wings"], **_stripes(finish="glitter")},
        finish={"default": "glitter"},
        region="mars",
    )
    paths = [path for path, _ in _faults(selection)]
    assert paths == ["vehicle.size.length_mm", "vehicle.features", "vehicle.stripes.finish", "coverage.add[0]", "finish.default", "region"]


def test_a_selection_without_a_resolved_size_has_no_body() -> None:
    with pytest.raises(ValueError, match="resolved first"):
        body_of(replace(chosen(), package=Package.TRACK), demo_shop())

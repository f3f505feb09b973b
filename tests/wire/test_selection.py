"""The selection document: read and written without loss; every fault with its path."""

import copy
from typing import Any

import pytest
from hypothesis import given

from configurator.domain.selection import Package, Selection, Treatment
from configurator.errors import InvalidInput
from configurator.wire.selection import dump_selection, load_selection
from tests.wire.strategies import SELECTIONS

CONTRACT_EXAMPLE: dict[str, Any] = {
    "version": 1,
    "vehicle": {
        "body": "coupe",
        "size": {"length_mm": 4700, "width_mm": 1900, "height_mm": 1380, "wheelbase_mm": 2720},
        "paint": "gloss",
        "features": ["front_lip", "hood_vents", "rear_spoiler", "roof_antenna", "fender_vents", "badges", "fog_lamps"],
        "surfaces": {"front_lip": "textured_plastic"},
        "stripes": {
            "count": 2,
            "width_mm": 240,
            "gap_mm": 110,
            "offset_mm": 0,
            "finish": "matte",
            "border": {"width_mm": 6, "finish": "gloss"},
        },
        "condition": {"paint": "new", "resprayed": {"hood": "2026-11-02"}},
        "prep": {"correction": "none", "remove_film": []},
    },
    "coverage": {"package": "full_front", "add": ["rocker_left", "rocker_right"], "remove": []},
    "finish": {"default": "match", "panels": {"roof": "gloss_black"}},
    "edges": "hidden",
    "lamps": {"headlamps": "clear", "fog_lamps": "smoke_medium", "tail_lamps": "none"},
    "windshield": "none",
    "region": "us",
    "drop_off": "2027-03-08",
}


def faults_of(document: object) -> list[tuple[str, str]]:
    with pytest.raises(InvalidInput) as refused:
        load_selection(document)
    return [(fault.path, fault.code) for fault in refused.value.faults]


def changed(path: str, value: object) -> dict[str, Any]:
    """The contract's example with one value put at a dotted path."""
    document = copy.deepcopy(CONTRACT_EXAMPLE)
    *parents, last = path.split(".")
    place = document
    for name in parents:
        place = place.setdefault(name, {})
    place[last] = value
    return document


def test_the_contracts_example_is_read() -> None:
    selection = load_selection(CONTRACT_EXAMPLE)

    assert selection.package is Package.FULL_FRONT
    assert selection.edges is Treatment.HIDDEN
    assert selection.vehicle.stripes is not None
    assert selection.vehicle.stripes.border is not None
    assert selection.vehicle.stripes.border.width_mm == 6


def test_only_version_and_body_are_needed() -> None:
    selection = load_selection({"version": 1, "vehicle": {"body": "sedan"}})

    assert selection.package is Package.NONE
    assert selection.vehicle.features is None
    assert dict(selection.lamps) == {}


@given(SELECTIONS)
def test_writing_and_reading_lose_nothing(selection: Selection) -> None:
    assert load_selection(dump_selection(selection)) == selection


@pytest.mark.parametrize(
    ("path", "value", "fault_path", "code"),
    [
        ("version", 2, "version", "too_large"),
        ("version", True, "version", "must_be_a_number"),
        ("version", 1.5, "version", "too_large"),
        ("vehicle", None, "vehicle", "must_not_be_null"),
        ("vehicle", [], "vehicle", "must_be_an_object"),
        ("vehicle.body", 7, "vehicle.body", "must_be_text"),
        ("vehicle.body", "Sedan", "vehicle.body", "unknown_id"),
        ("vehicle.size.length_mm", "4700", "vehicle.size.length_mm", "must_be_a_number"),
        ("vehicle.size.length_mm", 300, "vehicle.size.length_mm", "too_small"),
        ("vehicle.size.depth_mm", 300, "vehicle.size.depth_mm", "unknown_key"),
        ("vehicle.features", ["badges", "badges"], "vehicle.features", "named_twice"),
        ("vehicle.features", "badges", "vehicle.features", "must_be_a_list"),
        ("vehicle.fuel_door", "centre", "vehicle.fuel_door", "not_a_choice"),
        ("vehicle.surfaces.front_lip", "chrome", "vehicle.surfaces.front_lip", "not_a_choice"),
        ("vehicle.surfaces.windshield", "lens", "vehicle.surfaces.windshield", "not_a_choice"),
        ("vehicle.stripes.count", 3, "vehicle.stripes.count", "too_large"),
        ("vehicle.stripes.count", 1.5, "vehicle.stripes.count", "must_be_whole"),
        ("vehicle.stripes.border.width_mm", 2.9, "vehicle.stripes.border.width_mm", "too_small"),
        ("vehicle.condition.resprayed.hood", "2026-02-30", "vehicle.condition.resprayed.hood", "must_be_a_date"),
        ("vehicle.condition.resprayed.hood", "20260230", "vehicle.condition.resprayed.hood", "must_be_a_date"),
        ("vehicle.prep.coated", 1, "vehicle.prep.coated", "must_be_true_or_false"),
        ("coverage.package", "fullfront", "coverage.package", "not_a_choice"),
        ("coverage.add", ["hood", 3], "coverage.add[1]", "must_be_text"),
        ("coverage.add", ["hood"] * 81, "coverage.add", "too_many"),
        ("lamps.side_lamps", "clear", "lamps.side_lamps", "unknown_key"),
        ("lamps.headlamps", None, "lamps.headlamps", "must_not_be_null"),
        ("drop_off", "2027-3-8", "drop_off", "must_be_a_date"),
        ("drop_off", "٢٠٢٧-03-08", "drop_off", "must_be_a_date"),
        ("colour", "red", "colour", "unknown_key"),
    ],
)
def test_a_fault_names_its_path(path: str, value: object, fault_path: str, code: str) -> None:
    assert faults_of(changed(path, value)) == [(fault_path, code)]


def test_all_faults_are_named_at_once() -> None:
    document = changed("coverage.add", ["HOOD"]) | {"edges": "glued", "x": 1}

    assert {path for path, _ in faults_of(document)} == {"coverage.add[0]", "edges", "x"}


@pytest.mark.parametrize("document", [None, [], "sedan", 3])
def test_what_is_no_object_is_refused(document: object) -> None:
    assert faults_of(document) == [("", "must_be_an_object")]

"""The flat query: what a link says is what the document says."""

from urllib.parse import parse_qsl, urlencode

import pytest
from hypothesis import given

from configurator.domain.selection import Selection
from configurator.errors import InvalidInput
from configurator.wire.query import query_from_selection, selection_from_query
from tests.wire.strategies import SELECTIONS

CONTRACT_QUERY = (
    "body=coupe&length_mm=4700&feature=badges&feature=fog_lamps&package=full_front&add=rocker_left&remove=hood&finish=match"
    "&finish.roof=gloss_black&edges=hidden&lamp.headlamps=clear&windshield=none&region=us&drop_off=2027-03-08&stripes=2,240,110,0,matte,6,gloss"
)


def read(query: str) -> Selection:
    return selection_from_query(parse_qsl(query, keep_blank_values=True))


def faults_of(query: str) -> list[tuple[str, str]]:
    with pytest.raises(InvalidInput) as refused:
        read(query)
    return [(fault.path, fault.code) for fault in refused.value.faults]


def test_the_contracts_query_is_read() -> None:
    selection = read(CONTRACT_QUERY)

    assert selection.vehicle.size.length_mm == 4700
    assert selection.vehicle.features == {"badges", "fog_lamps"}
    assert selection.panel_finishes == {"roof": "gloss_black"}
    assert selection.vehicle.stripes is not None
    assert selection.vehicle.stripes.gap_mm == 110


@given(SELECTIONS)
def test_a_link_gives_back_the_selection_it_was_made_from(selection: Selection) -> None:
    query = urlencode(query_from_selection(selection))

    assert read(query) == selection


def test_inches_are_exactly_25_4_mm() -> None:
    """International yard and pound agreement, 1959: 1 inch = 25.4 mm."""
    assert read("body=sedan&length_in=185").vehicle.size.length_mm == 4699


def test_an_empty_feature_says_that_none_is_there() -> None:
    assert read("body=sedan").vehicle.features is None
    assert read("body=sedan&feature=").vehicle.features == frozenset()


def test_empty_fields_of_a_form_count_as_not_given() -> None:
    assert read("body=sedan&length_mm=&stripes=&finish.roof=&region=&drop_off=&coated=") == read("body=sedan")


@pytest.mark.parametrize(
    ("query", "path", "code"),
    [
        ("package=full_front", "vehicle.body", "missing"),
        ("body=sedan&body=coupe", "body", "named_twice"),
        ("body=sedan&length_mm=4,7", "length_mm", "must_be_a_number"),
        ("body=sedan&length_mm=1e3", "length_mm", "must_be_a_number"),
        ("body=sedan&length_mm=4700&length_in=185", "length_in", "named_twice"),
        ("body=sedan&stripes=2,240", "stripes", "stripes_form"),
        ("body=sedan&coated=true", "coated", "must_be_yes_or_no"),
        ("body=sedan&wheels=4", "wheels", "unknown_key"),
        ("body=sedan&wheels=", "wheels", "unknown_key"),
        ("body=sedan&lamp.headlamps=pink", "lamps.headlamps", "not_a_choice"),
    ],
)
def test_a_fault_names_the_key_or_the_path(query: str, path: str, code: str) -> None:
    assert faults_of(query) == [(path, code)]


def test_a_query_of_thousands_of_pairs_is_refused() -> None:
    assert faults_of("&".join(["add=hood"] * 500)) == [("", "too_many")]

"""The terms of a price book: texts in one language or several, wording by region, and faults that name their place."""

import copy
from typing import Any

import pytest

from configurator.domain.terms import RegionalWording
from configurator.errors import InvalidData
from configurator.loading.price_book import DEMO, demo_price_book, price_book_from
from configurator.loading.yaml_file import read_yaml


def with_terms(**changes: Any) -> dict[str, Any]:
    """The demo's document with other terms; None leaves a key out."""
    document: dict[str, Any] = copy.deepcopy(read_yaml(DEMO))  # type: ignore[assignment]
    document["terms"] = {key: value for key, value in {**document["terms"], **changes}.items() if value is not None}
    return document


def faults_of(document: object) -> list[tuple[str, str]]:
    with pytest.raises(InvalidData) as refused:
        price_book_from(document, file="own.yaml")
    return [(fault.path, fault.code) for fault in refused.value.faults]


def test_a_text_in_several_languages_and_one_in_the_shops_own() -> None:
    demo, own = demo_price_book().terms, price_book_from(with_terms(cancellation="No refunds on Sundays."), file="own.yaml").terms

    assert demo.cancellation == demo.cancellation_text.read_in("en_US")
    assert demo.cancellation_text.read_in("de").startswith("Kostenfrei")
    assert (own.cancellation, own.cancellation_text.read_in("de")) == ("No refunds on Sundays.", "No refunds on Sundays.")


def test_what_may_be_left_out() -> None:
    terms = price_book_from(with_terms(wording=None, least_margin=None), file="own.yaml").terms

    assert terms.least_margin is None
    assert terms.wording_in("un") == RegionalWording()


def test_the_eu_and_uk_wording_of_the_demo_says_that_there_is_something_to_pay() -> None:
    """'Order with obligation to pay': Directive 2011/83/EU, article 8(2), second subparagraph; UK SI 2013/3134, regulation 14(4)."""
    terms = demo_price_book().terms

    for region in ("un", "uk"):
        wording = terms.wording_in(region)
        assert wording.accept.read_in("en_GB").lower() == "order with obligation to pay"
        assert "14 days" in wording.withdrawal.read_in("en_GB")
    assert terms.wording_in("us").accept.read_in("en_US") == ""


@pytest.mark.parametrize(
    ("changes", "faults"),
    [
        ({"cancellation": ""}, [("terms.cancellation", "must_be_text")]),
        ({"cancellation": {"en": 5}}, [("terms.cancellation.en", "must_be_text")]),
        ({"wording": {"un": {"acept": "x"}}}, [("terms.wording.un.acept", "unknown_key")]),
        ({"wording": {"un": {"consents": ["x"]}}}, [("terms.wording.un.consents", "must_be_an_object")]),
        ({"least_margin": {"value": 3, "unit": "share of price", "why": "x"}}, [("terms.least_margin.value", "too_large")]),
        ({"surprise": 1}, [("terms.surprise", "unknown_key")]),
    ],
)
def test_what_is_wrong_is_named_with_its_place(changes: dict[str, Any], faults: list[tuple[str, str]]) -> None:
    assert faults_of(with_terms(**changes)) == faults


def test_a_cost_per_hour_is_for_roles_that_there_are() -> None:
    document = with_terms()
    document["rates"]["cost_per_hour"] = {"magician": {"value": 1, "unit": "USD/h", "why": "x"}}

    assert faults_of(document) == [("rates.cost_per_hour.magician", "unknown_key")]

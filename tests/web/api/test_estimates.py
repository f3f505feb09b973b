"""POST /api/v1/estimates: the contract's document, in the visitor's language, and every bad body refused in one shape."""

import json
from decimal import Decimal
from typing import Any

import jsonschema
import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator.wire.openapi import openapi_document
from tests.wire.test_selection import CONTRACT_EXAMPLE

SCHEMAS = openapi_document("http://localhost")["components"]
SMALL = {"version": 1, "vehicle": {"body": "sedan"}, "coverage": {"package": "full_front"}}


def check(document: object, name: str) -> None:
    """The document fits the published schema of that name."""
    jsonschema.validate(document, {"$ref": f"#/components/schemas/{name}", "components": SCHEMAS})


def post(client: FlaskClient, data: bytes | str, **more: Any) -> Any:
    return client.post("/api/v1/estimates", data=data, content_type="application/json", **more)


@pytest.mark.parametrize("document", [SMALL, CONTRACT_EXAMPLE, {"version": 1, "vehicle": {"body": "van"}}])
def test_an_estimate_fits_the_published_schema(client: FlaskClient, document: dict[str, Any]) -> None:
    answer = client.post("/api/v1/estimates", json=document)

    assert answer.status_code == 200
    check(answer.json, "Estimate")


def test_the_lines_add_up_to_the_typical_price(client: FlaskClient) -> None:
    estimate = client.post("/api/v1/estimates", json=CONTRACT_EXAMPLE).json

    assert sum(Decimal(line["typical"]) for line in estimate["lines"]) == Decimal(estimate["price"]["typical"])


def test_the_selection_that_comes_back_gives_the_same_estimate(client: FlaskClient) -> None:
    first = client.post("/api/v1/estimates", json=SMALL).json
    second = client.post("/api/v1/estimates", json=first["selection"]).json

    assert second["price"] == first["price"]
    assert second["time"] == first["time"]
    assert second["panels"] == first["panels"]


def test_nothing_chosen_costs_nothing(client: FlaskClient) -> None:
    estimate = client.post("/api/v1/estimates", json={"version": 1, "vehicle": {"body": "sedan"}}).json

    assert estimate["reason"] == "nothing_chosen"
    assert Decimal(estimate["price"]["typical"]) == 0
    assert estimate["lines"] == []
    assert estimate["time"]["days_off_road"] == {"typical": 0, "high": 0}


def test_texts_follow_the_language_and_figures_do_not(client: FlaskClient) -> None:
    english = client.post("/api/v1/estimates", json=SMALL).json
    german = client.post("/api/v1/estimates", json=SMALL, headers={"Accept-Language": "de"}).json

    assert german["price"] == english["price"]
    assert [line["label"] for line in german["lines"]] != [line["label"] for line in english["lines"]]
    assert client.post("/api/v1/estimates?lang=de", json=SMALL).json == german


@pytest.mark.parametrize(
    ("body", "status", "code", "path"),
    [
        (b"", 400, "not_json", ""),
        (b"[1,", 400, "not_json", ""),
        (b"\xff", 400, "not_utf8", ""),
        (b'{"version":1,"version":1}', 400, "duplicate_name", "version"),
        (b'{"version":NaN}', 400, "not_a_number", ""),
        (b"[" * 5000, 400, "nested_too_deeply", ""),
        (b"[]", 422, "must_be_an_object", ""),
        (b'{"version":1,"vehicle":{"body":"boat"}}', 422, "unknown_body", "vehicle.body"),
        (b'{"version":1,"vehicle":{"body":"sedan","size":{"length_mm":300}}}', 422, "too_small", "vehicle.size.length_mm"),
        (b'{"version":1,"vehicle":{"body":"coupe"},"coverage":{"add":["hood","door_rear_left"]}}', 422, None, "coverage.add[1]"),
        (b'{"version":1,"vehicle":{"body":"sedan"},"finish":{"default":"plaid"}}', 422, None, "finish.default"),
        (b'{"version":1,"vehicle":{"body":"sedan"},"region":"atlantis"}', 422, None, "region"),
    ],
)
def test_a_bad_body_is_refused_with_its_path(client: FlaskClient, body: bytes, status: int, code: str | None, path: str) -> None:
    answer = post(client, body)

    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    check(answer.json, "Problem")
    assert answer.json["errors"][0]["path"] == path
    assert code is None or answer.json["errors"][0]["code"] == code


def test_a_wheelbase_longer_than_the_car_is_refused_with_the_range(client: FlaskClient) -> None:
    size = {"length_mm": 4000, "wheelbase_mm": 4500}
    answer = client.post("/api/v1/estimates", json={"version": 1, "vehicle": {"body": "sedan", "size": size}})

    assert answer.status_code == 422
    assert "vehicle.size.wheelbase_mm" in {error["path"] for error in answer.json["errors"]}


def test_three_megabytes_are_refused(client: FlaskClient) -> None:
    answer = post(client, b'"' + b"x" * 3_000_000 + b'"')

    assert answer.status_code == 413
    assert answer.content_type == "application/problem+json"


def test_only_json_is_read(client: FlaskClient) -> None:
    assert client.post("/api/v1/estimates", data="version=1").status_code == 415
    assert client.post("/api/v1/estimates", data=json.dumps(SMALL), content_type="text/plain").status_code == 415


def test_other_methods_are_named(client: FlaskClient) -> None:
    answer = client.get("/api/v1/estimates")

    assert answer.status_code == 405
    assert "POST" in answer.headers["Allow"]
    assert answer.content_type == "application/problem+json"


def test_an_unknown_address_of_the_api_answers_in_the_same_shape(client: FlaskClient) -> None:
    answer = client.get("/api/v1/nothing")

    assert answer.status_code == 404
    check(answer.json, "Problem")


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False, allow_infinity=False) | st.integers() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


def _places(document: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [path] if path else []
    items = document.items() if isinstance(document, dict) else enumerate(document) if isinstance(document, list) else ()
    for key, value in items:
        found += _places(value, (*path, key))
    return found


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(path=st.sampled_from(_places(CONTRACT_EXAMPLE)), value=ANYTHING)
def test_whatever_stands_in_a_documents_place_the_answer_is_never_a_crash(
    client: FlaskClient, path: tuple[Any, ...], value: object
) -> None:
    document = json.loads(json.dumps(CONTRACT_EXAMPLE))
    place = document
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value

    answer = post(client, json.dumps(document))

    assert answer.status_code in {200, 400, 422}
    check(answer.json, "Estimate" if answer.status_code == 200 else "Problem")


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300))
def test_any_bytes_are_answered(client: FlaskClient, data: bytes) -> None:
    assert post(client, data).status_code in {200, 400, 422}

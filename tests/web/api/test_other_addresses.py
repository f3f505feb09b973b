"""The rest of the API: catalogue, drawing, openings, requests, OpenAPI."""

import gzip
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openapi_spec_validator import validate

from configurator.services.depiction import STANDALONE_VIEWS
from tests.web.api.test_estimates import check


def test_the_openapi_document_is_valid_openapi_3_1(client: FlaskClient) -> None:
    document = client.get("/api/v1/openapi.json").json

    validate(document)
    assert document["openapi"].startswith("3.1")


def test_every_address_of_the_api_is_in_the_document(client: FlaskClient) -> None:
    documented = set(client.get("/api/v1/openapi.json").json["paths"])
    served = {rule.rule for rule in client.application.url_map.iter_rules() if rule.rule.startswith("/api/")}

    assert served == documented


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_catalogue_fits_its_schema_and_is_kept_by_its_tag(client: FlaskClient, language: str) -> None:
    answer = client.get("/api/v1/catalog", headers={"Accept-Language": language})
    again = client.get("/api/v1/catalog", headers={"Accept-Language": language, "If-None-Match": answer.headers["ETag"]})

    check(answer.json, "Catalog")
    assert len(answer.json["bodies"]) == 8
    assert again.status_code == 304


@pytest.mark.parametrize("view", STANDALONE_VIEWS)
def test_a_drawing_is_well_formed_and_may_not_run_anything(client: FlaskClient, view: str) -> None:
    answer = client.get(f"/api/v1/diagram.svg?body=sedan&package=full_front&view={view}")

    assert answer.status_code == 200
    assert answer.content_type.startswith("image/svg+xml")
    assert "sandbox" in answer.headers["Content-Security-Policy"]
    assert ElementTree.fromstring(answer.data).tag.endswith("svg")


def test_the_sheet_is_at_most_35_kilobytes_packed(client: FlaskClient) -> None:
    answer = client.get("/api/v1/diagram.svg?body=sedan&package=full_body&view=sheet")

    assert len(gzip.compress(answer.data, 9)) <= 35_000


@pytest.mark.parametrize("query", ["body=boat", "body=sedan&view=inside", "body=sedan&wheels=4", "", "body=sedan&length_mm=tall"])
def test_a_bad_query_is_refused(client: FlaskClient, query: str) -> None:
    answer = client.get(f"/api/v1/diagram.svg?{query}")

    assert answer.status_code == 422
    check(answer.json, "Problem") if answer.is_json else pytest.fail(answer.get_data(as_text=True)[:200])


def test_openings_come_in_date_order_with_the_shortest_marked(client: FlaskClient) -> None:
    answer = client.get("/api/v1/openings?body=sedan&package=full_front&edges=hidden")

    check(answer.json, "Openings")
    openings = answer.json["openings"]
    assert openings == sorted(openings, key=lambda opening: opening["drop_off"])
    fewest = min(opening["days_off_road"]["typical"] for opening in openings)
    assert [opening["days_off_road"]["typical"] for opening in openings if opening["shortest"]] == [fewest]


def test_a_request_is_received_once(client: FlaskClient, request_document: dict[str, Any]) -> None:
    first = client.post("/api/v1/requests", json=request_document, headers={"Idempotency-Key": "k1"})
    again = client.post("/api/v1/requests", json=request_document, headers={"Idempotency-Key": "k1"})

    assert first.status_code == 201, first.json
    check(first.json, "Submitted")
    assert again.json["reference"] == first.json["reference"]
    assert client.get(first.json["link"]).status_code == 200


@pytest.mark.parametrize(
    ("change", "status", "code"),
    [
        ({"price_book": "last-year"}, 409, "estimate_stale"),
        ({"form_token": ""}, 403, "form_missing"),
        ({"form_token": "x.y.z"}, 403, "form_forged"),
        ({"website": "http://spam.example"}, 403, "form_forged"),
        ({"contact": {"name": "Mara"}}, 422, "invalid_input"),
        ({"contact": {"name": "Mara", "email": "nowhere"}}, 422, "invalid_input"),
        ({"dates": ["2027-03-08"] * 4}, 422, "invalid_input"),
        ({"surprise": 1}, 422, "invalid_input"),
    ],
)
def test_a_request_that_cannot_be_kept_says_why(
    client: FlaskClient, request_document: dict[str, Any], change: dict[str, Any], status: int, code: str
) -> None:
    answer = client.post("/api/v1/requests", json=request_document | change)

    assert (answer.status_code, answer.json["code"]) == (status, code)
    check(answer.json, "Problem")


def test_a_smoked_lamp_needs_its_acknowledgement(client: FlaskClient, request_document: dict[str, Any]) -> None:
    request_document["selection"]["lamps"] = {"tail_lamps": "smoke_medium"}
    refused = client.post("/api/v1/requests", json=request_document)
    kept = client.post("/api/v1/requests", json=request_document | {"acknowledged": ["tail_lamps"]})

    assert refused.status_code == 422
    assert kept.status_code == 201, kept.json


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    query=st.lists(
        st.tuples(
            st.sampled_from(["body", "package", "add", "feature", "stripes", "length_mm", "lamp.headlamps", "x"]), st.text(max_size=12)
        )
    )
)
def test_any_query_is_answered(client: FlaskClient, query: list[tuple[str, str]]) -> None:
    assert client.get("/api/v1/diagram.svg", query_string=query).status_code in {200, 422}
    assert client.get("/api/v1/openings", query_string=query).status_code in {200, 422}

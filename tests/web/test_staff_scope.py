"""Changing a request's scope at the desk: the visitor's own steps, before and after, a reason, and nothing lost to a second editor."""

import re
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest
from flask.testing import FlaskClient

from configurator.wire.query import query_from_selection
from tests.shops import chosen
from tests.web.desk_app import Desk, form_token, make_desk, press, revision


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


@pytest.fixture
def robin(desk: Desk) -> FlaskClient:
    return desk.client("robin")


@pytest.fixture
def page(desk: Desk, robin: FlaskClient) -> str:
    reference, _ = desk.send()
    address = f"/staff/requests/{reference}"
    press(robin, address, f"{address}/take")
    return address


def plan(*arguments: str, **more: object) -> str:
    return urlencode(list(query_from_selection(chosen(*arguments, **more))))  # type: ignore[arg-type]


def keep(client: FlaskClient, page: str, query: str, reason: str):
    return press(client, f"{page}/scope?step=send&{query}", f"{page}/scope/keep", plan=query, reason=reason)


def test_it_begins_with_the_requests_own_scope(robin: FlaskClient, page: str) -> None:
    first = robin.get(f"{page}/scope")
    assert first.status_code == 303
    assert "package=full_front" in first.headers["Location"]
    text = robin.get(first.headers["Location"]).text

    assert "What should be covered?" in text
    assert "Mara Ellison" in text
    assert f'action="{page}/scope"' in text
    assert f'live="{page}/scope/live"' in text
    assert 'href="/configure?' not in text.replace("data-share", "").split("cfg-links")[0], "every step stays at the desk"


def test_a_ticked_panel_stays_in_the_address(robin: FlaskClient, page: str) -> None:
    """As the visitor's page does without script: the form is sent, and leads to the plan's own address."""
    text = robin.get(robin.get(f"{page}/scope").headers["Location"]).text
    fields = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', text)
    ticked = re.findall(r'name="f.panel" value="([^"]+)" checked', text)
    sent = urlencode([*fields, ("package", "full_front"), *(("f.panel", panel) for panel in [*ticked, "rocker_left"]), ("go", "send")])
    answer = robin.get(f"{page}/scope?{sent}")

    assert answer.status_code == 303
    assert urlsplit(answer.headers["Location"]).path == f"{page}/scope"
    assert "add=rocker_left" in answer.headers["Location"]
    assert "step=send" in answer.headers["Location"]
    compared = robin.get(answer.headers["Location"]).text
    assert "Left rocker panel" in compared
    assert "Came in" in compared


def test_it_is_kept_with_its_reason_and_the_visitors_own_stays(desk: Desk, robin: FlaskClient, page: str) -> None:
    query = plan("sedan", "track")
    assert keep(robin, page, query, "Asked on the phone.").status_code == 303
    text = robin.get(page).text

    assert "changed the scope" in text
    assert "Asked on the phone." in text
    assert "Track" in text
    compared = robin.get(f"{page}/quote").text
    with desk.wiring.store.reading() as work:
        kept = work.requests.by_reference(page.split("/")[3])
        original = work.scopes.original(kept)  # type: ignore[arg-type]
    assert original is not None
    assert original.estimate.price.typical < kept.estimate.price.typical  # type: ignore[union-attr]
    assert "Visitor saw" in compared


@pytest.mark.parametrize(
    ("query", "reason", "said"),
    [
        (plan("sedan", "track"), "", "a change without a reason"),
        (plan("sedan"), "x", "Nothing is chosen yet"),
        ("body=boat", "x", "can&#39;t be read"),
    ],
)
def test_a_scope_that_cannot_be_kept_says_why(robin: FlaskClient, page: str, query: str, reason: str, said: str) -> None:
    form = robin.get(f"{page}/scope?step=send&{plan('sedan', 'track')}").text
    data = {"form_token": form_token(form), "revision": revision(form), "plan": query, "reason": reason}
    refused = robin.post(f"{page}/scope/keep", data=data)

    assert refused.status_code == 422
    assert said in refused.text or said.replace("&#39;", "'") in refused.text


def test_the_second_editor_keeps_plan_and_reason(desk: Desk, robin: FlaskClient, page: str) -> None:
    ines = desk.client("ines")
    query = plan("sedan", "full_body")
    old = ines.get(f"{page}/scope?step=send&{query}").text
    keep(robin, page, plan("sedan", "track"), "First.")
    data = {"form_token": form_token(old), "revision": revision(old), "plan": query, "reason": "Whole car."}
    late = ines.post(f"{page}/scope/keep", data=data)

    assert late.status_code == 409
    assert "Robin Tester changed the scope" in late.text
    assert "Whole car." in late.text
    again = ines.post(f"{page}/scope/keep", data={**data, "revision": revision(late.text), "form_token": form_token(late.text)})
    assert again.status_code == 303


def test_before_it_is_taken_or_after_it_is_accepted_the_scope_stands(desk: Desk, robin: FlaskClient) -> None:
    reference, _ = desk.send()

    assert robin.get(f"/staff/requests/{reference}/scope").status_code == 409


def test_only_the_desk_changes_a_scope(desk: Desk, page: str) -> None:
    assert desk.client("tomas").get(f"{page}/scope").status_code == 403
    assert desk.client("jost").get(f"{page}/scope/live").status_code == 403

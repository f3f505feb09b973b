"""A request that an advisor enters for a caller: the visitor's own pages behind the staff's guard."""

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.domain.review import Actor, State
from tests.web.desk_app import Desk, later, make_desk

PLAN = "body=sedan&package=full_front"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def hidden(page: str) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))


def send(desk: Desk, client: FlaskClient, query: str = PLAN, headers: dict[str, str] | None = None, **typed: str) -> str | int:
    page = client.get(f"/staff/configure?step=send&{query}").text
    later(desk, seconds=5)
    fields = {"name": "Odile Marchetti", "email": "odile@marchetti.example", "phone": "", "language": "de", **typed}
    answer = client.post("/staff/configure/send", data={**hidden(page), **fields}, headers=headers)
    return answer.location if answer.status_code == 303 else answer.status_code


def test_it_is_received_by_the_advisor_for_the_caller_in_the_callers_language(desk: Desk) -> None:
    client = desk.client("robin")
    location = send(desk, client)
    assert isinstance(location, str)
    reference = location.rpartition("/")[2]
    with desk.wiring.store.reading() as work:
        kept = work.requests.by_reference(reference)
        assert kept is not None
        history, mails = work.requests.history(kept.id), work.mails.about(kept.id)

    assert (kept.state, kept.source, kept.locale) == (State.RECEIVED, "phone", "de")
    assert (history[0].by.actor, history[0].by.name) == (Actor.ADVISOR, "Robin Tester")
    assert {mail.kind: mail.locale for mail in mails}["request_received"] == "de"
    assert "a call" in client.get(location).text


def test_every_step_stays_at_the_desk(desk: Desk) -> None:
    client = desk.client("robin")
    for step in ("car", "coverage", "finish", "lamps", "edges", "estimate", "send"):
        page = client.get(f"/staff/configure?step={step}&{PLAN}").text
        hrefs = re.findall(r'(?:href|action|live)="(/(?:staff/)?configure[^"]*)"', page)
        assert hrefs
        to_share = {href for href in hrefs if not href.startswith("/staff/configure")}
        assert to_share <= {f"/configure?step={step}&amp;{PLAN}".replace("&package", "&amp;package")}, "only what is given to the caller"
    live = client.get(f"/staff/configure/live?f.form=coverage&{PLAN}&f.package=track")
    assert live.status_code == 200
    assert "/staff/configure" in live.text


def test_a_known_customer_is_filled_in_and_known_again(desk: Desk) -> None:
    desk.send()
    client = desk.client("robin")
    assert "/staff/configure?customer=1" in client.get("/staff/customers/1").text
    page = client.get(f"/staff/configure?step=send&customer=1&{PLAN}").text
    assert 'value="mara@ellison.example"' in page
    later(desk, seconds=5)
    fields = {"name": "Mara Ellison", "email": "mara@ellison.example", "language": "en_US"}
    assert client.post("/staff/configure/send", data={**hidden(page), **fields}).status_code == 303

    with desk.wiring.store.reading() as work:
        assert len(work.customers.requests_of(1)) == 2


def test_a_visitors_page_shows_nobody(desk: Desk) -> None:
    desk.send()

    assert "mara@ellison.example" not in desk.client().get(f"/configure?step=send&customer=1&{PLAN}").text
    assert "mara@ellison.example" not in desk.client("robin").get(f"/configure?step=send&customer=1&{PLAN}").text


@pytest.mark.parametrize("who", ["tomas", "jost", None])
def test_it_is_for_the_desk_alone(desk: Desk, who: str | None) -> None:
    client = desk.client(who)
    for answer in (client.get("/staff/configure"), client.get("/staff/configure/live"), client.post("/staff/configure/send")):
        assert answer.status_code == (403 if who else 303)


@pytest.mark.parametrize("headers", [{"Origin": "https://evil.example"}, {"Sec-Fetch-Site": "cross-site"}])
def test_a_form_from_elsewhere_does_nothing(desk: Desk, headers: dict[str, str]) -> None:
    assert send(desk, desk.client("robin"), headers=headers) == 403


@pytest.mark.parametrize(("field", "value"), [("email", ""), ("name", ""), ("phone", "12")])
def test_what_is_missing_is_asked_for_with_the_rest_kept(desk: Desk, field: str, value: str) -> None:
    assert send(desk, desk.client("robin"), **{field: value}) == 422


def test_an_unknown_customer_breaks_nothing(desk: Desk) -> None:
    client = desk.client("robin")
    for number in ("999", "x", "-1", "99999999999999"):
        assert client.get(f"/staff/configure?step=send&customer={number}&{PLAN}").status_code == 200

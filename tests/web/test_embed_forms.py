"""Sending from a frame, as someone with bad intentions would: tokens of other sites, old ones, used ones, forms sent from elsewhere."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.form_tokens import LEAST_SECONDS, LIFETIME_SECONDS
from configurator.web.wiring import Wiring
from tests.services.conftest import Clock
from tests.shops import demo_shop
from tests.web.test_visitor_pages import fields_of

SHOP, OTHER = "https://shop.example", "https://other.example"
PLAN = "step=send&body=sedan&package=full_front&region=us"


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def app(tmp_path: Path, clock: Clock) -> Iterator[Flask]:
    environment = {
        "TUCKLINE_SECRET_KEY": "s" * 40,
        "DATABASE_URL": f"sqlite:///{tmp_path}/shop.db",
        "TUCKLINE_DATA_DIR": str(tmp_path),
        "TUCKLINE_EMBED_SITES": f"{SHOP},{OTHER}",
        "TUCKLINE_RATE_REQUESTS": "1000/hour",
    }
    wiring = Wiring(read_settings(environment), clock=clock)
    wiring.__dict__["shop"] = demo_shop()
    upgrade(wiring.store.engine)
    yield create_app(wiring.settings, wiring=wiring)
    wiring.store.engine.dispose()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


def form(client: FlaskClient, site: str = SHOP) -> dict[str, str]:
    """The last step's form as a visitor of a site gets it and fills it in."""
    page = client.get(f"/embed/configure?site={site}&{PLAN}" if site else f"/configure?{PLAN}")
    assert page.status_code == 200
    return {**dict(fields_of(page.text)), "name": "Mara Quill", "email": "mara@quill.example"}


def send(client: FlaskClient, fields: dict[str, str], base: str = "/embed/configure", **headers: str) -> TestResponse:
    return client.post(f"{base}/send", data=fields, headers={name.replace("_", "-"): value for name, value in headers.items()})


def kept(app: Flask) -> list[tuple[str, str]]:
    """Reference and source of every request that was kept."""
    from sqlalchemy import text

    with app.extensions["tuckline"].store.engine.connect() as connection:
        return [(row.reference, row.source) for row in connection.execute(text("SELECT reference, source FROM requests ORDER BY id"))]


def wait(clock: Clock, seconds: float = 30) -> None:
    clock.now += timedelta(seconds=seconds)


def test_a_person_on_a_listed_site_sends_one_request_that_names_the_site(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock)

    answer = send(client, fields, Origin="http://localhost", Referer="http://localhost/embed/configure", Sec_Fetch_Site="same-origin")

    assert answer.status_code == 200
    assert "Set-Cookie" not in answer.headers
    ((reference, source),) = kept(app)
    assert reference in answer.text
    assert source == SHOP


def test_a_token_sent_again_brings_back_the_same_request(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock)
    answers = [send(client, fields) for _ in range(3)]

    ((reference, _),) = kept(app)
    assert all(reference in answer.text for answer in answers)


def test_a_used_token_makes_no_second_request_with_other_words(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock)
    send(client, fields)

    for number in range(3):
        again = send(client, {**fields, "name": f"Somebody {number}", "idempotency_key": f"key-{number}"})
        assert again.status_code == 422

    assert len(kept(app)) == 1


def test_a_person_who_changes_the_form_after_sending_can_send_again(app: Flask, client: FlaskClient, clock: Clock) -> None:
    """The way back: the refused page carries a fresh token."""
    fields = form(client)
    wait(clock)
    send(client, fields)
    refused = send(client, {**fields, "notes": "I forgot to say: it is a wedding car."})
    wait(clock)

    again = send(client, {**dict(fields_of(refused.text)), "notes": "I forgot to say: it is a wedding car."})

    assert again.status_code == 200
    assert len(kept(app)) == 2


@pytest.mark.parametrize(("made_for", "sent_on", "base"), [(OTHER, SHOP, "/embed/configure"), ("", SHOP, "/embed/configure")])
def test_a_token_counts_only_on_the_site_it_was_made_for(
    app: Flask, client: FlaskClient, clock: Clock, made_for: str, sent_on: str, base: str
) -> None:
    fields = {**form(client, sent_on), "form_token": form(client, made_for)["form_token"]}
    wait(clock)

    assert send(client, fields, base).status_code == 403
    assert kept(app) == []


def test_a_frames_token_does_not_count_on_our_own_page_or_in_the_api(app: Flask, client: FlaskClient, clock: Clock) -> None:
    token = form(client)["form_token"]
    own = {**form(client, ""), "form_token": token}
    wait(clock)

    assert send(client, own, "/configure").status_code == 403
    document = {
        "selection": {"version": 1, "vehicle": {"body": "sedan"}, "coverage": {"package": "full_front"}},
        "contact": {"name": "Mara Quill", "email": "mara@quill.example"},
        "price_book": demo_shop().book.version,
        "form_token": token,
    }
    assert client.post("/api/v1/requests", json=document).json["code"] == "form_elsewhere"
    assert kept(app) == []


def test_a_site_that_was_taken_off_the_list_can_not_send_any_more(app: Flask, client: FlaskClient, clock: Clock) -> None:
    from configurator.domain.desk import Person
    from configurator.domain.review import Actor
    from configurator.services import sites

    store, owner, shop = app.extensions["tuckline"].store, Person(Actor.OWNER, None, "Ines Calder"), "https://new.example"
    sites.allow(shop, owner, store, clock())
    fields = form(client, shop)
    wait(clock)
    sites.remove(shop, owner, store, clock())

    assert send(client, fields).status_code == 403
    assert kept(app) == []


@pytest.mark.parametrize("token", ["", "x", "eyJzIjoiaHR0cHM6Ly9zaG9wLmV4YW1wbGUifQ.aaaaaa.bbbbbbbbbbbbbbbbbbbb", "ä" * 40, "a.b.c.d"])
def test_a_made_up_token_is_refused(app: Flask, client: FlaskClient, clock: Clock, token: str) -> None:
    fields = form(client)
    wait(clock)

    assert send(client, {**fields, "form_token": token}).status_code == 403
    assert kept(app) == []


def test_a_token_with_one_changed_letter_is_refused(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock)
    token = fields["form_token"]
    for place in range(0, len(token), 7):
        changed = token[:place] + ("A" if token[place] != "A" else "B") + token[place + 1 :]
        assert send(client, {**fields, "form_token": changed}).status_code == 403

    assert kept(app) == []


def test_an_aged_out_token_loses_nothing_and_stays_one_request(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock, LIFETIME_SECONDS + 1)
    stale = send(client, {**fields, "notes": "Please call before noon."})
    assert stale.status_code == 422
    assert "Please call before noon." in stale.text
    assert kept(app) == []

    wait(clock)
    fresh = {**fields, "form_token": dict(fields_of(stale.text))["form_token"]}
    assert fresh["form_token"] != fields["form_token"]
    assert send(client, fresh).status_code == 200
    wait(clock, LIFETIME_SECONDS + 1)
    once_more = {**fresh, "form_token": dict(fields_of(send(client, fresh).text))["form_token"]}
    wait(clock)
    assert send(client, once_more).status_code == 200

    assert len(kept(app)) == 1


def test_a_form_sent_faster_than_a_person_can_is_shown_again(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock, LEAST_SECONDS - 1)

    assert send(client, fields).status_code == 422
    assert kept(app) == []


def test_a_filled_trap_field_is_refused(app: Flask, client: FlaskClient, clock: Clock) -> None:
    fields = form(client)
    wait(clock)

    assert send(client, {**fields, "website": "http://buy.example"}).status_code == 403
    assert kept(app) == []


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://evil.example"},
        {"Origin": SHOP},
        {"Referer": "https://evil.example/form"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
        {"Origin": "http://localhost", "Sec_Fetch_Site": "cross-site"},
        {"Origin": "http://localhost.evil.example"},
    ],
)
def test_a_form_sent_from_another_page_is_refused(app: Flask, client: FlaskClient, clock: Clock, headers: dict[str, str]) -> None:
    """The framed page itself is ours, so even a listed site's own page may not send it."""
    fields = form(client)
    wait(clock)

    assert send(client, fields, **headers).status_code == 403
    assert kept(app) == []


def test_sending_is_rationed_by_address(tmp_path: Path, clock: Clock) -> None:
    environment = {"TUCKLINE_SECRET_KEY": "s" * 40, "DATABASE_URL": f"sqlite:///{tmp_path}/few.db", "TUCKLINE_RATE_REQUESTS": "2/hour"}
    wiring = Wiring(read_settings(environment), clock=clock)
    wiring.__dict__["shop"] = demo_shop()
    upgrade(wiring.store.engine)
    app = create_app(wiring.settings, wiring=wiring)
    client = app.test_client()
    answers = []
    for number in range(3):
        fields = {**form(client, "http://localhost"), "name": f"Mara {number}"}
        wait(clock)
        answers.append(send(client, fields).status_code)

    assert answers == [200, 200, 429]
    assert len(kept(app)) == 2
    wiring.store.engine.dispose()


class TestOtherOriginsAndTheApi:
    """Fetch standard, CORS protocol: a listed site's scripts may read the API, others may not."""

    def test_a_listed_site_may_read_estimates(self, client: FlaskClient) -> None:
        document = {"version": 1, "vehicle": {"body": "sedan"}}
        answer = client.post("/api/v1/estimates", json=document, headers={"Origin": SHOP})

        assert answer.headers["Access-Control-Allow-Origin"] == SHOP
        assert "Origin" in ", ".join(answer.headers.getlist("Vary"))
        assert "Access-Control-Allow-Credentials" not in answer.headers

    def test_its_browser_is_answered_beforehand(self, client: FlaskClient) -> None:
        asked = {"Origin": SHOP, "Access-Control-Request-Method": "POST", "Access-Control-Request-Headers": "content-type"}
        answer = client.open("/api/v1/estimates", method="OPTIONS", headers=asked)

        assert answer.status_code == 204
        assert answer.headers["Access-Control-Allow-Origin"] == SHOP
        assert "POST" in answer.headers["Access-Control-Allow-Methods"]
        assert "Content-Type" in answer.headers["Access-Control-Allow-Headers"]

    @pytest.mark.parametrize("origin", ["https://evil.example", "null", f"{SHOP}.evil.example", "http://shop.example", "*"])
    def test_no_other_site_may(self, client: FlaskClient, origin: str) -> None:
        asked = {"Origin": origin, "Access-Control-Request-Method": "POST"}
        for answer in (
            client.get("/api/v1/catalog", headers={"Origin": origin}),
            client.open("/api/v1/estimates", method="OPTIONS", headers=asked),
        ):
            assert [name for name, _ in answer.headers if name.startswith("Access-Control")] == []


def test_framed_pages_may_stand_on_a_page_that_isolates_itself(client: FlaskClient) -> None:
    """HTML standard, cross-origin isolation: a `require-corp` page shows only frames that say so too."""
    headers = client.get(f"/embed/configure?site={SHOP}").headers

    assert headers["Cross-Origin-Embedder-Policy"] == "require-corp"
    assert headers["Cross-Origin-Resource-Policy"] == "cross-origin"


def test_where_it_is_asked_for_is_noted(app: Flask, client: FlaskClient) -> None:
    for site in (SHOP, "https://copycat.example", "null", ""):
        client.get("/embed/configure", query_string={"site": site}, headers={"Sec-Fetch-Dest": "iframe"}).close()

    with app.extensions["tuckline"].store.reading() as work:
        assert set(work.sites.last_seen()) == {SHOP}
        assert [each.origin for each in work.sites.turned_away()] == ["https://copycat.example"]

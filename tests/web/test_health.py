"""Alive, ready, counted."""

from datetime import timedelta
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from tests.services.conftest import Clock

TOKEN = "a metrics token that is long enough to be one"


@pytest.fixture
def wiring(tmp_path: Path) -> Wiring:
    environment = {"TUCKLINE_SECRET_KEY": "s" * 40, "DATABASE_URL": f"sqlite:///{tmp_path}/shop.db", "TUCKLINE_METRICS_TOKEN": TOKEN}
    settings = read_settings(environment)
    return Wiring(settings, clock=Clock())


@pytest.fixture
def app(wiring: Wiring) -> Flask:
    return create_app(wiring.settings, wiring=wiring)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


def test_alive_needs_nothing(client: FlaskClient) -> None:
    assert client.get("/healthz").status_code == 200


def test_ready_says_what_is_missing_and_what_is_silent(client: FlaskClient, wiring: Wiring) -> None:
    behind = client.get("/readyz")
    upgrade(wiring.store.engine)
    silent = client.get("/readyz")
    with wiring.store.writing() as work:
        work.mails.beat(wiring.clock())
    ready = client.get("/readyz")
    wiring.clock.now += timedelta(minutes=5)  # type: ignore[attr-defined]
    silent_again = client.get("/readyz")

    assert (behind.status_code, behind.json["database"]) == (503, "behind")  # type: ignore[index]
    assert (silent.status_code, len(silent.json["warnings"])) == (200, 1)  # type: ignore[index]
    assert (ready.status_code, ready.json["warnings"]) == (200, [])  # type: ignore[index]
    assert len(silent_again.json["warnings"]) == 1  # type: ignore[index]


def test_a_database_that_is_away_is_not_ready() -> None:
    settings = read_settings({"TUCKLINE_SECRET_KEY": "s" * 40, "DATABASE_URL": "postgresql://nobody@127.0.0.1:1/nothing?connect_timeout=2"})
    answer = create_app(settings).test_client().get("/readyz")

    assert (answer.status_code, answer.json["database"]) == (503, "unreachable")  # type: ignore[index]


def test_counts_are_for_loopback_or_the_token(client: FlaskClient, wiring: Wiring) -> None:
    upgrade(wiring.store.engine)
    from_away = {"environ_base": {"REMOTE_ADDR": "203.0.113.9"}}

    assert client.get("/metrics").status_code == 200
    assert client.get("/metrics", **from_away).status_code == 403  # type: ignore[arg-type]
    assert client.get("/metrics", headers={"X-Forwarded-For": "203.0.113.9"}).status_code == 403
    assert client.get("/metrics", headers={"Authorization": "Bearer wrong"}, **from_away).status_code == 403  # type: ignore[arg-type]
    assert client.get("/metrics", headers={"Authorization": f"Bearer {TOKEN}"}, **from_away).status_code == 200  # type: ignore[arg-type]


def test_counts_name_endpoints_and_never_addresses(client: FlaskClient, wiring: Wiring) -> None:
    upgrade(wiring.store.engine)
    client.get("/r/a-private-token")
    text = client.get("/metrics").text

    assert "tuckline_http_requests_total" in text
    assert 'tuckline_open_requests{state="received"} 0.0' in text
    assert "a-private-token" not in text

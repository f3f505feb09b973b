"""An app with its own database, staff and a clock that stands still; three people: a visitor, an advisor, a stranger."""

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from argon2 import PasswordHasher
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from configurator.domain.review import Actor, CarWords, Contact, RequestDraft
from configurator.loading.shop import load_shop
from configurator.services.access import passwords
from configurator.services.access.people import add_person
from configurator.services.submitting import submit
from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from configurator.wire.selection import load_selection
from tests.desk_builders import NOON
from tests.services.conftest import Clock

passwords._hasher = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
"""Cheap hashes: these tests log in a few hundred times. The real figures are tested in tests/services/access/test_passwords.py."""
PASSWORD = "quiet river stones"
PEOPLE = {"ines": Actor.OWNER, "robin": Actor.ADVISOR, "tomas": Actor.INSTALLER, "jost": Actor.ASSEMBLER}
_shop = None


@dataclass
class Desk:
    """The app under test and what tests do with it."""

    app: Flask
    wiring: Wiring
    clock: Clock

    def client(self, who: str | None = None) -> FlaskClient:
        """A browser; logged in as somebody, or nobody's."""
        client = self.app.test_client()
        if who is not None:
            answer = log_in(client, f"{who}@film.example", PASSWORD)
            assert answer.status_code == 303, answer.text
        return client

    def send(self, **changes: object) -> tuple[str, str]:
        """A visitor's request; its reference and token."""
        values: dict[str, object] = {
            "selection": load_selection({"version": 1, "vehicle": {"body": "sedan"}, "coverage": {"package": "full_front"}}),
            "contact": Contact("Mara Ellison", "mara@ellison.example", "+12025550123", None, "en_US"),
            "price_book": self.wiring.shop.book.version,
            "car": CarWords("Silver sedan", "silver", "ABC 123", ""),
            "dates": (date(2027, 3, 15),),
            "notes": "Please call before noon.",
        }
        sent = submit(RequestDraft(**{**values, **changes}), self.wiring.desk())  # type: ignore[arg-type]
        return sent.reference, sent.token


def make_desk(folder: Path, **environment: str) -> Desk:
    """A fresh app. The shop's data is read once for all tests."""
    global _shop
    _shop = _shop or load_shop(None)
    variables = {"TUCKLINE_SECRET_KEY": "s" * 40, "DATABASE_URL": f"sqlite:///{folder}/shop.db", "TUCKLINE_DATA_DIR": str(folder)}
    settings = read_settings({**variables, "TUCKLINE_RATE_LOG_IN": "1000/minute", **environment})
    clock = Clock()
    wiring = Wiring(settings, clock=clock)
    wiring.__dict__["shop"] = _shop
    upgrade(wiring.store.engine)
    for name, role in PEOPLE.items():
        email = f"{name}@film.example"
        add_person(email=email, name=f"{name.title()} Tester", role=role, password=PASSWORD, store=wiring.store, now=clock())
    return Desk(create_app(settings, wiring=wiring), wiring, clock)


def form_token(page: str) -> str:
    """The hidden token of a page's forms."""
    found = re.search(r'name="form_token" value="([0-9a-f]{64})"', page)
    assert found, page[:2000]
    return found[1]


def revision(page: str) -> str:
    """The hidden revision of a request page's forms."""
    found = re.search(r'name="revision" value="(\d+)"', page)
    assert found
    return found[1]


def log_in(client: FlaskClient, email: str, password: str, **more: str) -> TestResponse:
    """What the log-in form does."""
    token = form_token(client.get("/staff/login").text)
    return client.post("/staff/login", data={"email": email, "password": password, "form_token": token, **more})


def press(client: FlaskClient, page: str, action: str, **fields: str) -> TestResponse:
    """Loads a page and sends one of its forms, as a person would: with its hidden fields."""
    text = client.get(page).text
    hidden = {"form_token": form_token(text)}
    if 'name="revision"' in text:
        hidden["revision"] = revision(text)
    return client.post(action, data={**hidden, **fields})


def later(desk: Desk, **span: float) -> datetime:
    """Moves the clock on."""
    desk.clock.now += timedelta(**span)
    return desk.clock.now


__all__ = ["NOON", "PASSWORD", "PEOPLE", "Desk", "form_token", "later", "log_in", "make_desk", "press", "revision"]

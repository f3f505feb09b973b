"""Whatever is sent to an address, the answer is one of ours: never a crash. Every address of the app is tried, so none is forgotten."""

import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from werkzeug.routing import Rule

from tests.web.desk_app import Desk, form_token, make_desk
from tests.web.hostile import TEXTS, forms_of

TRIES = 4
PAGES = 60
ODD_PLACES = ("nobody", "1", "..", "%00", "é", "a" * 300)
NAMES = (
    "q",
    "state",
    "person",
    "before",
    "page",
    "view",
    "step",
    "lang",
    "body",
    "package",
    "add",
    "length_mm",
    "lamp.tail_lamps",
    "stripes",
    "drop_off",
)
ENDS_SESSIONS = re.compile("log|account|password|people|devices|sessions|reset")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path, TUCKLINE_RATE_ESTIMATES="100000/minute", TUCKLINE_RATE_REQUESTS="100000/hour")


def addresses(desk: Desk) -> Iterator[tuple[Rule, str]]:
    """Every address and method, those that may end the session last."""
    for rule in sorted(desk.app.url_map.iter_rules(), key=lambda rule: (bool(ENDS_SESSIONS.search(rule.rule)), rule.rule)):
        for method in sorted(set(rule.methods or ()) - {"HEAD", "OPTIONS"}):
            yield rule, method


def place(rule: Rule, known: dict[str, str], chance: random.Random | None) -> str:
    """The address with its gaps filled: with what is there, or (`chance`) sometimes with what isn't."""

    def value(gap: re.Match[str]) -> str:
        kind, _, name = gap[1].rpartition(":")
        if chance is not None and chance.random() < 0.4:
            return str(chance.randrange(10**6)) if kind == "int" else chance.choice(ODD_PLACES)
        return "1" if kind == "int" else known.get(name, "1")

    return re.sub("<([^>]+)>", value, rule.rule)


def test_every_address_answers_anything_without_a_crash(desk: Desk) -> None:
    chance, crashes = random.Random(7), []
    reference, token = desk.send()
    known = {"reference": reference, "token": token, "view": "left", "filename": "css/tokens.css"}
    owner = desk.client("ines")
    for rule, method in addresses(desk):
        for attempt in range(TRIES):
            pairs = {name: chance.choice(TEXTS) for name in chance.sample(NAMES, 6)}
            if method != "GET":
                pairs["form_token"] = guard_of(owner)
            payload = {"query_string": pairs} if method == "GET" else {"data": pairs}
            path = place(rule, known, chance if attempt else None)
            with owner.open(path, method=method, **payload) as answer:  # type: ignore[arg-type]
                if answer.status_code >= 500:
                    crashes.append(f"{method} {path}: {answer.status_code}")
            owner = still_in(owner, desk)

    assert crashes == []


@pytest.mark.parametrize("wildness", [0.15, 0.6])
def test_every_form_answers_anything_without_a_crash(desk: Desk, wildness: float) -> None:
    """Walks from page to page as the owner and sends each form it finds, with some of its fields replaced."""
    chance, crashes = random.Random(11), []
    references = [desk.send()[0] for _ in range(2)]
    owner = desk.client("ines")
    waiting = [
        "/staff/inbox",
        "/staff/people",
        "/staff/calendar",
        "/staff/bay",
        "/staff/site",
        *(f"/staff/requests/{each}" for each in references),
    ]
    seen: set[str] = set()
    while waiting and len(seen) < PAGES:
        page = waiting.pop(0)
        seen.add(page)
        text = owner.get(page).text
        for form in forms_of(page, text):
            if "log-out" in form.action or "logout" in form.action:
                continue
            sent = form.filled(chance, wildness)
            payload = {"query_string": sent} if form.method == "get" else {"data": sent}
            with owner.open(form.action, method=form.method.upper(), **payload) as answer:  # type: ignore[arg-type]
                if answer.status_code >= 500:
                    crashes.append(f"{form.method} {form.action} from {page}: {answer.status_code} {sent}")
            owner = still_in(owner, desk)
        found = re.findall(r'href="(/staff/[^"#]+)"', text)
        waiting += [
            each.replace("&amp;", "&") for each in dict.fromkeys(found) if each not in seen and each not in waiting and "log" not in each
        ]

    assert crashes == []
    assert len(seen) > 10


def guard_of(client: FlaskClient) -> str:
    return form_token(client.get("/staff/account").text)


def still_in(client: FlaskClient, desk: Desk) -> FlaskClient:
    """The same client, or a new one when what was sent ended its session."""
    return client if client.get("/staff/account").status_code == 200 else desk.client("ines")

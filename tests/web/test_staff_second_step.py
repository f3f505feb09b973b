"""The second step from nothing to a log-in with it; RFC 6238's own values are tested in tests/services/access/test_passwords.py."""

import base64
import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.services.access.one_time_codes import STEP_SECONDS, hotp, step_of
from tests.web.desk_app import PASSWORD, Desk, form_token, later, log_in, make_desk, press
from tests.web.test_staff_people import id_of

BASE = "/staff/account/second-factor"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def secret_on(page: str) -> bytes:
    """The secret as an authenticator app reads it."""
    found = re.search(r"secret=([A-Z2-7]+)", page)
    assert found, page[:1500]
    return base64.b32decode(found[1] + "=" * (-len(found[1]) % 8))


def set_up(desk: Desk, client: FlaskClient) -> tuple[bytes, list[str]]:
    """Turns it on; the secret and the recovery codes."""
    assert press(client, "/staff/account", BASE, factor_password=PASSWORD).status_code == 303
    secret = secret_on(client.get(BASE).text)
    done = press(client, BASE, f"{BASE}/confirm", code=hotp(secret, step_of(desk.clock.now)))
    assert done.status_code == 200, done.text
    return secret, re.findall(r"<code>([0-9a-f-]+)</code>", done.text)


def second_step(client: FlaskClient, code: str) -> int:
    token = form_token(client.get("/staff/login/code").text)
    return client.post("/staff/login/code", data={"form_token": token, "code": code}).status_code


def test_it_is_set_up_proved_and_then_asked_for(desk: Desk) -> None:
    here, there = desk.client("robin"), desk.client("robin")
    secret, codes = set_up(desk, here)

    assert len(set(codes)) == 8
    assert here.get("/staff/inbox").status_code == 200
    assert there.get("/staff/inbox").status_code == 303, "other sessions end"
    fresh = desk.client()
    assert log_in(fresh, "robin@film.example", PASSWORD).location.startswith("/staff/login/code")
    used = hotp(secret, step_of(desk.clock.now))
    assert second_step(fresh, used) == 403, "the code that turned it on is used up (RFC 6238, 5.2)"
    later(desk, seconds=STEP_SECONDS)
    assert second_step(fresh, hotp(secret, step_of(desk.clock.now))) == 303


def test_a_recovery_code_lets_in_once(desk: Desk) -> None:
    _, codes = set_up(desk, desk.client("robin"))
    first, again = desk.client(), desk.client()
    for client in (first, again):
        log_in(client, "robin@film.example", PASSWORD)

    assert second_step(first, codes[0].upper()) == 303
    assert second_step(again, codes[0]) == 403
    assert "7 recovery codes are left" in first.get("/staff/account").text


def test_neither_begun_nor_changed_without_the_password(desk: Desk) -> None:
    client = desk.client("robin")
    for action in ("", "/codes", "/off"):
        refused = press(client, "/staff/account", f"{BASE}{action}", factor_password="not it at all")
        assert refused.status_code == 422
        assert 'id="factor_password-fault"' in refused.text
    assert client.get(BASE).status_code == 303, "there is nothing to show"


def test_a_wrong_code_turns_nothing_on(desk: Desk) -> None:
    client = desk.client("robin")
    press(client, "/staff/account", BASE, factor_password=PASSWORD)
    refused = press(client, BASE, f"{BASE}/confirm", code="000000")

    assert refused.status_code == 422
    assert log_in(desk.client(), "robin@film.example", PASSWORD).location.endswith("/staff/")


def test_the_secret_is_never_shown_again(desk: Desk) -> None:
    client = desk.client("robin")
    secret, _ = set_up(desk, client)
    press(client, "/staff/account", BASE, factor_password=PASSWORD)

    assert client.get(BASE).status_code == 303
    fresh = desk.client()
    later(desk, seconds=STEP_SECONDS)
    log_in(fresh, "robin@film.example", PASSWORD)
    assert second_step(fresh, hotp(secret, step_of(desk.clock.now))) == 303, "beginning again changed nothing"


def test_new_recovery_codes_replace_the_old(desk: Desk) -> None:
    client = desk.client("robin")
    _, old = set_up(desk, client)
    made = press(client, "/staff/account", f"{BASE}/codes", factor_password=PASSWORD)
    new = re.findall(r"<code>([0-9a-f-]+)</code>", made.text)
    fresh = desk.client()
    log_in(fresh, "robin@film.example", PASSWORD)

    assert second_step(fresh, old[0]) == 403
    assert second_step(fresh, new[0]) == 303


def test_it_is_taken_off_by_oneself_or_by_the_owner(desk: Desk) -> None:
    client, owner = desk.client("robin"), desk.client("ines")
    set_up(desk, client)
    press(client, "/staff/account", f"{BASE}/off", factor_password=PASSWORD)
    assert log_in(desk.client(), "robin@film.example", PASSWORD).location.endswith("/staff/")

    later(desk, seconds=2 * STEP_SECONDS)
    set_up(desk, client)
    page = f"/staff/people/{id_of(desk, 'robin')}"
    press(owner, page, f"{page}/second-factor")
    assert client.get("/staff/inbox").status_code == 303
    assert log_in(desk.client(), "robin@film.example", PASSWORD).location.endswith("/staff/")
    assert "second step off" in owner.get("/staff/people").text


def test_one_session_can_end_another_of_the_same_person_and_no_one_elses(desk: Desk) -> None:
    here, there, ines = desk.client("robin"), desk.client("robin"), desk.client("ines")
    page = here.get("/staff/account").text
    (other,) = re.findall(r"/staff/account/sessions/(\d+)/end", page)
    (hers,) = set(re.findall(r"/staff/account/sessions/(\d+)/end", desk.client("ines").get("/staff/account").text))
    here.post(f"/staff/account/sessions/{hers}/end", data={"form_token": form_token(page)})
    assert ines.get("/staff/inbox").status_code == there.get("/staff/inbox").status_code == 200

    press(here, "/staff/account", f"/staff/account/sessions/{other}/end")
    assert there.get("/staff/inbox").status_code == 303

"""Logging in: who gets in, who doesn't, for how long, and what a forged form does."""

from pathlib import Path

import pytest

from tests.web.desk_app import PASSWORD, Desk, form_token, later, log_in, make_desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def test_the_right_password_opens_the_first_page_of_the_role(desk: Desk) -> None:
    advisor, installer = desk.client("robin"), desk.client("tomas")

    assert advisor.get("/staff/").location.endswith("/staff/inbox")
    assert not installer.get("/staff/").location.endswith("/staff/inbox")


@pytest.mark.parametrize(
    ("email", "password"),
    [("robin@film.example", "wrong password here"), ("nobody@film.example", PASSWORD), ("", ""), ("robin@film.example", PASSWORD + "\x00")],
)
def test_wrong_ones_are_told_the_same(desk: Desk, email: str, password: str) -> None:
    """OWASP ASVS 5.0 6.3.8: nobody learns which addresses exist."""
    client = desk.client()
    refused = log_in(client, email, password)
    other = log_in(client, "robin@film.example", "wrong password here")

    assert refused.status_code == other.status_code == 403
    assert "That did not work." in refused.text
    assert "That did not work." in other.text
    assert client.get("/staff/inbox").status_code == 303


def test_five_wrong_tries_lock_for_a_minute_and_then_longer(desk: Desk) -> None:
    client = desk.client()
    for _ in range(5):
        log_in(client, "robin@film.example", "wrong password here")
    assert log_in(client, "robin@film.example", PASSWORD).status_code == 403

    later(desk, seconds=61)
    assert log_in(client, "robin@film.example", "wrong password here").status_code == 403
    later(desk, seconds=61)
    assert log_in(client, "robin@film.example", PASSWORD).status_code == 403, "the second lock lasts two minutes"
    later(desk, seconds=61)
    assert log_in(client, "robin@film.example", PASSWORD).status_code == 303


def test_somebody_elses_wrong_tries_lock_nobody_else(desk: Desk) -> None:
    client = desk.client()
    for _ in range(6):
        log_in(client, "robin@film.example", "wrong password here")

    assert log_in(client, "ines@film.example", PASSWORD).status_code == 303


def test_tries_are_limited_per_address(tmp_path: Path) -> None:
    desk = make_desk(tmp_path, TUCKLINE_RATE_LOG_IN="3/minute")
    client = desk.client()
    answers = [log_in(client, f"nobody{number}@film.example", "wrong").status_code for number in range(5)]

    assert answers == [403, 403, 403, 429, 429]


def test_a_session_ends_when_it_lies_idle_and_at_its_last_hour(desk: Desk) -> None:
    client = desk.client("robin")
    for _ in range(5):
        later(desk, minutes=110)
        assert client.get("/staff/inbox").status_code == 200
    later(desk, minutes=121)
    assert client.get("/staff/inbox").status_code == 303

    client = desk.client("robin")
    for _ in range(12):
        later(desk, minutes=59)
        assert client.get("/staff/inbox").status_code == 200
    later(desk, minutes=15)
    assert client.get("/staff/inbox").status_code == 303, "after twelve hours, however busy"


def test_logging_out_ends_the_session_on_the_server_too(desk: Desk) -> None:
    client = desk.client("robin")
    cookie = client.get_cookie("tuckline_staff", path="/staff")
    assert cookie is not None
    client.post("/staff/logout", data={"form_token": form_token(client.get("/staff/inbox").text)})

    thief = desk.client()
    thief.set_cookie("tuckline_staff", cookie.value, path="/staff")
    assert thief.get("/staff/inbox").status_code == 303


def test_the_cookie_is_for_the_staff_pages_alone_and_out_of_reach_of_scripts(desk: Desk) -> None:
    """OWASP ASVS 5.0 3.3.1-3.3.4."""
    answer = log_in(desk.client(), "robin@film.example", PASSWORD)
    cookie = next(value for name, value in answer.headers if name == "Set-Cookie")

    assert all(part in cookie for part in ("HttpOnly", "SameSite=Lax", "Path=/staff"))


def test_behind_https_the_cookie_is_secure(tmp_path: Path) -> None:
    desk = make_desk(tmp_path, TUCKLINE_PUBLIC_URL="https://film.example")
    client = desk.app.test_client()
    answer = client.get("/staff/login", base_url="https://film.example")

    assert "Secure" in next(value for name, value in answer.headers if name == "Set-Cookie")


@pytest.mark.parametrize(
    "headers",
    [{"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "https://evil.example"}, {"Origin": "null"}],
)
def test_a_form_from_elsewhere_does_nothing(desk: Desk, headers: dict[str, str]) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")
    token = form_token(client.get("/staff/inbox").text)
    refused = client.post(f"/staff/requests/{reference}/note", data={"form_token": token, "note": "forged"}, headers=headers)

    assert refused.status_code == 403
    assert "forged" not in client.get(f"/staff/requests/{reference}").text


@pytest.mark.parametrize("token", ["", "0" * 64, "\x00", "ü"])
def test_a_form_without_its_token_does_nothing(desk: Desk, token: str) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")
    refused = client.post(f"/staff/requests/{reference}/note", data={"form_token": token, "note": "forged"})

    assert refused.status_code == 403


def test_another_persons_token_does_not_fit(desk: Desk) -> None:
    reference, _ = desk.send()
    token = form_token(desk.client("ines").get("/staff/inbox").text)

    assert desk.client("robin").post(f"/staff/requests/{reference}/note", data={"form_token": token, "note": "x"}).status_code == 403


ELSEWHERE = ["https://evil.example/", "//evil.example/staff/", "/staff//evil.example", "/staff/\\evil", "javascript:x"]


@pytest.mark.parametrize("target", ELSEWHERE)
def test_logging_in_leads_nowhere_else(desk: Desk, target: str) -> None:
    answer = log_in(desk.client(), "robin@film.example", PASSWORD, next=target)

    assert answer.location.endswith("/staff/")


def test_logging_in_leads_back_to_the_wanted_page(desk: Desk) -> None:
    client = desk.client()
    asked = client.get("/staff/mail?state=failed")
    assert "next=" in asked.location
    answer = log_in(client, "robin@film.example", PASSWORD, next="/staff/mail?state=failed")

    assert answer.location.endswith("/staff/mail?state=failed")


def test_a_new_password_ends_the_other_sessions_and_keeps_this_one(desk: Desk) -> None:
    here, there = desk.client("robin"), desk.client("robin")
    token = form_token(here.get("/staff/account").text)
    wrong = here.post("/staff/account/password", data={"form_token": token, "current": "not it at all", "password": "another good phrase"})
    short = here.post("/staff/account/password", data={"form_token": token, "current": PASSWORD, "password": "short"})
    changed = here.post("/staff/account/password", data={"form_token": token, "current": PASSWORD, "password": "another good phrase"})

    assert (wrong.status_code, short.status_code, changed.status_code) == (422, 422, 303)
    assert here.get("/staff/inbox").status_code == 200
    assert there.get("/staff/inbox").status_code == 303
    assert log_in(desk.client(), "robin@film.example", PASSWORD).status_code == 403
    assert log_in(desk.client(), "robin@film.example", "another good phrase").status_code == 303


def test_staff_pages_are_never_framed_nor_cached(desk: Desk) -> None:
    answer = desk.client("robin").get("/staff/inbox")

    assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["Cache-Control"] == "no-store"

"""A forgotten password: one answer for everybody, a link that works once and not for long, and what it never opens."""

from datetime import timedelta
from pathlib import Path

import pytest

from configurator.services.access.account_links import AccountLink
from configurator.services.access.one_time_codes import hotp, secret_for, step_of
from tests.web.desk_app import PASSWORD, Desk, form_token, later, log_in, make_desk
from tests.web.test_staff_people import choose_password, id_of, mailed_link

NEW = "another good phrase"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def ask(desk: Desk, email: str) -> tuple[int, str]:
    """What the form answers, without its own token."""
    client = desk.client()
    token = form_token(client.get("/staff/reset").text)
    answer = client.post("/staff/reset", data={"form_token": token, "email": email})
    return answer.status_code, answer.text


def mails(desk: Desk) -> int:
    with desk.wiring.store.reading() as work:
        return sum(mail.kind == "password_reset" for mail in work.mails.latest(limit=50))


def test_the_answer_is_the_same_whether_anybody_has_the_address(desk: Desk) -> None:
    """OWASP ASVS 5.0, 6.3.8."""
    known, unknown = ask(desk, " Robin@Film.example "), ask(desk, "nobody@film.example")

    assert known == unknown
    assert known[0] == 200
    assert mails(desk) == 1


@pytest.mark.parametrize("email", ["", "\x00", "ü" * 400, "'; --"])
def test_strange_addresses_get_it_too(desk: Desk, email: str) -> None:
    assert ask(desk, email) == ask(desk, "nobody@film.example")


def test_the_link_sets_a_password_once_and_ends_every_session(desk: Desk) -> None:
    robin, stranger = desk.client("robin"), desk.client()
    ask(desk, "robin@film.example")
    link = mailed_link(desk, "password_reset")

    assert stranger.get(link).status_code == 200
    assert stranger.get(link).status_code == 200, "looking uses nothing up: mail programs look first"
    assert choose_password(stranger, link, NEW) == 303
    assert choose_password(stranger, link, NEW + " again") == 410
    assert robin.get("/staff/inbox").status_code == 303
    assert log_in(desk.client(), "robin@film.example", PASSWORD).status_code == 403
    assert log_in(desk.client(), "robin@film.example", NEW).status_code == 303


def test_it_lasts_an_hour_and_a_newer_one_replaces_it(desk: Desk) -> None:
    ask(desk, "robin@film.example")
    first = mailed_link(desk, "password_reset")
    later(desk, minutes=59)
    assert desk.client().get(first).status_code == 200
    later(desk, minutes=1)
    assert desk.client().get(first).status_code == 410

    ask(desk, "robin@film.example")
    second = mailed_link(desk, "password_reset")
    assert desk.client().get(second).status_code == 200
    ask(desk, "robin@film.example")
    assert desk.client().get(second).status_code == 410


def test_changing_the_password_elsewhere_closes_the_link(desk: Desk) -> None:
    robin = desk.client("robin")
    ask(desk, "robin@film.example")
    link = mailed_link(desk, "password_reset")
    token = form_token(robin.get("/staff/account").text)
    robin.post("/staff/account/password", data={"form_token": token, "current": PASSWORD, "password": NEW})

    assert desk.client().get(link).status_code == 410


def test_it_opens_the_lock_but_not_the_second_step(desk: Desk) -> None:
    user_id = id_of(desk, "robin")
    with desk.wiring.store.writing() as work:
        work.users.set(user_id, totp_nonce="nonce", totp_on_since=desk.clock.now, locked_until=desk.clock.now + timedelta(minutes=9))
    ask(desk, "robin@film.example")
    client = desk.client()
    choose_password(client, mailed_link(desk, "password_reset"), NEW)
    answer = log_in(client, "robin@film.example", NEW)

    assert "/staff/login/code" in answer.location
    assert client.get("/staff/inbox").status_code == 303
    code = hotp(secret_for(desk.wiring.links, "nonce"), step_of(desk.clock.now))
    token = form_token(client.get("/staff/login/code").text)
    assert client.post("/staff/login/code", data={"form_token": token, "code": code}).status_code == 303
    assert client.get("/staff/inbox").status_code == 200


def test_nobody_can_make_or_stretch_a_link(desk: Desk) -> None:
    ask(desk, "robin@film.example")
    good = mailed_link(desk, "password_reset")
    head, _, token = good.rpartition("/")
    user_id, expires, mac = token.split("-", 2)
    with desk.wiring.store.reading() as work:
        credentials = work.users.credentials("ines@film.example")
    assert credentials is not None
    guessed = AccountLink(credentials.user.id, desk.clock.now + timedelta(hours=1)).token("", desk.wiring.links)
    forged = [
        f"{user_id}-{int(expires) + 86400}-{mac}", f"{credentials.user.id}-{expires}-{mac}", guessed, token[:-1], token + "A", "x", "1-2",
        "1-99999999999-x", "²-1-x", f"{user_id}-{expires}-ü", "0" * 300,
    ]  # fmt: skip

    assert {desk.client().get(f"{head}/{one}").status_code for one in forged} == {410}
    assert desk.client().get(good).status_code == 200


def test_whoever_is_shut_out_gets_no_mail_and_their_link_opens_nothing(desk: Desk) -> None:
    ask(desk, "robin@film.example")
    link = mailed_link(desk, "password_reset")
    with desk.wiring.store.writing() as work:
        work.users.set(id_of(desk, "robin"), is_active=False)

    assert desk.client().get(link).status_code == 410
    assert ask(desk, "robin@film.example")[0] == 200
    assert mails(desk) == 1


def test_one_mailbox_is_not_filled(desk: Desk) -> None:
    answers = [ask(desk, "robin@film.example")[0] for _ in range(7)]

    assert answers == [200] * 5 + [429] * 2
    assert ask(desk, "ines@film.example")[0] == 200, "others are not held up"

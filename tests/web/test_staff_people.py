"""The owner's people: invited by a link, given a role, shut out; and that somebody always stays the owner."""

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.services.mail.sending import ready
from tests.web.desk_app import PASSWORD, Desk, form_token, later, log_in, make_desk, press


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def id_of(desk: Desk, name: str) -> int:
    with desk.wiring.store.reading() as work:
        return next(one.id for one in work.users.all() if one.name.casefold().startswith(name))


def mailed_link(desk: Desk, kind: str) -> str:
    """The path of the link in the newest mail of this kind, as its reader gets it."""
    with desk.wiring.store.reading() as work:
        mail = next(mail for mail in work.mails.latest(limit=50) if mail.kind == kind)
    found = re.search(r"/staff/password/\S+", ready(mail, desk.wiring.post_room).text)
    assert found, mail.letter.text
    return found[0]


def choose_password(client: FlaskClient, link: str, password: str) -> int:
    page = client.get(link)
    if page.status_code != 200:
        return page.status_code
    return client.post(link, data={"form_token": form_token(page.text), "password": password}).status_code


def invite(desk: Desk, owner: FlaskClient, **fields: str) -> str:
    """Invites Wen; the link in the mail."""
    values = {"name": "Wen Adair", "email": "Wen@Film.example", "role": "installer", **fields}
    answer = press(owner, "/staff/people", "/staff/people", **values)
    assert answer.status_code == 303, answer.text
    return mailed_link(desk, "staff_invitation")


def test_an_invited_person_chooses_a_password_once_and_gets_in(desk: Desk) -> None:
    owner, wen = desk.client("ines"), desk.client()
    link = invite(desk, owner)

    assert choose_password(wen, link, "short") == 422
    assert choose_password(wen, link, "another good phrase") == 303
    assert "Your password is set." in wen.get("/staff/login").text
    assert choose_password(wen, link, "and one more phrase") == 410, "the link works once"
    assert log_in(wen, "wen@film.example", "another good phrase").status_code == 303
    assert "added Wen Adair (Installer)" in owner.get("/staff/people").text


def test_no_password_and_no_link_stands_in_the_database_or_on_the_mail_page(desk: Desk) -> None:
    owner = desk.client("ines")
    token = invite(desk, owner).rpartition("/")[2]
    with desk.wiring.store.reading() as work:
        mail = work.mails.latest(limit=1)[0]
    raw = (Path(desk.wiring.settings.data_dir) / "shop.db").read_bytes()
    advisor = desk.client("robin").get(f"/staff/mail/{mail.id}").text

    assert token.encode() not in raw
    assert "/staff/password/" not in advisor, "an advisor may read mails, but not open somebody's account"
    assert "This link stands in the mail alone." in advisor


def test_an_invitation_runs_out_and_a_newer_one_replaces_it(desk: Desk) -> None:
    owner, wen = desk.client("ines"), desk.client()
    first = invite(desk, owner)
    page = f"/staff/people/{id_of(desk, 'wen')}"
    press(owner, page, f"{page}/invite")
    second = mailed_link(desk, "staff_invitation")

    assert wen.get(first).status_code == 410
    assert wen.get(second).status_code == 200
    later(desk, days=7)
    assert wen.get(second).status_code == 410


def test_the_owner_can_hand_the_link_over_until_it_is_used(desk: Desk) -> None:
    owner, wen = desk.client("ines"), desk.client()
    invite(desk, owner)
    page = f"/staff/people/{id_of(desk, 'wen')}"
    found = re.search(r"/staff/password/[\w-]+", owner.get(page).text)
    assert found

    assert choose_password(wen, found[0], "another good phrase") == 303
    assert "/staff/password/" not in owner.get(page).text
    assert press(owner, page, f"{page}/invite").status_code == 404


@pytest.mark.parametrize(
    ("field", "value"), [("email", "robin@FILM.example"), ("email", "nobody"), ("name", " "), ("role", "visitor"), ("role", "king")]
)
def test_what_can_not_be_is_said_beside_its_field(desk: Desk, field: str, value: str) -> None:
    owner = desk.client("ines")
    fields = {"name": "Wen Adair", "email": "wen@film.example", "role": "installer", field: value}
    refused = press(owner, "/staff/people", "/staff/people", **fields)

    assert refused.status_code == 422
    assert f'id="{field}-fault"' in refused.text


def test_another_role_counts_from_the_next_page_on(desk: Desk) -> None:
    owner, tomas = desk.client("ines"), desk.client("tomas")
    page = f"/staff/people/{id_of(desk, 'tomas')}"
    assert tomas.get("/staff/inbox").status_code == 403
    press(owner, page, f"{page}/role", role="advisor")

    assert tomas.get("/staff/inbox").status_code == 200
    assert "gave Tomas Tester the role Advisor" in owner.get("/staff/people").text


def test_whoever_is_shut_out_is_out_at_once_and_everywhere(desk: Desk) -> None:
    owner, robin = desk.client("ines"), desk.client("robin")
    desk.client().post("/staff/reset")
    page = f"/staff/people/{id_of(desk, 'robin')}"
    press(owner, page, f"{page}/shut-out")

    assert robin.get("/staff/inbox").status_code == 303
    assert log_in(desk.client(), "robin@film.example", PASSWORD).status_code == 403
    press(owner, page, f"{page}/let-back")
    assert robin.get("/staff/inbox").status_code == 303, "the old session stays over"
    assert log_in(desk.client(), "robin@film.example", PASSWORD).status_code == 303


def test_logging_somebody_out_everywhere_leaves_their_password(desk: Desk) -> None:
    owner, robin = desk.client("ines"), desk.client("robin")
    page = f"/staff/people/{id_of(desk, 'robin')}"
    press(owner, page, f"{page}/log-out")

    assert robin.get("/staff/inbox").status_code == 303
    assert log_in(robin, "robin@film.example", PASSWORD).status_code == 303


@pytest.mark.parametrize(("action", "field"), [("shut-out", "is_active"), ("role", "role")])
def test_the_last_owner_stays(desk: Desk, action: str, field: str) -> None:
    owner = desk.client("ines")
    page = f"/staff/people/{id_of(desk, 'ines')}"
    refused = press(owner, page, f"{page}/{action}", role="advisor")

    assert refused.status_code == 422
    assert f'id="{field}-fault"' in refused.text
    assert owner.get("/staff/people").status_code == 200
    robins = f"/staff/people/{id_of(desk, 'robin')}"
    press(owner, robins, f"{robins}/role", role="owner")
    assert press(owner, page, f"{page}/{action}", role="advisor").status_code == 303, "with a second owner it may be"


@pytest.mark.parametrize("user_id", ["999999", "0", "99999999999999999999"])
def test_nobody_has_no_page(desk: Desk, user_id: str) -> None:
    assert desk.client("ines").get(f"/staff/people/{user_id}").status_code == 404

"""The mail folder: what failed and why stands there, and another try is one button."""

from pathlib import Path

import pytest

from configurator.services.mail.mailer import NotSent, ReadyMail
from configurator.services.mail.sending import WAITS, PostRoom, send_due
from tests.web.desk_app import Desk, later, make_desk, press


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


class Refusing:
    """A mail server that says no."""

    def __init__(self, what: str, *, for_good: bool) -> None:
        self.what, self.for_good = what, for_good
        self.tries = 0

    def send(self, mail: ReadyMail) -> None:
        self.tries += 1
        raise NotSent(self.what, for_good=self.for_good)


def send_through(desk: Desk, mailer: Refusing) -> None:
    room = desk.wiring.post_room
    send_due(PostRoom(room.store, room.clock, mailer, room.links, room.origin, room.sender, room.sender_name))


def test_what_failed_is_counted_told_and_tried_again(desk: Desk) -> None:
    desk.send()
    send_through(desk, Refusing("550 no such person", for_good=True))
    client = desk.client("robin")
    listed = client.get("/staff/mail?state=failed").text

    assert "not sent</span></span>" in client.get("/staff/inbox").text, "the rail says so on every page"
    assert "mara@ellison.example" in listed
    with desk.wiring.store.reading() as work:
        mail = next(mail for mail in work.mails.latest(limit=9) if mail.kind == "request_received")
    page = client.get(f"/staff/mail/{mail.id}").text
    assert "550 no such person" in page
    assert "Try again now" in page
    assert press(client, f"/staff/mail/{mail.id}", f"/staff/mail/{mail.id}/again").status_code == 303
    send_due(desk.wiring.post_room)
    with desk.wiring.store.reading() as work:
        assert work.mails.by_id(mail.id).state == "sent"  # type: ignore[union-attr]
    assert "Try again now" not in client.get(f"/staff/mail/{mail.id}").text
    assert press(client, "/staff/mail", f"/staff/mail/{mail.id}/again").status_code in {403, 404}, "what was sent is not sent again"


def test_what_waits_says_when_it_is_tried_next(desk: Desk) -> None:
    desk.send()
    refusing = Refusing("451 try later", for_good=False)
    send_through(desk, refusing)
    client = desk.client("robin")

    assert "next try" in client.get("/staff/mail").text
    before = refusing.tries
    send_through(desk, refusing)
    assert refusing.tries == before, "not before its time"
    later(desk, seconds=WAITS[0].total_seconds())
    send_through(desk, refusing)
    assert refusing.tries == 2 * before


@pytest.mark.parametrize("address", ["/staff/mail/999999", "/staff/mail/99999999999999999999", "/staff/mail/0"])
def test_a_mail_that_is_not_there(desk: Desk, address: str) -> None:
    assert desk.client("robin").get(address).status_code == 404

"""The outbox against a real SMTP server: sent once, tried again with back-off, given up, never lost."""

import email
import email.policy
import socket
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from configurator.domain.desk import LINK, Letter, NewMail
from configurator.services.links import Links
from configurator.services.mail.mailer import FolderMailer, SmtpMailer, to_message
from configurator.services.mail.sending import LEASE, WAITS, PostRoom, ready, send_due
from configurator.storage.store import SqlStore
from tests.desk_builders import a_new_request
from tests.services.conftest import Clock


class Postman:
    """Keeps what arrives; answers as told."""

    def __init__(self) -> None:
        self.arrived: list[Envelope] = []
        self.reply = "250 thank you"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:
        if self.reply.startswith("250"):
            self.arrived.append(envelope)
        return self.reply


@pytest.fixture
def postman() -> Iterator[tuple[Postman, str]]:
    handler = Postman()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    controller = Controller(handler, hostname="127.0.0.1", port=port)
    controller.start()
    yield handler, f"smtp://127.0.0.1:{port}"
    controller.stop()


def a_room(store: SqlStore, clock: Clock, url: str) -> PostRoom:
    return PostRoom(store, clock, SmtpMailer(url), Links("s" * 40), "https://film.example", "desk@film.example", "Pellwick Film Bay")


def put_in(store: SqlStore, clock: Clock, **changes: object) -> None:
    values: dict[str, object] = {
        "kind": "request_received",
        "recipient": "mara@ellison.example",
        "letter": Letter("Your request — grün", f"Hello Mara,\n\n{LINK}\n"),
        "locale": "en_US",
    }
    with store.writing() as work:
        request = work.requests.add(a_new_request())
        work.mails.add(NewMail(**{**values, "request_id": request.id, **changes}), clock())  # type: ignore[arg-type]


def states(store: SqlStore) -> dict[str, int]:
    with store.reading() as work:
        return work.mails.counts()


def test_a_mail_arrives_with_its_link_and_is_sent_once(store: SqlStore, clock: Clock, postman: tuple[Postman, str]) -> None:
    handler, url = postman
    put_in(store, clock)
    room = a_room(store, clock, url)

    assert send_due(room) == 1
    assert send_due(room) == 0

    (envelope,) = handler.arrived
    message = email.message_from_bytes(envelope.content, policy=email.policy.default)  # type: ignore[arg-type]
    text = message.get_body(("plain",)).get_content()  # type: ignore[union-attr]
    assert envelope.rcpt_tos == ["mara@ellison.example"]
    assert str(message["Subject"]) == "Your request — grün"
    assert message["Auto-Submitted"] == "auto-generated"
    assert "https://film.example/r/" in text
    assert LINK not in text
    assert states(store) == {"sent": 1}


def test_a_server_that_is_away_is_tried_again_later_and_later(store: SqlStore, clock: Clock) -> None:
    with socket.socket() as nobody:
        nobody.bind(("127.0.0.1", 0))
        url = f"smtp://127.0.0.1:{nobody.getsockname()[1]}"
    put_in(store, clock)
    room = a_room(store, clock, url)
    tried = []
    for wait in (timedelta(0), *WAITS):
        clock.now += wait
        tried.append(send_due(room))
        assert send_due(room) == 0, "not again before its time"

    assert tried == [1] * (len(WAITS) + 1)
    assert states(store) == {"failed": 1}


def test_not_now_is_tried_again_and_never_is_given_up(store: SqlStore, clock: Clock, postman: tuple[Postman, str]) -> None:
    """RFC 5321 section 4.2.1: 4yz replies are transient, 5yz permanent."""
    handler, url = postman
    put_in(store, clock)
    room = a_room(store, clock, url)
    handler.reply = "451 try later"
    send_due(room)
    assert states(store) == {"waiting": 1}

    clock.now += WAITS[0]
    handler.reply = "554 never"
    send_due(room)
    assert states(store) == {"failed": 1}
    with store.reading() as work:
        (mail,) = work.mails.latest(limit=1)
    assert mail.last_error.startswith("554")

    handler.reply = "250 fine"
    with store.writing() as work:
        assert work.mails.try_again(mail.id, clock())
    send_due(room)
    assert states(store) == {"sent": 1}
    assert len(handler.arrived) == 1


def test_two_workers_never_send_the_same_mail(store: SqlStore, clock: Clock, postman: tuple[Postman, str]) -> None:
    _, url = postman
    put_in(store, clock)
    with store.writing() as work:
        assert len(work.mails.take_due(clock(), lease=LEASE, limit=5)) == 1

    assert send_due(a_room(store, clock, url)) == 0


def test_a_mail_whose_worker_died_is_taken_up_again(store: SqlStore, clock: Clock, postman: tuple[Postman, str]) -> None:
    handler, url = postman
    put_in(store, clock)
    with store.writing() as work:
        work.mails.take_due(clock(), lease=LEASE, limit=5)
    clock.now += LEASE

    assert send_due(a_room(store, clock, url)) == 1
    assert len(handler.arrived) == 1


def test_without_a_server_mail_goes_into_a_folder(store: SqlStore, clock: Clock, tmp_path: Path) -> None:
    put_in(store, clock)
    room = PostRoom(store, clock, FolderMailer(tmp_path / "mail"), Links("s" * 40), "http://127.0.0.1:8000", "desk@film.example", "Bay")

    send_due(room)

    (file,) = (tmp_path / "mail").glob("*.eml")
    message = email.message_from_bytes(file.read_bytes(), policy=email.policy.default)
    assert "http://127.0.0.1:8000/r/" in message.get_content()
    assert (tmp_path / "mail").stat().st_mode & 0o077 == 0


def test_a_calendar_goes_along_as_an_invitation(store: SqlStore, clock: Clock) -> None:
    put_in(store, clock, calendar="BEGIN:VCALENDAR\r\nMETHOD:REQUEST\r\nEND:VCALENDAR\r\n")
    room = a_room(store, clock, "smtp://127.0.0.1:1")
    with store.reading() as work:
        (mail,) = work.mails.latest(limit=1)

    (part,) = to_message(ready(mail, room)).iter_attachments()

    assert part.get_content_type() == "text/calendar"
    assert part.get_param("method") == "REQUEST"


def test_the_worker_gives_a_sign_of_life(store: SqlStore, clock: Clock) -> None:
    send_due(a_room(store, clock, "smtp://127.0.0.1:1"))

    with store.reading() as work:
        assert work.mails.last_beat() == clock.now

"""Empties the outbox: claims what is due, sends it, and tries again later what didn't go."""

import logging
from dataclasses import dataclass
from datetime import timedelta

from configurator.domain.desk import LINK, STAFF_LINK, OutgoingMail
from configurator.services.access.account_links import ACCOUNT_LINK, token_of
from configurator.services.links import Links
from configurator.services.mail.mailer import Mailer, NotSent, ReadyMail
from configurator.services.ports import Clock, Store

log = logging.getLogger("tuckline.outbox")

BATCH = 20
LEASE = timedelta(minutes=10)
"""How long a worker may hold a claimed mail: longer than every step of talking to a mail server can time out one after the other."""
WAITS = tuple(timedelta(minutes=minutes) for minutes in (1, 5, 15, 60, 180, 360, 720, 1440))
"""Back-off after each failed try; when it is used up (about two days), the mail is given up and the staff page says so."""


@dataclass(frozen=True)
class PostRoom:
    """What sending works with. `origin` is where links in mails lead."""

    store: Store
    clock: Clock
    mailer: Mailer
    links: Links
    origin: str
    sender: str
    sender_name: str


def send_due(room: PostRoom) -> int:
    """Sends what is due now, at most a batch; the number of mails tried. Gives a sign of life even when there is none."""
    with room.store.writing() as work:
        work.mails.beat(room.clock())
    tried = 0
    while tried < BATCH and (mail := _next(room)) is not None:
        _send(mail, room)
        tried += 1
    return tried


def ready(mail: OutgoingMail, room: PostRoom) -> ReadyMail:
    """The mail with its links filled in."""
    return ReadyMail(
        sender=room.sender,
        sender_name=room.sender_name,
        recipient=mail.recipient,
        subject=mail.letter.subject,
        text=_with_links(mail, room),
        calendar=mail.calendar,
        message_id=mail.message_id,
        language=mail.locale,
        made_at=mail.created_at,
    )


def _next(room: PostRoom) -> OutgoingMail | None:
    """One mail at a time: a server that answers slowly can't make the lease of a later one run out before it is sent."""
    with room.store.writing() as work:
        return next(iter(work.mails.take_due(room.clock(), lease=LEASE, limit=1)), None)


def _with_links(mail: OutgoingMail, room: PostRoom) -> str:
    text = mail.letter.text
    token = token_of(mail, room.links)
    text = text.replace(ACCOUNT_LINK, f"{room.origin}/staff/password/{token}" if token else f"{room.origin}/staff/reset")
    if mail.link_nonce is not None:
        text = text.replace(LINK, f"{room.origin}/r/{room.links.private_token(mail.link_nonce)}")
    return text.replace(STAFF_LINK, f"{room.origin}/staff/requests/{mail.reference}" if mail.reference else f"{room.origin}/staff/")


def _send(mail: OutgoingMail, room: PostRoom) -> None:
    try:
        room.mailer.send(ready(mail, room))
    except NotSent as failure:
        _failed(mail, room, str(failure), for_good=failure.for_good)
    except Exception as failure:  # a mail that nobody can write must not keep the others waiting behind it
        log.exception("mail %s can't be made", mail.id)
        _failed(mail, room, type(failure).__name__, for_good=False)
    else:
        with room.store.writing() as work:
            work.mails.mark_sent(mail.id, room.clock())


def _failed(mail: OutgoingMail, room: PostRoom, error: str, *, for_good: bool) -> None:
    # The id only: who it was for is personal and stays out of the log.
    log.warning("mail %s was not sent, try %s", mail.id, mail.tries)
    give_up = for_good or mail.tries > len(WAITS)
    due_at = None if give_up else room.clock() + WAITS[mail.tries - 1]
    with room.store.writing() as work:
        work.mails.mark_failed(mail.id, error=error, due_at=due_at)

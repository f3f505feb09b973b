"""Empties the outbox: claims what is due, sends it, and tries again later what didn't go."""

import logging
from dataclasses import dataclass
from datetime import timedelta

from configurator.domain.desk import LINK, STAFF_LINK, OutgoingMail
from configurator.services.links import Links
from configurator.services.mailer import Mailer, NotSent, ReadyMail
from configurator.services.ports import Clock, Store

log = logging.getLogger("tuckline.outbox")

BATCH = 20
LEASE = timedelta(minutes=10)
"""How long a worker may hold a claimed mail: longer than a whole batch can take to time out one after the other."""
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
        claimed = work.mails.take_due(room.clock(), lease=LEASE, limit=BATCH)
    for mail in claimed:
        _send(mail, room)
    return len(claimed)


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


def _with_links(mail: OutgoingMail, room: PostRoom) -> str:
    text = mail.letter.text
    if mail.link_nonce is not None:
        text = text.replace(LINK, f"{room.origin}/r/{room.links.private_token(mail.link_nonce)}")
    return text.replace(STAFF_LINK, f"{room.origin}/staff/requests/{mail.reference}" if mail.reference else f"{room.origin}/staff/")


def _send(mail: OutgoingMail, room: PostRoom) -> None:
    try:
        room.mailer.send(ready(mail, room))
    except NotSent as failure:
        # The id only: who it was for is personal and stays out of the log.
        log.warning("mail %s was not sent, try %s", mail.id, mail.tries)
        give_up = failure.for_good or mail.tries > len(WAITS)
        due_at = None if give_up else room.clock() + WAITS[mail.tries - 1]
        with room.store.writing() as work:
            work.mails.mark_failed(mail.id, error=str(failure), due_at=due_at)
    else:
        with room.store.writing() as work:
            work.mails.mark_sent(mail.id, room.clock())

"""Takes one person out of everything that is kept. That something happened stays, who it happened to does not."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from configurator.domain.data_rights import BUSY, TAKEN_BACK_FIRST, HeldRequest, Holding, Remains
from configurator.domain.desk import VISITOR, Event, Person
from configurator.domain.review import State, check_move
from configurator.errors import TucklineError
from configurator.services.pictures import photos
from configurator.services.pictures.photos import Album
from configurator.services.ports import Clock, Store, Work

log = logging.getLogger("tuckline.erasing")


@dataclass(frozen=True)
class Records:
    """What erasing and exporting work with. `mail_folder` holds copies of mail where no mail server is set.

    `forget` empties what a database keeps beside itself of rows that were overwritten.
    """

    store: Store
    clock: Clock
    album: Album
    mail_folder: Path
    forget: Callable[[], None]


class StillNeeded(TucklineError):
    """Some of the person's requests must come to an end first; nothing was erased."""

    code = "still_needed"

    def __init__(self, requests: tuple[HeldRequest, ...]) -> None:
        self.requests = requests
        super().__init__(", ".join(request.reference for request in requests))


@dataclass(frozen=True)
class Erasure:
    """What was erased; all zero when nothing was kept under the address (any more)."""

    customers: int
    requests: int
    photos: int


def erase(email: str, by: Person, records: Records) -> Erasure:
    """Erases everything about the person with this e-mail address. Raises StillNeeded. Doing it again does nothing."""
    with records.store.writing() as work:
        holding = work.data_rights.held(email)
        if holding.is_empty:
            return Erasure(0, 0, 0)
        if holding.busy:
            raise StillNeeded(holding.busy)
        remains = erase_holding(holding, by, records, work)
    remove_remains(remains, records)
    return Erasure(len(holding.customers), len(holding.requests), len(remains.photos))


def erase_holding(holding: Holding, by: Person, records: Records, work: Work) -> Remains:
    """The part inside a transaction: open requests are withdrawn on the person's behalf, then everything is emptied and noted."""
    now = records.clock()
    assert not any(request.state in BUSY for request in holding.requests), "looked at before"
    for held in holding.requests:
        if held.state in TAKEN_BACK_FIRST:
            _withdraw(held, records, work)
    remains = work.data_rights.erase(holding, now)
    for held in holding.requests:
        work.requests.record(held.id, Event(at=now, by=by, kind="erased"))
    facts = {"customers": len(holding.customers), "requests": len(holding.requests), "photos": len(remains.photos)}
    work.requests.record(None, Event(at=now, by=by, kind="person_erased", facts=facts))
    return remains


def remove_remains(remains: Remains, records: Records) -> None:
    """The part after it: files, and what the database keeps beside itself. What fails is swept later, or said in the log."""
    for name in remains.photos:
        photos.remove_files(name, records.album)
    for message_id in remains.mails:
        try:
            (records.mail_folder / f"{message_id}.eml").unlink(missing_ok=True)
        except OSError:
            log.warning("a mail's copy could not be removed: %s", message_id)
    records.forget()


def _withdraw(held: HeldRequest, records: Records, work: Work) -> None:
    request = work.requests.by_reference(held.reference)
    assert request is not None, "it is locked by this transaction"
    check_move(request.state, State.WITHDRAWN, VISITOR.actor)
    event = Event(at=records.clock(), by=VISITOR, kind="moved", source=request.state, target=State.WITHDRAWN)
    work.requests.move(request, State.WITHDRAWN, event)

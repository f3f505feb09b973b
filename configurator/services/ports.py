"""What the services need from outside: a store, words for letters, a clock. Storage and wiring fit themselves to these."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Protocol

from configurator.domain.desk import Event, Letter, NewMail, NewRequest, Request
from configurator.domain.message import Fact
from configurator.errors import TucklineError

Clock = Callable[[], datetime]


class AlreadyThere(TucklineError):
    """A value that must be the only one of its kind is there already; `what` names it (`reference`, `idempotency_key`)."""

    code = "already_there"

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(what)


class ChangedMeanwhile(TucklineError):
    """Somebody else changed the request since it was read; nothing was written."""

    code = "changed_meanwhile"


class StoreUnavailable(TucklineError):
    """The database doesn't answer, or stayed locked for too long. Trying again may help."""

    code = "store_unavailable"


class Requests(Protocol):
    """Requests and their histories."""

    def add(self, new: NewRequest) -> Request:
        """Keeps a request with its customer and vehicle. Raises AlreadyThere."""

    def by_key(self, idempotency_key: str) -> Request | None:
        """The request that was sent under this key."""

    def has_reference(self, reference: str) -> bool:
        """Whether a reference is taken."""

    def record(self, request_id: int, event: Event) -> None:
        """Adds an entry to a request's history."""


class Mails(Protocol):
    """The outbox."""

    def add(self, mail: NewMail, now: datetime) -> None:
        """Puts a mail in; it leaves once the transaction around it is committed."""


class Work(Protocol):
    """One transaction: everything in it is kept, or nothing."""

    @property
    def requests(self) -> Requests: ...

    @property
    def mails(self) -> Mails: ...


class Store(Protocol):
    """Where things are kept."""

    def reading(self) -> AbstractContextManager[Work]:
        """A transaction that only reads."""

    def writing(self) -> AbstractContextManager[Work]:
        """A short transaction that may write; rolled back when its block raises."""


class Letters(Protocol):
    """Writes mails in the reader's language."""

    def write(self, kind: str, locale: str, **facts: Fact | None) -> Letter:
        """The words of one kind of mail."""

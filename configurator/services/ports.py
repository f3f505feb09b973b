"""What the services need from outside: a store, words for letters, a clock. Storage and wiring fit themselves to these."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from typing import Any, Protocol

from configurator.domain.desk import Event, Letter, NewMail, NewRequest, OutgoingMail, Request
from configurator.domain.inbox import InboxPage, InboxQuestion
from configurator.domain.message import Fact
from configurator.domain.review import Actor, State
from configurator.domain.staff import Credentials, StaffSession, User
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

    def by_reference(self, reference: str) -> Request | None:
        """The request with this reference."""

    def by_link(self, link_hash: str) -> Request | None:
        """The request whose private link has this hash."""

    def has_reference(self, reference: str) -> bool:
        """Whether a reference is taken."""

    def move(self, request: Request, target: State, event: Event) -> Request:
        """Changes the state and writes the history. Raises ChangedMeanwhile."""

    def assign(self, request: Request, user_id: int | None, event: Event) -> Request:
        """Gives a request to a staff member. Raises ChangedMeanwhile."""

    def mark_opened(self, request: Request, event: Event) -> None:
        """Notes that the staff has seen it, once."""

    def record(self, request_id: int | None, event: Event) -> None:
        """Adds an entry to a request's history, or to the shop's (None)."""

    def history(self, request_id: int) -> tuple[Event, ...]:
        """A request's history, oldest first."""


class Inbox(Protocol):
    """The list of requests."""

    def page(self, question: InboxQuestion) -> InboxPage:
        """One page of it."""

    def counts(self, question: InboxQuestion) -> Mapping[State, int]:
        """How many requests stand in each open state."""

    def unopened(self) -> int:
        """New requests that nobody has opened."""


class Mails(Protocol):
    """The outbox."""

    def add(self, mail: NewMail, now: datetime) -> None:
        """Puts a mail in; it leaves once the transaction around it is committed."""

    def take_due(self, now: datetime, *, lease: timedelta, limit: int) -> Sequence[OutgoingMail]:
        """Claims mails that are due, for as long as the lease lasts."""

    def mark_sent(self, mail_id: int, now: datetime) -> None:
        """It has left."""

    def mark_failed(self, mail_id: int, *, error: str, due_at: datetime | None) -> None:
        """It hasn't; the next try, or None: given up."""

    def try_again(self, mail_id: int, now: datetime) -> bool:
        """Due now, unless it was sent."""

    def latest(self, *, limit: int, before_id: int | None = None, state: str = "") -> Sequence[OutgoingMail]:
        """Newest first."""

    def by_id(self, mail_id: int) -> OutgoingMail | None:
        """One mail."""

    def about(self, request_id: int) -> Sequence[OutgoingMail]:
        """Every mail about a request, oldest first."""

    def counts(self) -> dict[str, int]:
        """How many wait, were sent, were given up."""

    def beat(self, now: datetime) -> None:
        """The worker's sign of life."""

    def last_beat(self) -> datetime | None:
        """When the worker last gave one."""


class Users(Protocol):
    """The staff."""

    def add(self, *, email: str, name: str, role: Actor, password_hash: str | None, now: datetime) -> User:
        """A new staff member. Raises AlreadyThere."""

    def all(self) -> Sequence[User]:
        """Everybody, by name."""

    def count(self) -> int:
        """How many there are."""

    def by_id(self, user_id: int) -> User | None:
        """One of them."""

    def credentials(self, email: str) -> Credentials | None:
        """What logging in checks, by e-mail address."""

    def credentials_of(self, user_id: int) -> Credentials | None:
        """The same by id."""

    def set(self, user_id: int, **values: Any) -> None:
        """Writes columns of one staff member."""


class Sessions(Protocol):
    """Staff sessions."""

    def add(
        self, *, token_hash: str, kind: str, user_id: int | None, opened_by: int | None, label: str, now: datetime, expires_at: datetime
    ) -> None:
        """Opens a session."""

    def live(self, token_hash: str, now: datetime, idle_since: datetime) -> StaffSession | None:
        """The session of a token, if it still lasts."""

    def seen(self, session_id: int, now: datetime) -> None:
        """It was used."""

    def set_user(self, session_id: int, user_id: int | None) -> None:
        """Whose hands hold a bay tablet now."""

    def end(self, session_id: int, now: datetime) -> None:
        """It is over."""

    def end_all_of(self, user_id: int, now: datetime, *, but: int | None = None) -> None:
        """Every desk session of a staff member is over, except one."""

    def open_devices(self, now: datetime) -> Sequence[StaffSession]:
        """Bay tablets with an open session."""


class Work(Protocol):
    """One transaction: everything in it is kept, or nothing."""

    @property
    def requests(self) -> Requests: ...

    @property
    def inbox(self) -> Inbox: ...

    @property
    def mails(self) -> Mails: ...

    @property
    def users(self) -> Users: ...

    @property
    def sessions(self) -> Sessions: ...


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

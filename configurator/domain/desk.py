"""What the shop's desk keeps: a request with its history, and the mail that goes out about it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from types import MappingProxyType

from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.message import Fact
from configurator.domain.review import Actor, CarWords, Contact, State

Document = Mapping[str, object]
"""A JSON document as it is stored, such as a selection (version 1)."""


@dataclass(frozen=True)
class Person:
    """Who did something: a role, and the staff member's id and name where there is one."""

    actor: Actor
    id: int | None = None
    name: str = ""


VISITOR = Person(Actor.VISITOR)
CLOCK = Person(Actor.CLOCK)


@dataclass(frozen=True, kw_only=True)
class NewRequest:
    """A request about to be kept. `answer_due` is when the shop promised to have looked at it."""

    reference: str
    link_nonce: str
    link_hash: str
    received_at: datetime
    answer_due: datetime
    contact: Contact
    car: CarWords
    dates: tuple[date, ...]
    notes: str
    acknowledged: frozenset[str]
    consents: Mapping[str, bool]
    source: str
    locale: str
    selection: Document
    body: str
    package: str
    region: str
    edges: str
    estimate: KeptEstimate
    idempotency_key: str | None
    fingerprint: str


@dataclass(frozen=True, kw_only=True)
class Request:
    """A kept request. `revision` grows with every change, so that a second editor is noticed."""

    id: int
    revision: int
    state: State
    state_since: datetime
    reference: str
    link_nonce: str
    received_at: datetime
    answer_due: datetime
    opened_at: datetime | None
    assigned_to: int | None
    customer_id: int
    vehicle_id: int
    contact: Contact
    car: CarWords
    dates: tuple[date, ...]
    notes: str
    acknowledged: frozenset[str]
    consents: Mapping[str, bool]
    source: str
    locale: str
    selection: Document
    body: str
    package: str
    region: str
    edges: str
    estimate: KeptEstimate
    fingerprint: str


@dataclass(frozen=True, kw_only=True)
class Event:
    """One entry of a request's history. `kind`: moved, noted, opened, assigned, changed, mailed ...; `reason` as typed."""

    at: datetime
    by: Person
    kind: str
    source: State | None = None
    target: State | None = None
    reason: str = ""
    facts: Mapping[str, Fact] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class Letter:
    """The words of a mail. `LINK` and `STAFF_LINK` in them stand for addresses that are put in when the mail leaves."""

    subject: str
    text: str


LINK = "[[private-link]]"
STAFF_LINK = "[[staff-link]]"
"""The same for the request's page in the staff area."""


@dataclass(frozen=True, kw_only=True)
class NewMail:
    """A mail to be sent; `calendar` is an iCalendar text to attach."""

    kind: str
    recipient: str
    letter: Letter
    locale: str
    request_id: int | None = None
    user_id: int | None = None
    calendar: str | None = None


@dataclass(frozen=True, kw_only=True)
class OutgoingMail:
    """A mail in the outbox. `state`: waiting, sent or failed; `due_at` the next try. `user_id`: to a staff member, about their account."""

    id: int
    kind: str
    recipient: str
    locale: str
    letter: Letter
    calendar: str | None
    message_id: str
    state: str
    tries: int
    created_at: datetime
    due_at: datetime
    sent_at: datetime | None
    last_error: str
    reference: str | None
    link_nonce: str | None
    user_id: int | None = None
    user_nonce: str | None = None

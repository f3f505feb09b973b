"""Requests and the list of them."""

from collections.abc import Mapping
from typing import Protocol

from configurator.domain.desk import Event, NewRequest, Request
from configurator.domain.inbox import InboxPage, InboxQuestion
from configurator.domain.review import State


class Requests(Protocol):
    """Requests and their histories."""

    def add(self, new: NewRequest) -> Request:
        """Keeps a request with its customer and vehicle. Raises AlreadyThere."""

    def by_key(self, idempotency_key: str) -> Request | None:
        """The request that was sent under this key."""

    def by_id(self, request_id: int) -> Request | None:
        """The request with this number."""

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
        """How many requests stand in each open state; nothing where counting would have to read them all."""

    def unopened(self) -> int:
        """New requests that nobody has opened."""

    def newest_id(self) -> int:
        """The number of the request that was kept last; 0 when there is none."""

    def arrived_after(self, request_id: int) -> int:
        """How many requests were kept after that one."""

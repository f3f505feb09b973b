"""The outbox, and who writes the letters in it."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Protocol

from configurator.domain.desk import Letter, NewMail, OutgoingMail
from configurator.domain.message import Fact


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

    def failed(self) -> int:
        """How many were given up."""

    def beat(self, now: datetime) -> None:
        """The worker's sign of life."""

    def last_beat(self) -> datetime | None:
        """When the worker last gave one."""


class Letters(Protocol):
    """Writes mails in the reader's language."""

    def write(self, kind: str, locale: str, **facts: Fact | None) -> Letter:
        """The words of one kind of mail."""

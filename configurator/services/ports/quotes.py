"""Firm quotes: the draft on the desk, what was sent, and what a request's scope was before the desk changed it."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from configurator.domain.desk import Event, Request
from configurator.domain.quoting import Acceptance, Draft, NewQuote, NewScope, Original, Quote


class Quotes(Protocol):
    """Drafts and sent quotes. What was sent is never changed; only what became of it is noted."""

    def draft(self, request_id: int) -> Draft | None:
        """What the desk has written so far."""

    def keep_draft(self, request: Request, draft: Draft, event: Event) -> Request:
        """Keeps the draft with an entry in the history. Raises ChangedMeanwhile."""

    def send(self, request: Request, new: NewQuote) -> Quote:
        """Keeps a quote as the next version and voids the ones before. The request was moved in this transaction already."""

    def current(self, request_id: int) -> Quote | None:
        """The latest quote."""

    def all(self, request_id: int) -> Sequence[Quote]:
        """Every quote of a request, the first one first."""

    def mark_opened(self, quote: Quote, now: datetime) -> bool:
        """Notes when the customer first saw it; whether this was the first time."""

    def accept(self, quote: Quote, acceptance: Acceptance, now: datetime) -> None:
        """Notes how it was accepted. The request was moved in this transaction already."""

    def decline(self, quote: Quote, now: datetime) -> None:
        """Notes that the customer said no."""

    def run_out(self, now: datetime, *, limit: int) -> Sequence[str]:
        """References of quoted requests whose quote doesn't hold any more."""


class Scopes(Protocol):
    """The scope of a request as the desk changes it."""

    def change(self, request: Request, scope: NewScope, event: Event) -> Request:
        """Puts another scope and its estimate in place; the first time, the visitor's own is kept beside. Raises ChangedMeanwhile."""

    def original(self, request: Request) -> Original | None:
        """The visitor's own, where the desk has changed it."""

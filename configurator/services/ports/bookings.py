"""The shop's calendar as it is kept: bookings, blocked time, and the addresses under which calendar programs read it."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from configurator.domain.agenda import Agenda, Today
from configurator.domain.appointments import Block, BookedJob, KeptBooking, Place, WaitingJob
from configurator.domain.desk import Request


class Bookings(Protocol):
    """Bookings of bays, one for each request."""

    def alone(self) -> None:
        """Until the transaction ends, nobody else places anything: what is read from here on stays true."""

    def of(self, request: Request) -> KeptBooking | None:
        """A request's booking, also one that was released."""

    def keep(self, request: Request, place: Place, now: datetime) -> KeptBooking:
        """Books a place for a request, or moves its booking there."""

    def release(self, request: Request, now: datetime) -> KeptBooking | None:
        """Gives the place up; None when the request holds none."""

    def agenda(self, today: Today) -> Agenda:
        """What holds a bay or hands from today on. A car that should have left its bay, and hasn't, holds it for the rest of the day."""

    def stamp(self) -> int:
        """Grows with whatever is written about requests or the calendar (all of it is in the history)."""

    def jobs(self, start: datetime, end: datetime, today: Today) -> Sequence[BookedJob]:
        """Bookings that touch a span of time, in the order of their drop-offs."""

    def waiting(self) -> Sequence[WaitingJob]:
        """Accepted requests, longest wait first."""


class Blocks(Protocol):
    """Blocked time."""

    def add(self, block: Block, by: int | None, now: datetime) -> Block:
        """Keeps a block."""

    def remove(self, block_id: int, now: datetime) -> Block | None:
        """Takes it back; None when it isn't there (any more)."""

    def between(self, start: datetime, end: datetime | None) -> Sequence[Block]:
        """Blocks that touch a span of time; without an end, all that aren't over at its start."""


class Feeds(Protocol):
    """The secret addresses under which a staff member's calendar program reads the calendar."""

    def nonce_of(self, user_id: int) -> str | None:
        """What the token is derived from; None when there is no address."""

    def set(self, user_id: int, nonce: str, token_hash: str, now: datetime) -> None:
        """A new address, which ends the one before."""

    def end(self, user_id: int) -> None:
        """No address any more."""

    def user_of(self, token_hash: str) -> int | None:
        """Whose address it is."""

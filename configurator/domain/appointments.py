"""A place in the shop's calendar: what a job takes of it, what is kept of a booking, and time that is blocked."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from configurator.domain.calendar import ShopCalendar
from configurator.domain.openings import booking_of
from configurator.domain.price_book import PriceBook
from configurator.domain.review import CarWords, State
from configurator.domain.scheduling import timeline
from configurator.domain.timeline import Booking
from configurator.domain.work import Kind, Operation


@dataclass(frozen=True)
class Choice:
    """A place as somebody picks it: when the car is brought (aware), and the bay; None for any that is free."""

    drop_off: datetime
    bay: int | None = None


@dataclass(frozen=True)
class Place:
    """What a job takes when its car is brought at a moment: `booking` up to the late hand-back, so that the place holds.

    `settles`: while film settles without hands, by the typical hours; None where nothing has to.
    """

    booking: Booking
    typical_end: datetime
    days_typical: int
    days_high: int
    settles: tuple[datetime, datetime] | None = None

    @property
    def drop_off(self) -> datetime:
        return self.booking.start

    @property
    def late_end(self) -> datetime:
        """The hand-back that nine jobs in ten keep."""
        return self.booking.end

    @property
    def bay(self) -> int:
        return self.booking.bay


@dataclass(frozen=True, kw_only=True)
class KeptBooking:
    """A request's place. `uid` names it in calendar programs for ever, `sequence` counts its changes (RFC 5545 3.8.7.4)."""

    request_id: int
    uid: str
    sequence: int
    place: Place
    made_at: datetime
    changed_at: datetime
    released_at: datetime | None = None

    @property
    def holds(self) -> bool:
        """Whether the place is still taken."""
        return self.released_at is None


@dataclass(frozen=True, kw_only=True)
class BookedJob:
    """A booking with what the calendar shows of its request. `is_overdue`: the car should have left its bay, and hasn't."""

    booking: KeptBooking
    reference: str
    state: State
    name: str
    car: CarWords
    body: str
    package: str
    edges: str
    is_overdue: bool = False


@dataclass(frozen=True, kw_only=True)
class WaitingJob:
    """An accepted request that has no confirmed place yet; `held` is the place its acceptance holds, if it still does."""

    reference: str
    since: datetime
    name: str
    car: CarWords
    body: str
    package: str
    edges: str
    held: KeptBooking | None


@dataclass(frozen=True, kw_only=True)
class Block:
    """Time that is blocked: a bay that can't be used, or a person who isn't in (whole days). One of the two is set."""

    start: datetime
    end: datetime
    bay: int | None = None
    person: str = ""
    reason: str = ""
    id: int = 0


def place_at(operations: Sequence[Operation], calendar: ShopCalendar, choice: Choice, bay: int, book: PriceBook) -> Place:
    """What the job takes when its car is brought at the choice's moment or, when the shop is closed then, at the next opening.

    Raises NothingOpen.
    """
    placed = timeline(operations, calendar, choice.drop_off, book)
    settling = [phase for phase in placed.typical.phases if phase.phase == Kind.SETTLE]
    return Place(
        booking=booking_of(placed.high, bay, operations),
        typical_end=placed.typical.hand_back,
        days_typical=placed.typical.days_off_road,
        days_high=placed.high.days_off_road,
        settles=(settling[0].start, settling[-1].end) if settling else None,
    )

"""Places in the bay: held by an acceptance, confirmed, moved and given up, each in one transaction with the state and the mails.

Who places something is alone while it is done (`Bookings.alone`), and looks at the bay and the hands again in that very
transaction: of two who want the same place one gets it, and the other reads what is free next.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from configurator.domain import estimating
from configurator.domain.agenda import Agenda, in_the_way
from configurator.domain.appointments import Choice, KeptBooking, Place, place_at
from configurator.domain.calendar import ShopCalendar
from configurator.domain.desk import Person, Request
from configurator.domain.message import Fact, Message
from configurator.domain.openings import openings
from configurator.domain.price_book import PriceBook
from configurator.domain.review import Need, State, check_move
from configurator.domain.timeline import Opening
from configurator.domain.work import Operation
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import checked_text
from configurator.services.desk import Desk
from configurator.services.places import announcing_places
from configurator.services.ports import Work
from configurator.services.reviewing import LONGEST_REASON, find, find_as_read, move

NEXT_PLACES = 3
HORIZON_DAYS = 120


class PlaceTaken(TucklineError):
    """A place that isn't free. `why` says what stands in the way, `places` what is free next (the first few)."""

    code = "place_taken"

    def __init__(self, why: tuple[Message, ...], places: tuple[Opening, ...]) -> None:
        self.why, self.places = why, places
        super().__init__(", ".join(message.code for message in why))


@dataclass(frozen=True)
class Look:
    """One look at a place: what the job would take, and why it can't have it (empty: it can)."""

    place: Place
    why: tuple[Message, ...]


@dataclass(frozen=True)
class Outlook:
    """The calendar as one request sees it: its own work against what everybody else holds."""

    operations: tuple[Operation, ...]
    agenda: Agenda
    calendar: ShopCalendar
    book: PriceBook
    now: datetime

    def look(self, choice: Choice) -> Look:
        """Whether the job could have a place (without a bay in the choice: in bay 1)."""
        place = place_at(self.operations, self.calendar, choice, choice.bay or 1, self.book)
        return Look(place, in_the_way(choice, place, self.agenda, self.calendar, self.now))

    def next_places(self, after: datetime, limit: int) -> tuple[Opening, ...]:
        """The next free places from a moment on, never before now."""
        earliest = max(after, self.now).astimezone(self.calendar.zone)
        found = openings(self.operations, self.calendar, self.agenda.bookings, earliest.date(), HORIZON_DAYS, limit + 1, self.book)
        return tuple(opening for opening in found if opening.drop_off >= earliest)[:limit]


def operations_of(request: Request, desk: Desk) -> tuple[Operation, ...]:
    """The work of a request as it is kept. Raises InvalidInput where today's price book knows a thing in it no more.

    A body that was never measured takes a second or two: call it before a writing transaction, not inside.
    """
    return estimating.work(desk.load_selection(request.selection), desk.shop).operations


def reserve(request: Request, choice: Choice, desk: Desk, work: Work, *, operations: Sequence[Operation] | None = None) -> KeptBooking:
    """Holds a place for a visitor who accepts: the bay that was offered or, when that is taken, any other that is free then.

    Runs in the transaction that keeps the acceptance. Raises PlaceTaken; then nothing of the transaction may be kept.
    """
    work.bookings.alone()
    planned = operations_of(request, desk) if operations is None else operations
    others = [bay for bay in range(1, desk.book.hours.bays + 1) if bay != choice.bay]
    return _booked(request, choice, [choice.bay, *others] if choice.bay else others, planned, desk, work)


def place(reference: str, revision: int, choice: Choice, by: Person, desk: Desk) -> Request:
    """Gives an accepted request its appointment, or moves one that has it, and tells the visitor.

    Raises PlaceTaken, MoveRefused, ChangedMeanwhile, NoSuchRequest. The same place again changes nothing and writes no mail.
    """
    with desk.store.reading() as work:
        operations = operations_of(find(reference, work), desk)
    with desk.store.writing() as work:
        work.bookings.alone()
        request = find_as_read(reference, revision, work)
        check_move(request.state, State.SCHEDULED, by.actor, [Need.FREE_PLACE])
        before = _held(request, work)
        if request.state is State.SCHEDULED and before and _is_same(before, choice):
            return request
        bays = [choice.bay] if choice.bay else range(1, desk.book.hours.bays + 1)
        booking = _booked(request, choice, bays, operations, desk, work)
        facts: dict[str, Fact] = {"bay": booking.place.bay, "drop_off": booking.place.drop_off.astimezone(desk.shop.calendar.zone)}
        moved = move(request, State.SCHEDULED, by, desk, work, met=[Need.FREE_PLACE], facts=facts)
        announcing_places.made_or_moved(moved, booking, before if request.state is State.SCHEDULED else None, desk, work)
        return moved


def no_show(reference: str, revision: int, reason: str, by: Person, desk: Desk) -> Request:
    """The car didn't come: the place is free again, the request waits for another. Raises InvalidInput without a reason."""
    typed = _reason(reason)
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        waiting = move(request, State.ACCEPTED, by, desk, work, met=[Need.REASON], reason=typed)
        released = work.bookings.release(request, desk.clock())
        announcing_places.missed(waiting, released, desk, work)
        return waiting


def withdraw_for_customer(reference: str, revision: int, reason: str, by: Person, desk: Desk) -> Request:
    """The customer takes back what was accepted, and the desk writes it down: the place is free again."""
    typed = _reason(reason)
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        check_move(request.state, State.WITHDRAWN, by.actor, [Need.REASON])
        withdrawn = move(request, State.WITHDRAWN, by, desk, work, met=[Need.REASON], reason=typed)
        released = work.bookings.release(request, desk.clock())
        announcing_places.cancelled(withdrawn, released if request.state is State.SCHEDULED else None, desk, work)
        return withdrawn


def outlook(request: Request, desk: Desk, work: Work, *, operations: Sequence[Operation] | None = None) -> Outlook:
    """The calendar as this request sees it now: read once, asked as often as needed. Its own booking doesn't count."""
    planned = operations_of(request, desk) if operations is None else tuple(operations)
    agenda = work.bookings.agenda(desk.today()).without(request.reference)
    return Outlook(planned, agenda, agenda.calendar(desk.shop.calendar), desk.book, desk.clock())


def look_at(request: Request, choice: Choice, desk: Desk, work: Work) -> Look:
    """Whether a request could have a place, without taking it."""
    return outlook(request, desk, work).look(choice)


def next_places(request: Request, after: datetime, desk: Desk, work: Work, *, limit: int = NEXT_PLACES) -> tuple[Opening, ...]:
    """The next free places for a request from a moment on."""
    return outlook(request, desk, work).next_places(after, limit)


def _booked(request: Request, choice: Choice, bays: Iterable[int], operations: Sequence[Operation], desk: Desk, work: Work) -> KeptBooking:
    seen = outlook(request, desk, work, operations=operations)
    looks = []
    for bay in bays:
        looks.append(seen.look(replace(choice, bay=bay)))
        if not looks[-1].why:
            return work.bookings.keep(request, looks[-1].place, desk.clock())
    raise PlaceTaken(looks[0].why, seen.next_places(choice.drop_off, NEXT_PLACES))


def _held(request: Request, work: Work) -> KeptBooking | None:
    booking = work.bookings.of(request)
    return booking if booking and booking.holds else None


def _is_same(booking: KeptBooking, choice: Choice) -> bool:
    return booking.place.drop_off == choice.drop_off and choice.bay in (None, booking.place.bay)


def _reason(text: str) -> str:
    faults: list[Fault] = []
    tidy = checked_text(text, "reason", faults, longest=LONGEST_REASON, required=True, lines=True)
    if faults:
        raise InvalidInput(faults)
    return tidy

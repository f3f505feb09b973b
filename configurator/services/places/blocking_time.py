"""Blocked time: a bay that can't be used for a while, a person who isn't in. Openings go round it."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from configurator.domain.agenda import HANDS, Agenda
from configurator.domain.appointments import Block
from configurator.domain.desk import Event, Person
from configurator.domain.message import Message
from configurator.domain.openings import ROUNDING_MINUTES, is_free
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import checked_text
from configurator.services.desk import Desk
from configurator.services.ports import Work

LONGEST_REASON = 120
LONGEST = timedelta(days=366)


class TimeTaken(TucklineError):
    """The time can't be blocked as it is: `why` names the jobs in a bay, or the days on which too few hands would be left."""

    code = "time_taken"

    def __init__(self, why: tuple[Message, ...]) -> None:
        self.why = why
        super().__init__(", ".join(message.code for message in why))


def block_bay(bay: int, start: datetime, end: datetime, reason: str, by: Person, desk: Desk) -> Block:
    """Takes a bay out of use between two aware moments. Raises InvalidInput, and TimeTaken when a car is booked into it then."""
    faults = [] if 1 <= bay <= desk.book.hours.bays else [Fault("what", "unknown_id", {"id": bay})]
    block = Block(start=start, end=end, bay=bay, reason=_checked(start, end, reason, faults))
    with desk.store.writing() as work:
        work.bookings.alone()
        why = tuple(_jobs_in_the_bay(block, work.bookings.agenda(desk.today()), desk))
        if why:
            raise TimeTaken(why)
        return _kept(block, "bay_blocked", by, desk, work)


def note_absence(person: str, first: date, last: date, reason: str, by: Person, desk: Desk, *, anyway: bool = False) -> Block:
    """Writes down that somebody isn't in on some days. Raises InvalidInput, and TimeTaken when booked work needs their hands.

    `anyway`: an illness doesn't ask; the days stay marked as overbooked until jobs are moved.
    """
    known = {each.name for each in desk.book.hours.people}
    faults = [] if person in known else [Fault("what", "unknown_id", {"id": person[:40]})]
    zone = desk.shop.calendar.zone
    start, end = datetime.combine(first, time.min, zone), datetime.combine(last, time.min, zone) + timedelta(days=1)
    block = Block(start=start, end=end, person=person, reason=_checked(start, end, reason, faults))
    with desk.store.writing() as work:
        work.bookings.alone()
        why = () if anyway else tuple(_short_days(block, work.bookings.agenda(desk.today()), desk))
        if why:
            raise TimeTaken(why)
        return _kept(block, "person_away", by, desk, work)


def unblock(block_id: int, by: Person, desk: Desk) -> None:
    """Takes blocked time back; nothing happens when somebody else did."""
    with desk.store.writing() as work:
        block = work.blocks.remove(block_id, desk.clock())
        if block is not None:
            _record(block, "bay_unblocked" if block.bay else "person_back", by, desk, work)


def _checked(start: datetime, end: datetime, reason: str, faults: list[Fault]) -> str:
    """The reason, tidied. Raises InvalidInput with these faults and its own."""
    tidy = checked_text(reason, "reason", faults, longest=LONGEST_REASON, required=True)
    if not start < end <= start + LONGEST:
        faults.append(Fault("until", "block_not_in_order"))
    if faults:
        raise InvalidInput(faults)
    return tidy


def _kept(block: Block, kind: str, by: Person, desk: Desk, work: Work) -> Block:
    kept = work.blocks.add(block, by.id, desk.clock())
    _record(kept, kind, by, desk, work)
    return kept


def _record(block: Block, kind: str, by: Person, desk: Desk, work: Work) -> None:
    zone = desk.shop.calendar.zone
    what: dict[str, str | int] = {"bay": block.bay} if block.bay else {"person": block.person}
    facts = {**what, "start": block.start.astimezone(zone), "end": block.end.astimezone(zone)}
    work.requests.record(None, Event(at=desk.clock(), by=by, kind=kind, reason=block.reason, facts=facts))


def _jobs_in_the_bay(block: Block, agenda: Agenda, desk: Desk) -> Iterator[Message]:
    zone = desk.shop.calendar.zone
    for job in agenda.jobs:
        if not is_free([job.booking], block.bay or 0, block.start, block.end):
            start, end = job.booking.start.astimezone(zone), job.booking.end.astimezone(zone)
            yield Message("place_bay_held", {"bay": job.booking.bay, "reference": job.reference, "start": start, "end": end})


def _short_days(block: Block, agenda: Agenda, desk: Desk) -> Iterator[Message]:
    """Days on which what is booked needs more hands than would be left."""
    calendar = Agenda(agenda.jobs, (*agenda.blocks, block)).calendar(desk.shop.calendar)
    days = (block.start + timedelta(days=ahead) for ahead in range((block.end.date() - block.start.date()).days))
    for day in (each.date() for each in days):
        for role in HANDS:
            booked, left = agenda.minutes(role, day), calendar.minutes_in(role, day)
            if booked > left + ROUNDING_MINUTES:
                yield Message("block_leaves_short", {"role": str(role), "day": day, "needs_h": booked / 60, "left_h": left / 60})

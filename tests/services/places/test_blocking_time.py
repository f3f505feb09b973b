"""Blocked bays and absences: kept with who and why, refused where booked work stands, and respected by what is free."""

from datetime import date

import pytest
from sqlalchemy import select

from configurator.domain.appointments import Choice
from configurator.domain.desk import Event
from configurator.errors import InvalidInput
from configurator.services.desk import Desk
from configurator.services.places.blocking_time import TimeTaken, block_bay, note_absence, unblock
from configurator.services.places.placing import next_places, place
from configurator.storage.models import EventRow
from configurator.storage.requests import to_event
from tests.booking_builders import ROBIN, accept, at


def shop_history(desk: Desk) -> list[Event]:
    with desk.store.reading() as work:
        rows = work.requests._session.scalars(select(EventRow).where(EventRow.request_id.is_(None)).order_by(EventRow.id))
        return [to_event(row) for row in rows]


def test_a_blocked_bay_is_kept_with_who_when_and_why(desk: Desk) -> None:
    block = block_bay(2, at("2027-03-15 08:30"), at("2027-03-15 12:30"), " lift service ", ROBIN, desk)

    (entry,) = shop_history(desk)
    assert (block.bay, block.reason) == (2, "lift service")
    assert (entry.kind, entry.by.name, entry.reason) == ("bay_blocked", "Robin Hale", "lift service")
    assert entry.facts == {"bay": 2, "start": at("2027-03-15 08:30"), "end": at("2027-03-15 12:30")}


def test_a_bay_with_a_car_in_it_is_not_blocked(desk: Desk) -> None:
    request = accept(desk.store)
    place(request.reference, request.revision, Choice(at("2027-03-15 08:30"), 1), ROBIN, desk)
    with pytest.raises(TimeTaken) as refused:
        block_bay(1, at("2027-03-16 00:00"), at("2027-03-17 00:00"), "floor", ROBIN, desk)

    assert [(message.code, message.facts["reference"]) for message in refused.value.why] == [("place_bay_held", request.reference)]
    assert shop_history(desk) == []
    block_bay(2, at("2027-03-16 00:00"), at("2027-03-17 00:00"), "floor", ROBIN, desk)


def test_an_absence_makes_places_later(desk: Desk) -> None:
    """Both installers away for the whole week: nobody lays film before the next."""
    request = accept(desk.store)
    for name in ("Tomas Reyl", "Wen Adair"):
        note_absence(name, date(2027, 3, 15), date(2027, 3, 19), "leave", ROBIN, desk)
    with desk.store.reading() as work:
        opening = next_places(request, at("2027-03-15 00:00"), desk, work)[0]

    assert opening.drop_off == at("2027-03-15 08:30"), "the car can come"
    assert opening.hand_back_typical > at("2027-03-22 08:30"), "but is not worked on"


def test_an_absence_that_leaves_booked_work_without_hands_says_so_and_may_be_kept_anyway(desk: Desk) -> None:
    request = accept(desk.store)
    place(request.reference, request.revision, Choice(at("2027-03-15 08:30"), 1), ROBIN, desk)
    with pytest.raises(TimeTaken) as refused:
        note_absence("Tomas Reyl", date(2027, 3, 15), date(2027, 3, 15), "ill", ROBIN, desk)
    kept = note_absence("Tomas Reyl", date(2027, 3, 15), date(2027, 3, 15), "ill", ROBIN, desk, anyway=True)

    (message,) = refused.value.why
    assert (message.code, message.facts["day"], message.facts["role"]) == ("block_leaves_short", date(2027, 3, 15), "installer")
    assert message.facts["needs_h"] > message.facts["left_h"]  # type: ignore[operator]
    assert (kept.start, kept.end) == (at("2027-03-15 00:00"), at("2027-03-16 00:00"))


def test_an_advisor_who_is_not_in_takes_no_car_in(desk: Desk) -> None:
    for name in ("Ines Calder", "Robin Hale"):
        note_absence(name, date(2027, 3, 15), date(2027, 3, 15), "course", ROBIN, desk)
    request = accept(desk.store)
    with desk.store.reading() as work:
        opening = next_places(request, at("2027-03-15 00:00"), desk, work)[0]

    assert opening.drop_off.date() == date(2027, 3, 16)


def test_what_is_taken_back_blocks_nothing_any_more(desk: Desk) -> None:
    block = block_bay(1, at("2027-03-15 00:00"), at("2027-03-20 00:00"), "floor", ROBIN, desk)
    unblock(block.id, ROBIN, desk)
    unblock(block.id, ROBIN, desk)
    with desk.store.reading() as work:
        agenda = work.bookings.agenda(desk.today())

    assert agenda.blocks == ()
    assert [entry.kind for entry in shop_history(desk)] == ["bay_blocked", "bay_unblocked"]


@pytest.mark.parametrize(
    ("bay", "start", "end", "reason", "path"),
    [
        (3, "2027-03-15 00:00", "2027-03-16 00:00", "floor", "what"),
        (1, "2027-03-16 00:00", "2027-03-16 00:00", "floor", "until"),
        (1, "2027-03-15 00:00", "2029-03-16 00:00", "floor", "until"),
        (1, "2027-03-15 00:00", "2027-03-16 00:00", "  ", "reason"),
        (1, "2027-03-15 00:00", "2027-03-16 00:00", "x" * 121, "reason"),
    ],
)
def test_what_makes_no_sense_is_refused_by_its_field(desk: Desk, bay: int, start: str, end: str, reason: str, path: str) -> None:
    with pytest.raises(InvalidInput) as refused:
        block_bay(bay, at(start), at(end), reason, ROBIN, desk)

    assert [fault.path for fault in refused.value.faults] == [path]


def test_nobody_unknown_is_away(desk: Desk) -> None:
    with pytest.raises(InvalidInput):
        note_absence("Somebody", date(2027, 3, 15), date(2027, 3, 15), "leave", ROBIN, desk)

"""Places in the bay: held, confirmed, moved, given up; with the state, the history and the mails in one transaction."""

from datetime import UTC, timedelta

import pytest
from icalendar import Calendar

from configurator.domain.appointments import Block, Choice, KeptBooking
from configurator.domain.desk import OutgoingMail, Request
from configurator.domain.review import MoveRefused, State
from configurator.errors import InvalidInput
from configurator.services.desk import Desk
from configurator.services.places.placing import PlaceTaken, look_at, next_places, no_show, place, reserve, withdraw_for_customer
from configurator.services.ports import ChangedMeanwhile
from tests.booking_builders import ROBIN, accept, at, found

MONDAY = "2027-03-15 08:30"


def schedule(desk: Desk, number: int = 1, start: str = MONDAY, bay: int | None = 1) -> Request:
    request = accept(desk.store, number)
    return place(request.reference, request.revision, Choice(at(start), bay), ROBIN, desk)


def booking_of(request: Request, desk: Desk) -> KeptBooking:
    with desk.store.reading() as work:
        booking = work.bookings.of(request)
    assert booking is not None
    return booking


def mails_about(request: Request, desk: Desk) -> list[OutgoingMail]:
    with desk.store.reading() as work:
        return list(work.mails.about(request.id))


def test_an_acceptance_holds_the_bay_up_to_the_late_hand_back(desk: Desk) -> None:
    request = accept(desk.store)
    with desk.store.writing() as work:
        booking = reserve(request, Choice(at(MONDAY), 2), desk, work)

    assert (booking.place.bay, booking.place.drop_off) == (2, at(MONDAY))
    assert booking.place.drop_off < booking.place.typical_end <= booking.place.late_end
    assert booking.place.booking.installer_minutes
    assert booking_of(request, desk) == booking
    assert mails_about(request, desk) == [], "the acceptance itself writes the mail"


def test_an_acceptance_takes_another_bay_where_the_offered_one_is_gone(desk: Desk) -> None:
    schedule(desk, 1, bay=1)
    second = accept(desk.store, 2)
    with desk.store.writing() as work:
        booking = reserve(second, Choice(at("2027-03-16 08:30"), 1), desk, work)

    assert booking.place.bay == 2


def test_when_no_bay_is_left_the_next_free_places_are_named(desk: Desk) -> None:
    schedule(desk, 1, bay=1)
    schedule(desk, 2, start="2027-03-16 08:30", bay=2)
    third = accept(desk.store, 3)
    with pytest.raises(PlaceTaken) as refused, desk.store.writing() as work:
        reserve(third, Choice(at("2027-03-16 08:30"), 1), desk, work)

    assert refused.value.why[0].code == "place_bay_held"
    assert refused.value.why[0].facts["reference"] == "TST-00001"
    assert len(refused.value.places) == 3
    for opening in refused.value.places:
        with desk.store.reading() as work:
            look = look_at(third, Choice(opening.drop_off, opening.bay), desk, work)
        assert look.why == ()
        assert look.place.late_end == opening.hand_back_high


def test_placing_confirms_writes_history_and_mails_the_appointment(desk: Desk) -> None:
    request = schedule(desk)
    with desk.store.reading() as work:
        history = work.requests.history(request.id)

    assert request.state is State.SCHEDULED
    assert history[-1].facts == {"bay": 1, "drop_off": at(MONDAY)}
    (mail,) = mails_about(request, desk)
    assert mail.kind == "appointment_made"
    assert "March 15, 2027" in mail.letter.text
    assert mail.calendar is not None
    assert Calendar.from_ical(mail.calendar)["METHOD"] == "REQUEST"


def test_a_moved_appointment_keeps_its_uid_and_counts_on(desk: Desk) -> None:
    request = schedule(desk)
    first = booking_of(request, desk)
    moved = place(request.reference, request.revision, Choice(at("2027-03-22 08:30"), 2), ROBIN, desk)
    second = booking_of(request, desk)

    assert moved.state is State.SCHEDULED
    assert (second.uid, second.sequence > first.sequence) == (first.uid, True)
    assert (second.place.bay, second.place.drop_off) == (2, at("2027-03-22 08:30"))
    mails = mails_about(request, desk)
    assert [mail.kind for mail in mails] == ["appointment_made", "appointment_moved"]
    assert "March 15" in mails[-1].letter.text
    assert "March 22" in mails[-1].letter.text


def test_another_bay_at_the_same_time_is_no_news_to_the_visitor(desk: Desk) -> None:
    request = schedule(desk)
    place(request.reference, request.revision, Choice(at(MONDAY), 2), ROBIN, desk)

    assert booking_of(request, desk).place.bay == 2
    assert [mail.kind for mail in mails_about(request, desk)] == ["appointment_made"]


def test_the_same_place_again_changes_nothing(desk: Desk) -> None:
    request = schedule(desk)
    again = place(request.reference, request.revision, Choice(at(MONDAY), 1), ROBIN, desk)

    assert again.revision == request.revision
    assert booking_of(request, desk).sequence == 0


def test_a_booking_does_not_stand_in_its_own_way(desk: Desk) -> None:
    request = schedule(desk)
    moved = place(request.reference, request.revision, Choice(at("2027-03-15 10:00"), 1), ROBIN, desk)

    assert booking_of(moved, desk).place.drop_off == at("2027-03-15 10:00")


@pytest.mark.parametrize(
    ("start", "bay", "why"),
    [
        ("2027-03-14 08:30", 1, "place_closed"),
        ("2027-03-15 12:45", 1, "place_closed"),
        ("2027-03-01 08:30", 1, "place_past"),
        (MONDAY, 3, "place_no_such_bay"),
    ],
)
def test_a_place_that_can_not_be_says_why(desk: Desk, start: str, bay: int, why: str) -> None:
    request = accept(desk.store)
    with pytest.raises(PlaceTaken) as refused:
        place(request.reference, request.revision, Choice(at(start), bay), ROBIN, desk)

    assert [message.code for message in refused.value.why] == [why]
    assert found(request.reference, desk).state is State.ACCEPTED
    assert mails_about(request, desk) == []


def test_hands_that_do_not_suffice_are_named_with_the_day(desk: Desk) -> None:
    """Two installers; with one of them away, the second car has too few hands on the day the first takes the other's."""
    with desk.store.writing() as work:
        for person in ("Tomas Reyl",):
            off = Block(start=at("2027-03-15 00:00"), end=at("2027-03-20 00:00"), person=person, reason="course")
            work.blocks.add(off, None, desk.clock())
    schedule(desk, 1, bay=1)
    second = accept(desk.store, 2)
    with pytest.raises(PlaceTaken) as refused:
        place(second.reference, second.revision, Choice(at(MONDAY), 2), ROBIN, desk)

    assert {message.code for message in refused.value.why} == {"place_hands_short"}
    assert refused.value.why[0].facts["role"] == "installer"


def test_a_blocked_bay_is_refused_and_passed_over(desk: Desk) -> None:
    with desk.store.writing() as work:
        work.blocks.add(Block(start=at("2027-03-15 00:00"), end=at("2027-03-17 00:00"), bay=1, reason="lift service"), None, desk.clock())
    request = accept(desk.store)
    with pytest.raises(PlaceTaken) as refused:
        place(request.reference, request.revision, Choice(at(MONDAY), 1), ROBIN, desk)
    with desk.store.reading() as work:
        opening = next_places(request, at(MONDAY), desk, work)[0]

    assert [message.code for message in refused.value.why] == ["place_bay_blocked"]
    assert (opening.bay, opening.drop_off) == (2, at(MONDAY))


def test_a_no_show_frees_the_bay_and_takes_the_event_back(desk: Desk) -> None:
    request = schedule(desk)
    waiting = no_show(request.reference, request.revision, "never came", ROBIN, desk)
    other = schedule(desk, 2, bay=1)

    assert waiting.state is State.ACCEPTED
    assert other.state is State.SCHEDULED
    mail = mails_about(request, desk)[-1]
    assert mail.kind == "appointment_missed"
    assert mail.calendar is not None
    calendar = Calendar.from_ical(mail.calendar)
    assert calendar["METHOD"] == "CANCEL"
    assert booking_of(request, desk).released_at == desk.clock().astimezone(UTC)


def test_after_a_no_show_the_same_event_comes_back_with_a_higher_number(desk: Desk) -> None:
    request = schedule(desk)
    waiting = no_show(request.reference, request.revision, "never came", ROBIN, desk)
    before = booking_of(request, desk)
    place(request.reference, waiting.revision, Choice(at("2027-03-22 08:30"), 1), ROBIN, desk)
    after = booking_of(request, desk)

    assert (after.uid, after.sequence) == (before.uid, before.sequence + 1)
    assert after.holds
    assert [mail.kind for mail in mails_about(request, desk)] == ["appointment_made", "appointment_missed", "appointment_made"]


@pytest.mark.parametrize("is_scheduled", [True, False])
def test_withdrawing_for_the_customer_frees_the_bay_and_names_the_terms(desk: Desk, is_scheduled: bool) -> None:
    if is_scheduled:
        request = schedule(desk)
    else:
        request = accept(desk.store)
        with desk.store.writing() as work:
            reserve(request, Choice(at(MONDAY), 1), desk, work)
    withdrawn = withdraw_for_customer(request.reference, request.revision, "sold the car", ROBIN, desk)

    assert withdrawn.state is State.WITHDRAWN
    assert not booking_of(request, desk).holds
    mail = mails_about(request, desk)[-1]
    assert mail.kind == "request_cancelled"
    assert desk.book.terms.cancellation in mail.letter.text
    assert (mail.calendar is not None) is is_scheduled, "only an event that was sent is taken back"


@pytest.mark.parametrize("act", [no_show, withdraw_for_customer])
def test_a_reason_is_needed(desk: Desk, act: object) -> None:
    request = schedule(desk)
    with pytest.raises(InvalidInput):
        act(request.reference, request.revision, "  ", ROBIN, desk)  # type: ignore[operator]

    assert found(request.reference, desk).state is State.SCHEDULED


def test_what_is_not_accepted_can_not_be_placed(desk: Desk) -> None:
    request = schedule(desk)
    withdrawn = withdraw_for_customer(request.reference, request.revision, "sold the car", ROBIN, desk)
    with pytest.raises(MoveRefused):
        place(request.reference, withdrawn.revision, Choice(at(MONDAY), 1), ROBIN, desk)


def test_a_page_that_is_out_of_date_places_nothing(desk: Desk) -> None:
    request = accept(desk.store)
    with pytest.raises(ChangedMeanwhile):
        place(request.reference, request.revision - 1, Choice(at(MONDAY), 1), ROBIN, desk)

    with desk.store.reading() as work:
        assert work.bookings.of(request) is None


def test_mails_are_in_the_visitors_language(desk: Desk) -> None:
    request = accept(desk.store, locale="de")
    place(request.reference, request.revision, Choice(at(MONDAY), 1), ROBIN, desk)
    (mail,) = mails_about(request, desk)

    assert "15. März 2027" in mail.letter.text
    assert mail.calendar is not None
    assert "LANGUAGE=de" in mail.calendar.replace("\r\n ", "")


def test_next_places_never_lie_in_the_past(desk: Desk, clock: object) -> None:
    clock.now = at("2027-03-15 10:00").astimezone(UTC)  # type: ignore[attr-defined]
    request = accept(desk.store)
    with desk.store.reading() as work:
        found_places = next_places(request, at("2027-03-01 08:30"), desk, work)

    assert found_places
    assert all(opening.drop_off >= at("2027-03-15 10:00") for opening in found_places)
    assert found_places[0].drop_off - at("2027-03-15 10:00") < timedelta(days=2)

"""Appointments as iCalendar, held against RFC 5545 (the format), RFC 5546 (what a method may carry) and RFC 7986 (feeds).

What RFC 5545 3.2.19 and 3.3.5 and RFC 5546 3.2.5 say was read in transcriptions, the other sections are from memory. It is checked on
the text itself, and with the icalendar library's parser, which shares no code with how the values come about.
"""

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from icalendar import Calendar

from configurator.domain.appointments import BookedJob, KeptBooking
from configurator.domain.desk import Request
from configurator.domain.review import Contact, State
from configurator.services.desk import Desk
from configurator.services.mail.mailer import ReadyMail, to_message
from configurator.services.places import ics
from tests.booking_builders import a_place, accept, at
from tests.desk_builders import NOON
from tests.shops import demo_shop

BOOK = demo_shop().book
UID = "7d0c9c1e-6a53-4f2b-9a5e-0f6f0f2b7a11"
WRITERS = {"REQUEST": ics.invitation, "CANCEL": ics.cancellation, "PUBLISH": ics.published}


def a_booking(**changes: object) -> KeptBooking:
    place = a_place(1, "2027-03-12 08:30", "2027-03-16 10:00", typical="2027-03-16 09:20")
    values = {"request_id": 1, "uid": UID, "sequence": 3, "place": place, "made_at": NOON, "changed_at": NOON}
    return KeptBooking(**{**values, **changes})  # type: ignore[arg-type]


@pytest.fixture
def request_(desk: Desk) -> Request:
    return accept(desk.store)


def lines(text: str) -> list[str]:
    """Content lines, unfolded (RFC 5545 3.1)."""
    return text.replace("\r\n ", "").split("\r\n")


def event(text: str) -> dict[str, object]:
    (found,) = Calendar.from_ical(text).walk("VEVENT")
    return found  # type: ignore[no-any-return]


@pytest.mark.parametrize("method", WRITERS)
def test_lines_end_with_crlf_and_are_folded_at_75_octets(request_: Request, method: str) -> None:
    """RFC 5545 3.1; a fold never cuts a character in two."""
    text = WRITERS[method](a_booking(), replace(request_, locale="de"), BOOK)

    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))


@pytest.mark.parametrize("method", WRITERS)
def test_what_every_calendar_and_event_must_have_once(request_: Request, method: str) -> None:
    """RFC 5545 3.6 (VERSION, PRODID) and 3.6.1 (UID, DTSTAMP; DTSTART where a METHOD is there)."""
    found = lines(WRITERS[method](a_booking(), request_, BOOK))

    assert found[0] == "BEGIN:VCALENDAR"
    for name in ("VERSION", "PRODID", "METHOD", "UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "SUMMARY", "ORGANIZER", "STATUS"):
        assert len([line for line in found if re.split("[:;]", line)[0] == name]) == 1, name
    assert f"METHOD:{method}" in found
    assert "VERSION:2.0" in found


@pytest.mark.parametrize(
    ("method", "status", "attendees"),
    [("REQUEST", "CONFIRMED", 1), ("CANCEL", "CANCELLED", 1), ("PUBLISH", "CONFIRMED", 0)],
)
def test_each_method_carries_what_it_may(request_: Request, method: str, status: str, attendees: int) -> None:
    """RFC 5546 3.2.2 (a request names organizer and attendee), 3.2.5 (a cancellation's status), 3.2.1 (a publication has no attendee)."""
    found = lines(WRITERS[method](a_booking(), request_, BOOK))

    assert f"STATUS:{status}" in found
    assert len([line for line in found if line.startswith("ATTENDEE")]) == attendees
    assert next(line for line in found if line.startswith("ORGANIZER")).endswith(f"mailto:{BOOK.shop.email}")


def test_one_event_for_ever_with_a_rising_sequence(request_: Request) -> None:
    """RFC 5545 3.8.4.7 (UID) and 3.8.7.4 (SEQUENCE), RFC 5546 2.1.4."""
    texts = [ics.invitation(a_booking(sequence=0), request_, BOOK), ics.cancellation(a_booking(sequence=1), request_, BOOK)]

    assert {str(event(text)["UID"]) for text in texts} == {UID}
    assert [int(event(text)["SEQUENCE"]) for text in texts] == [0, 1]  # type: ignore[call-overload]


def test_times_are_utc_so_that_no_time_zone_has_to_be_defined(request_: Request) -> None:
    """RFC 5545 3.3.5, form 2; a TZID would need its VTIMEZONE (3.6.5). The clock goes forward on 14 March 2027 in New York
    (second Sunday in March, 15 U.S.C. 260a): 8:30 is 13:30 UTC before and 12:30 after."""
    text = ics.invitation(a_booking(), request_, BOOK)
    after = ics.invitation(a_booking(place=a_place(1, "2027-03-15 08:30", "2027-03-16 10:00")), request_, BOOK)

    assert "TZID" not in text
    assert "DTSTART:20270312T133000Z" in lines(text)
    assert "DTSTART:20270315T123000Z" in lines(after)
    assert event(text)["DTSTART"].dt == at("2027-03-12 08:30")  # type: ignore[attr-defined]
    assert event(text)["DTEND"].dt == at("2027-03-16 09:20")  # type: ignore[attr-defined]
    assert event(text)["DTSTAMP"].dt == NOON  # type: ignore[attr-defined]


def test_a_time_in_the_hour_that_comes_twice_is_unmistakable(request_: Request) -> None:
    """7 November 2027, New York: 1:30 comes twice, an hour apart."""
    first, second = (datetime(2027, 11, 7, 1, 30, tzinfo=at("2027-11-07 00:00").tzinfo, fold=fold) for fold in (0, 1))
    place = a_place(1, "2027-11-05 08:30", "2027-11-09 10:00")
    starts = [replace(place, booking=replace(place.booking, start=start)) for start in (first, second)]
    found = [lines(ics.published(a_booking(place=start), request_, BOOK)) for start in starts]

    assert "DTSTART:20271107T053000Z" in found[0]
    assert "DTSTART:20271107T063000Z" in found[1]


def test_a_name_can_not_smuggle_anything_in(request_: Request) -> None:
    """RFC 5545 3.2: no quotes or line ends in a parameter; 3.3.11: commas, semicolons and line ends of a text are escaped."""
    hostile = Contact('Mara "X";PARTSTAT=DECLINED:\r\nATTENDEE:mailto:evil@example.org', "mara@ellison.example", None, None, "en_US")
    book = replace(BOOK, shop=replace(BOOK.shop, name="Film, Wax; and\nmore"))
    text = ics.invitation(a_booking(), replace(request_, contact=hostile), book)
    found = lines(text)

    assert len([line for line in found if line.startswith("ATTENDEE")]) == 1
    assert [str(each) for each in event(text).get("ATTENDEE", "").split(",")] == ["mailto:mara@ellison.example"]  # type: ignore[attr-defined]
    assert len([line for line in found if line.startswith("SUMMARY")]) == 1
    assert str(event(text)["LOCATION"]) == f"Film, Wax; and\nmore, {BOOK.shop.town}"


def test_the_visitors_language_is_said_and_used(request_: Request) -> None:
    """RFC 5545 3.2.10: LANGUAGE is a language tag of RFC 5646."""
    found = lines(ics.invitation(a_booking(), replace(request_, locale="de"), BOOK))
    summary = next(line for line in found if line.startswith("SUMMARY"))

    assert summary.startswith("SUMMARY;LANGUAGE=de:Auto zu ")


def a_job(request: Request, state: State = State.SCHEDULED) -> BookedJob:
    return BookedJob(
        booking=a_booking(), reference=request.reference, state=state, name=request.contact.name, car=request.car, body=request.body,
        package=request.package, edges=request.edges,
    )  # fmt: skip


def test_the_feed_names_no_person(request_: Request) -> None:
    text = ics.feed((a_job(request_),), BOOK, "en_US")

    assert request_.reference in text
    assert request_.car.description in text
    for personal in ("Ellison", "mara", "ABC 123", "2025550123", "ATTENDEE", "ORGANIZER"):
        assert personal not in text, personal


def test_the_feed_is_a_calendar_that_says_its_name_and_how_often_to_ask(request_: Request) -> None:
    """RFC 7986 5.1 (NAME) and 5.7 (REFRESH-INTERVAL, whose VALUE must be given)."""
    found = lines(ics.feed((a_job(request_), a_job(request_, State.ACCEPTED)), BOOK, "en_US"))

    assert f"NAME:{BOOK.shop.name}: bays" in found
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT30M" in found
    assert [line for line in found if line.startswith("STATUS")] == ["STATUS:CONFIRMED", "STATUS:TENTATIVE"]


def test_the_feed_shows_how_long_the_bay_is_held(request_: Request) -> None:
    (found,) = Calendar.from_ical(ics.feed((a_job(request_),), BOOK, "en_US")).walk("VEVENT")

    assert found["DTEND"].dt == at("2027-03-16 10:00").astimezone(UTC)
    assert str(found["UID"]) != UID, "another view of the job than the visitor's own event"


@pytest.mark.parametrize("method", ["REQUEST", "CANCEL"])
def test_the_mail_says_which_method_its_attachment_has(request_: Request, method: str) -> None:
    """RFC 6047 2.4 (from memory): the content type carries the method, the same as in the calendar."""
    text = WRITERS[method](a_booking(), request_, BOOK)
    mail = ReadyMail("shop@film.example", "Film", "mara@ellison.example", "Subject", "Text", text, "id", "en_US", NOON)
    (part,) = to_message(mail).iter_attachments()

    assert part.get_content_type() == "text/calendar"
    assert part.get_param("method") == method
    assert part.get_payload(decode=True).replace(b"\r\n", b"\n") == text.encode().replace(b"\r\n", b"\n")

"""Appointments for calendar programs: iCalendar (RFC 5545), sent by mail as iTIP messages (RFC 5546).

One event for one request for ever: the UID stays, SEQUENCE rises with every change (RFC 5545 3.8.7.4, RFC 5546 2.1.4). Times are
written in UTC (RFC 5545 3.3.5, form 2), which no clock change can move and which needs no time zone definition.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vCalAddress, vText

from configurator.domain.appointments import BookedJob, KeptBooking
from configurator.domain.desk import Request
from configurator.domain.price_book import PriceBook
from configurator.wording.phones import phone
from configurator.wording.words import Words, words_for

PRODUCT = "-//Tuckline//Appointments 1//EN"
REFRESH = timedelta(minutes=30)


def invitation(booking: KeptBooking, request: Request, book: PriceBook) -> str:
    """The appointment, new or moved (METHOD:REQUEST, RFC 5546 3.2.2), for the mail to the visitor."""
    event = _appointment(booking, request, book)
    event.add("attendee", _attendee(request))
    return _written("REQUEST", event)


def cancellation(booking: KeptBooking, request: Request, book: PriceBook) -> str:
    """Takes the appointment back (METHOD:CANCEL, RFC 5546 3.2.5): the same event, one sequence number on."""
    event = _appointment(booking, request, book)
    event.add("attendee", _attendee(request))
    event["status"] = vText("CANCELLED")
    return _written("CANCEL", event)


def published(booking: KeptBooking, request: Request, book: PriceBook) -> str:
    """The appointment as a file to be opened (METHOD:PUBLISH, RFC 5546 3.2.1: names no attendee)."""
    return _written("PUBLISH", _appointment(booking, request, book))


def feed(jobs: tuple[BookedJob, ...], book: PriceBook, locale: str) -> str:
    """The shop's bookings for its own calendar program. No person in it: reference, car and bay."""
    say = words_for(locale)
    calendar = _calendar("PUBLISH")
    calendar.add("name", say.gettext("%(shop)s: bays") % {"shop": book.shop.name})  # RFC 7986 5.1
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})  # RFC 7986 5.7
    for job in jobs:
        calendar.add_component(_bay_event(job, say))
    return _text(calendar)


def _appointment(booking: KeptBooking, request: Request, book: PriceBook) -> Event:
    say, place, shop = words_for(request.locale), booking.place, book.shop
    event = _event(booking, f"{booking.uid}", place.drop_off, place.typical_end)
    facts = {"shop": shop.name, "reference": request.reference}
    event.add("summary", say.gettext("Car to %(shop)s (%(reference)s)") % facts, parameters={"LANGUAGE": say.language_tag})
    event.add("description", _description(booking, book, say), parameters={"LANGUAGE": say.language_tag})
    event.add("location", f"{shop.name}, {shop.town}")
    organizer = vCalAddress(f"mailto:{shop.email}")
    organizer.params["CN"] = shop.name
    event.add("organizer", organizer)
    event.add("status", "CONFIRMED")
    event.add("transp", "TRANSPARENT")  # the car is away, its owner isn't busy
    return event


def _description(booking: KeptBooking, book: PriceBook, say: Words) -> str:
    zone = ZoneInfo(book.hours.time_zone)
    place = booking.place
    times = {
        "drop_off": say.datetime(place.drop_off.astimezone(zone), "full"),
        "typical": say.datetime(place.typical_end.astimezone(zone), "full"),
        "late": say.datetime(place.late_end.astimezone(zone), "full"),
    }
    lines = [
        say.gettext("Bring your car on %(drop_off)s.") % times,
        say.gettext("It is usually ready on %(typical)s.") % times,
        say.gettext("If the work takes longer: on %(late)s.") % times if place.late_end > place.typical_end else "",
        say.gettext("Times are local times at the shop. Questions: %(phone)s") % {"phone": phone(book.shop.phone)},
    ]
    return "\n".join(line for line in lines if line)


def _attendee(request: Request) -> vCalAddress:
    """The visitor has agreed already, and no answer is read: RSVP=FALSE (RFC 5545 3.2.17)."""
    attendee = vCalAddress(f"mailto:{request.contact.email}")
    attendee.params["CN"] = request.contact.name
    attendee.params["PARTSTAT"] = "ACCEPTED"
    attendee.params["RSVP"] = "FALSE"
    return attendee


def _bay_event(job: BookedJob, say: Words) -> Event:
    place = job.booking.place
    event = _event(job.booking, f"{job.booking.uid}-bay", place.drop_off, place.late_end)
    facts = {"reference": job.reference, "car": job.car.description or say.name("body", job.body), "bay": place.bay}
    event.add("summary", say.gettext("Bay %(bay)s: %(reference)s, %(car)s") % facts)
    event.add("status", "TENTATIVE" if job.state.value == "accepted" else "CONFIRMED")
    event.add("transp", "TRANSPARENT")
    event.add("class", "PRIVATE")
    return event


def _event(booking: KeptBooking, uid: str, start: datetime, end: datetime) -> Event:
    event = Event()
    event.add("uid", uid)
    event.add("sequence", booking.sequence)
    event.add("dtstamp", booking.changed_at.astimezone(UTC))
    event.add("created", booking.made_at.astimezone(UTC))
    event.add("last-modified", booking.changed_at.astimezone(UTC))
    event.add("dtstart", start.astimezone(UTC))
    event.add("dtend", _whole_minute(end).astimezone(UTC))
    return event


def _whole_minute(moment: datetime) -> datetime:
    """The minute that has begun: nobody plans seconds."""
    return moment.replace(second=0, microsecond=0)


def _calendar(method: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", method)
    return calendar


def _written(method: str, event: Event) -> str:
    calendar = _calendar(method)
    calendar.add_component(event)
    return _text(calendar)


def _text(calendar: Calendar) -> str:
    """Content lines with CRLF, folded at 75 octets (RFC 5545 3.1)."""
    written: bytes = calendar.to_ical()
    return written.decode()

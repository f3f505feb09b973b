"""The visitor's appointment on the private page, and as a file for their calendar: `/r/<token>/appointment.ics`."""

from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint, Response, abort, make_response

from configurator.domain.appointments import KeptBooking
from configurator.domain.desk import Request
from configurator.domain.review import State
from configurator.services.places import ics
from configurator.web.private.guard import request_of
from configurator.web.request_reading import shop_time
from configurator.web.wiring import wired

ANNOUNCED = {State.SCHEDULED, State.IN_BAY}
"""States in which the booking is an appointment; before, it is only held."""


@dataclass(frozen=True)
class Appointment:
    """On the shop's clock. `is_held`: held by the acceptance, and not confirmed yet."""

    drop_off: datetime
    typical_end: datetime
    late_end: datetime
    is_held: bool


def appointment_of(kept: Request) -> Appointment | None:
    """What the private page shows of the calendar."""
    booking = _booking(kept)
    if booking is None or kept.state not in {*ANNOUNCED, State.ACCEPTED}:
        return None
    place = booking.place
    drop_off, typical_end, late_end = (shop_time(moment) for moment in (place.drop_off, place.typical_end, place.late_end))
    return Appointment(drop_off, typical_end, late_end, is_held=kept.state not in ANNOUNCED)


def appointment_file(token: str) -> Response:
    """The appointment for a calendar program; 404 while there is none."""
    kept = request_of(token)
    booking = _booking(kept)
    if booking is None or kept.state not in ANNOUNCED:
        abort(404)
    response = make_response(ics.published(booking, kept, wired().shop.book).encode())
    response.content_type = "text/calendar; charset=utf-8; method=PUBLISH"
    response.headers["Content-Disposition"] = f'attachment; filename="{kept.reference}.ics"'
    return response


def add_to(blueprint: Blueprint) -> None:
    """Adds this address, and the appointment for the page's own template."""
    blueprint.add_url_rule("/<token>/appointment.ics", "appointment", appointment_file)
    blueprint.add_app_template_global(appointment_of)


def _booking(kept: Request) -> KeptBooking | None:
    with wired().store.reading() as work:
        booking = work.bookings.of(kept)
    return booking if booking and booking.holds else None

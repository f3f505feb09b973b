"""The mails about appointments, each with the event for the visitor's calendar, in the transaction that changes the place."""

from configurator.domain.appointments import KeptBooking
from configurator.domain.desk import Request
from configurator.domain.message import Fact
from configurator.services.desk import Desk
from configurator.services.mail import mailing
from configurator.services.places import ics
from configurator.services.ports import Work


def made_or_moved(request: Request, booking: KeptBooking, before: KeptBooking | None, desk: Desk, work: Work) -> None:
    """The visitor's appointment; `before` is the one it replaces. Another bay at the same time is the shop's own business."""
    if before and _times(before) == _times(booking):
        return
    kind = "appointment_moved" if before else "appointment_made"
    mailing.to_visitor(
        request,
        desk,
        work,
        kind,
        calendar=ics.invitation(booking, request, desk.book),
        drop_off=mailing.shop_time(booking.place.drop_off, desk),
        hand_back=mailing.shop_time(booking.place.typical_end, desk),
        late_hand_back=mailing.shop_time(booking.place.late_end, desk),
        before=mailing.shop_time(before.place.drop_off, desk) if before else None,
    )


def missed(request: Request, released: KeptBooking | None, desk: Desk, work: Work) -> None:
    """The car didn't come: the appointment is off, another can be made."""
    mailing.to_visitor(request, desk, work, "appointment_missed", calendar=_cancelled(request, released, desk), **_was(released, desk))


def cancelled(request: Request, released: KeptBooking | None, desk: Desk, work: Work) -> None:
    """The customer has taken the request back; `released` is the appointment that falls away, where one was announced."""
    mailing.to_visitor(
        request,
        desk,
        work,
        "request_cancelled",
        calendar=_cancelled(request, released, desk),
        terms=desk.book.terms.cancellation_text.read_in(request.locale) or desk.book.terms.cancellation,
        **_was(released, desk),
    )


def _cancelled(request: Request, released: KeptBooking | None, desk: Desk) -> str | None:
    return ics.cancellation(released, request, desk.book) if released else None


def _was(released: KeptBooking | None, desk: Desk) -> dict[str, Fact | None]:
    return {"drop_off": mailing.shop_time(released.place.drop_off, desk) if released else None}


def _times(booking: KeptBooking) -> tuple[object, ...]:
    return booking.place.drop_off, booking.place.typical_end, booking.place.late_end

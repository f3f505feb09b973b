"""What must be in the house before the cars come that have a place in the bay."""

from collections.abc import Sequence
from dataclasses import dataclass

from configurator.domain.bay.job import Order
from configurator.domain.bay.ordering import order_of
from configurator.domain.desk import Request
from configurator.domain.price_book import PriceBook
from configurator.domain.review import State
from configurator.services.bay.today import Appointment, appointment_of
from configurator.services.ports import Work


@dataclass(frozen=True)
class Expected:
    """A car that is expected."""

    request: Request
    appointment: Appointment | None


def orders(work: Work) -> Sequence[Expected]:
    """The scheduled cars, first come first."""
    found = [Expected(request, appointment_of(request, work)) for request in work.bay.requests_in((State.SCHEDULED,))]
    return tuple(
        sorted(found, key=lambda one: (one.appointment is None, one.appointment.drop_off if one.appointment else one.request.received_at))
    )


def order_for(request: Request, book: PriceBook) -> Order:
    """The order list of one of them, from the scope as it was agreed."""
    return order_of(request.reference, request.estimate.film, request.estimate.parts, book)

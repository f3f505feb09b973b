"""Bookings for tests: the demo shop's calendar, made-up jobs, and requests that are already accepted."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from configurator.domain.agenda import Agenda, Taken
from configurator.domain.appointments import Choice, Place, place_at
from configurator.domain.desk import VISITOR, Event, Person, Request
from configurator.domain.review import Actor, State
from configurator.domain.timeline import Booking
from configurator.domain.work import Operation
from configurator.services import estimating
from configurator.services.desk import Desk
from configurator.services.links import Links
from configurator.services.ports import Store
from configurator.web.letters import TemplateLetters
from configurator.wire.selection import dump_selection, load_selection
from tests.desk_builders import NOON, a_new_request
from tests.shops import demo_shop

ZONE = ZoneInfo("America/New_York")
ROBIN = Person(Actor.ADVISOR, None, "Robin Hale")
SEDAN = {"version": 1, "vehicle": {"body": "sedan"}, "coverage": {"package": "full_front"}, "region": "us"}


def at(text: str) -> datetime:
    """`2027-03-15 08:30` on the shop's clock."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def a_place(bay: int = 1, start: str = "2027-03-15 08:30", end: str = "2027-03-17 10:00", typical: str = "", **hands: Any) -> Place:
    """A place without a job behind it."""
    return Place(Booking(bay, at(start), at(end), **hands), at(typical or end), 2, 2, None)


def taken(reference: str, place: Place) -> Taken:
    return Taken(reference, place.booking)


def an_agenda(*places: Place, **more: Any) -> Agenda:
    return Agenda(tuple(taken(f"R-{number}", place) for number, place in enumerate(places, start=1)), **more)


def placed(operations: Sequence[Operation], start: str, bay: int = 1) -> Place:
    """A job in the demo shop, brought at a moment."""
    shop = demo_shop()
    return place_at(operations, shop.calendar, Choice(at(start), bay), bay, shop.book)


def accept(store: Store, number: int = 1, **changes: Any) -> Request:
    """A request that the visitor has accepted, without its quote: these tests are about what comes after."""
    with store.writing() as work:
        kept = work.requests.add(a_new_request(number, **{"selection": SEDAN, "body": "sedan", **changes}))
        event = Event(at=NOON, by=VISITOR, kind="moved", source=State.QUOTED, target=State.ACCEPTED)
        return work.requests.move(kept, State.ACCEPTED, event)


def desk_over(store: Store, now: datetime = NOON) -> Desk:
    """A desk of the demo shop over any store, with a clock that stands still."""
    shop = demo_shop()
    return Desk(
        store=store,
        clock=lambda: now,
        shop=shop,
        book=shop.book,
        closed_days=shop.closed_days,
        estimate=lambda selection: estimating.estimate(shop, selection),
        light=lambda selection, measured: estimating.light(shop, selection, measured),
        dump_selection=dump_selection,
        load_selection=load_selection,
        letters=TemplateLetters(),
        links=Links("a test secret that is long enough to be one"),
    )


def found(reference: str, desk: Desk) -> Request:
    with desk.store.reading() as work:
        request = work.requests.by_reference(reference)
    assert request is not None
    return request

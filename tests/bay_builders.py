"""Cars in the bay for tests: a request that is moved to `scheduled` by the table's own moves, and checked in."""

from datetime import datetime, timedelta
from typing import Any

from configurator.domain.bay.check_in import CheckInDraft
from configurator.domain.desk import CLOCK, VISITOR, Event, Person, Request
from configurator.domain.review import Actor, Need, State, check_move
from configurator.services.bay.checking_in import check_in
from configurator.services.bay.office import Office
from configurator.services.ports import Store, Work
from configurator.web.wiring import Wiring

INES = Person(Actor.OWNER, None, "Ines Calder")
WAY: tuple[tuple[State, Person, tuple[Need, ...]], ...] = (
    (State.IN_REVIEW, INES, ()),
    (State.QUOTED, INES, (Need.SETTLED_CAUTIONS, Need.REASON_PER_CHANGE, Need.EXPIRY_WITHIN_HELD_DATES)),
    (State.ACCEPTED, VISITOR, (Need.CURRENT_QUOTE, Need.NAME_TYPED, Need.ACKNOWLEDGEMENTS)),
    (State.SCHEDULED, INES, (Need.FREE_PLACE,)),
)
"""How a request gets a place in the bay: each move of the table with what it needs."""


def found(reference: str, work: Work) -> Request:
    request = work.requests.by_reference(reference)
    assert request is not None
    return request


def move_on(reference: str, store: Store, now: datetime, *, to: State = State.SCHEDULED) -> Request:
    """The request, moved along `WAY` up to a state."""
    with store.writing() as work:
        request = found(reference, work)
        for target, by, met in WAY:
            check_move(request.state, target, by.actor, met)
            event = Event(at=now, by=by, kind="moved", source=request.state, target=target)
            request = work.requests.move(request, target, event)
            if target is to:
                break
        return request


def schedule(wiring: Wiring, reference: str) -> Request:
    """The request with a place in the bay."""
    return move_on(reference, wiring.store, wiring.clock())


def a_check_in(**changes: Any) -> CheckInDraft:
    """What is typed at check-in."""
    values: dict[str, Any] = {
        "odometer": "12,345",
        "keys": "2",
        "key_tag": "14",
        "fuel_percent": "60",
        "items": "Child seat",
        "damage": (("hood", "chip", "two, near the badge"), ("", "chip", "")),
        "readings": (("hood", "118 121"),),
        "signed": "Mara Ellison",
    }
    return CheckInDraft(**{**values, **changes})


def bring_in(reference: str, office: Office, by: Person = INES, **changes: Any) -> Request:
    """The scheduled request, checked in."""
    with office.store.reading() as work:
        request = found(reference, work)
    return check_in(reference, request.revision, a_check_in(**changes), by, office)


def later(now: datetime, **span: float) -> datetime:
    return now + timedelta(**span)


__all__ = ["CLOCK", "INES", "a_check_in", "bring_in", "found", "later", "move_on", "schedule"]

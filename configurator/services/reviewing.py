"""What the desk does with a request before a quote: open, take, note, decline, withdraw; and the moves in general."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from configurator.domain.desk import VISITOR, Event, Person, Request
from configurator.domain.message import Fact
from configurator.domain.review import Need, State, check_move
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import checked_text
from configurator.services.desk import Desk
from configurator.services.links import token_hash
from configurator.services.mail import mailing
from configurator.services.ports import ChangedMeanwhile, Work

LONGEST_REASON = 500
LONGEST_NOTE = 2000
NO_FACTS: Mapping[str, Fact] = MappingProxyType({})


class NoSuchRequest(TucklineError):
    """No request with this reference or link."""

    code = "not_found"


@dataclass(frozen=True)
class RequestWithHistory:
    request: Request
    history: tuple[Event, ...]


def find(reference: str, work: Work) -> Request:
    """The request with this reference. Raises NoSuchRequest."""
    found = work.requests.by_reference(reference)
    if found is None:
        raise NoSuchRequest(reference)
    return found


def find_as_read(reference: str, revision: int, work: Work) -> Request:
    """The request, if nobody has changed it since its page was shown. Raises NoSuchRequest, ChangedMeanwhile."""
    request = find(reference, work)
    if request.revision != revision:
        raise ChangedMeanwhile(reference)
    return request


def find_by_token(token: str, work: Work) -> Request:
    """The request of a private link. Raises NoSuchRequest."""
    found = work.requests.by_link(token_hash(token))
    if found is None:
        raise NoSuchRequest
    return found


def open_request(reference: str, by: Person, desk: Desk) -> RequestWithHistory:
    """Shows a request to a staff member; the first time is noted, so that the inbox knows what nobody has read."""
    with desk.store.reading() as work:
        request = find(reference, work)
        history = work.requests.history(request.id)
    if request.opened_at is not None:
        return RequestWithHistory(request, history)
    with desk.store.writing() as work:
        work.requests.mark_opened(request, Event(at=desk.clock(), by=by, kind="opened"))
        request = find(reference, work)
        return RequestWithHistory(request, work.requests.history(request.id))


def take(reference: str, revision: int, by: Person, desk: Desk) -> Request:
    """Makes the request this person's; a new or an expired one goes into review. Raises MoveRefused, ChangedMeanwhile."""
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        if request.state in {State.RECEIVED, State.EXPIRED}:
            request = move(request, State.IN_REVIEW, by, desk, work)
        event = Event(at=desk.clock(), by=by, kind="assigned", facts={"to": by.name})
        return work.requests.assign(request, by.id, event)


def hand_to(reference: str, revision: int, user_id: int | None, by: Person, desk: Desk) -> Request:
    """Gives the request to somebody else of the desk, or to no one (None)."""
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        user = work.users.by_id(user_id) if user_id is not None else None
        if user_id is not None and (user is None or not user.is_active):
            raise InvalidInput([Fault("to", "unknown_id", {"id": user_id})])
        event = Event(at=desk.clock(), by=by, kind="assigned", facts={"to": user.name if user else ""})
        return work.requests.assign(request, user_id, event)


def add_note(reference: str, text: str, by: Person, desk: Desk) -> None:
    """A note inside the shop; it changes nothing else, so it never collides with another editor."""
    note = _typed(text, "note", longest=LONGEST_NOTE)
    with desk.store.writing() as work:
        work.requests.record(find(reference, work).id, Event(at=desk.clock(), by=by, kind="noted", reason=note))


def decline(reference: str, revision: int, reason: str, by: Person, desk: Desk) -> Request:
    """The shop says no, with a reason that the visitor reads."""
    typed = _typed(reason, "reason", longest=LONGEST_REASON)
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        declined = move(request, State.DECLINED, by, desk, work, met=[Need.REASON], reason=typed)
        mailing.to_visitor(declined, desk, work, "request_declined", reason=typed)
        return declined


def withdraw(token: str, desk: Desk, *, reason: str = "") -> Request:
    """The visitor takes the request back on the private page."""
    typed = _typed(reason, "reason", longest=LONGEST_REASON, required=False)
    with desk.store.writing() as work:
        request = find_by_token(token, work)
        withdrawn = move(request, State.WITHDRAWN, VISITOR, desk, work, reason=typed)
        mailing.to_visitor(withdrawn, desk, work, "request_withdrawn")
        mailing.to_shop(withdrawn, desk, work, "request_withdrawn_shop")
        return withdrawn


def move(
    request: Request,
    target: State,
    by: Person,
    desk: Desk,
    work: Work,
    *,
    met: Iterable[Need] = (),
    reason: str = "",
    facts: Mapping[str, Fact] = NO_FACTS,
) -> Request:
    """One move, checked against the table and written with who, when and why. Raises MoveRefused, ChangedMeanwhile."""
    check_move(request.state, target, by.actor, met)
    event = Event(at=desk.clock(), by=by, kind="moved", source=request.state, target=target, reason=reason, facts=facts)
    return work.requests.move(request, target, event)


def _typed(text: str, path: str, *, longest: int, required: bool = True) -> str:
    faults: list[Fault] = []
    tidy = checked_text(text, path, faults, longest=longest, required=required, lines=True)
    if faults:
        raise InvalidInput(faults)
    return tidy

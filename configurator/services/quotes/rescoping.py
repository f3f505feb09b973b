"""Another scope for a request, estimated with the price book in force; what the visitor sent is kept beside it."""

from configurator.domain.desk import Event, Person, Request
from configurator.domain.estimate import Estimate
from configurator.domain.kept_estimate import KeptEstimate, keep
from configurator.domain.lamps import needs_acknowledging, submission_faults
from configurator.domain.message import Fact
from configurator.domain.quote_rules import still_acknowledged
from configurator.domain.quoting import NewScope, Original
from configurator.domain.review import Need, State, check_move
from configurator.domain.selection import Selection
from configurator.errors import Fault, InvalidInput
from configurator.services.contacts import checked_text
from configurator.services.desk import Desk
from configurator.services.reviewing import LONGEST_REASON, find_as_read


def rescope(reference: str, revision: int, selection: Selection, reason: str, by: Person, desk: Desk) -> Request:
    """Puts the desk's scope in place. Lines that were adjusted on another figure must be looked at again before a quote goes out.

    Raises InvalidInput (the selection, nothing chosen, a film that isn't sold, no reason), MoveRefused, ChangedMeanwhile. The same
    scope at the same prices again changes nothing.
    """
    faults: list[Fault] = []
    typed = checked_text(reason, "reason", faults, longest=LONGEST_REASON, lines=True)
    if not typed:
        faults.append(Fault("reason", "reason_per_change"))
    estimate = _estimated(selection, faults, desk)
    if faults or estimate is None:
        raise InvalidInput(faults)
    kept = keep(estimate, desk.book)
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        check_move(request.state, State.QUOTED, by.actor, Need)
        document = desk.dump_selection(estimate.selection)
        if document == request.selection and kept.price_book == request.estimate.price_book:
            return request
        original = work.scopes.original(request) or original_of(request)
        scope = NewScope(
            selection=document,
            estimate=kept,
            body=estimate.selection.vehicle.body,
            package=estimate.selection.package.value,
            region=estimate.selection.region or desk.book.default_region,
            edges=estimate.selection.edges.value,
            acknowledged=still_acknowledged(original, kept.light) & set(needs_acknowledging(kept.light)),
        )
        return work.scopes.change(request, scope, _event(request.estimate, kept, typed, by, desk))


def original_of(request: Request) -> Original:
    """The request as it stands, as the visitor's own."""
    return Original(request.selection, request.estimate, request.acknowledged)


def _estimated(selection: Selection, faults: list[Fault], desk: Desk) -> Estimate | None:
    try:
        estimate = desk.estimate(selection)
    except InvalidInput as error:
        faults.extend(error.faults)
        return None
    if estimate.reason is not None:
        faults.append(Fault("selection", estimate.reason))
    region = estimate.selection.region or desk.book.default_region
    faults.extend(submission_faults(estimate.light, needs_acknowledging(estimate.light), region, desk.book))
    return estimate


def _event(before: KeptEstimate, after: KeptEstimate, reason: str, by: Person, desk: Desk) -> Event:
    facts: dict[str, Fact] = {"before": before.price.typical, "after": after.price.typical, "currency": after.price.currency}
    return Event(at=desk.clock(), by=by, kind="scope_changed", reason=reason, facts=facts)

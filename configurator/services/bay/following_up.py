"""A new request out of a coverage record: one panel to be replaced or claimed, with its film and batch known."""

from configurator.domain.bay.coverage import Coverage
from configurator.domain.bay.follow_up import FollowUp, FollowUpKind, selection_for
from configurator.domain.desk import VISITOR, Person, Request
from configurator.domain.lamps import needs_acknowledging
from configurator.domain.review import RequestDraft, SubmittedRequest
from configurator.domain.selection import Selection
from configurator.errors import Fault, InvalidInput
from configurator.services.bay.office import Office
from configurator.services.contacts import LONGEST, checked_text
from configurator.services.submitting import submit


def follow_up(
    request: Request, record: Coverage, office: Office, *, panel: str, kind: str, notes: str, key: str, by: Person = VISITOR
) -> SubmittedRequest:
    """Sends the new request and links it to the record. `key` is the form's own mark: the same form again sends nothing new.

    What was acknowledged for a lamp then holds again: it is the same film on the same lamp. Raises InvalidInput.
    """
    covered = record.panel(panel)
    faults: list[Fault] = []
    told = checked_text(notes, "notes", faults, longest=LONGEST["notes"], required=True, lines=True)
    if covered is None:
        faults.append(Fault("panel", "choose_one"))
    if kind not in set(FollowUpKind):
        faults.append(Fault("kind", "choose_one"))
    if faults or covered is None:
        raise InvalidInput(faults)
    desk = office.desk
    wanted = selection_for(panel, desk.load_selection(dict(record.selection)))
    draft = _draft(request, wanted, told, office)
    sent = submit(draft, desk, idempotency_key=f"follow-up {key}", by=by)
    with office.store.writing() as work:
        new = work.requests.by_reference(sent.reference)
        if new is not None and work.bay.follow_up(new.id) is None:
            work.bay.add_follow_up(
                FollowUp(
                    request_id=new.id,
                    origin_id=request.id,
                    panel=panel,
                    kind=FollowUpKind(kind),
                    film=covered.films[0].film,
                    batches=tuple(batch for film in covered.films for batch in film.batches),
                )
            )
    return sent


def _draft(request: Request, wanted: Selection, told: str, office: Office) -> RequestDraft:
    estimate = office.desk.estimate(wanted)
    return RequestDraft(
        selection=wanted,
        contact=request.contact,
        price_book=office.book.version,
        car=request.car,
        notes=told,
        acknowledged=frozenset(needs_acknowledging(estimate.light)) & request.acknowledged,
        consents=request.consents,
        source=request.source,
    )

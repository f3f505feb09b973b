"""Ticks on a job: checks, signatures, pieces that are cut, seams that are closed; each may come twice."""

from configurator.domain.bay.checks import (
    CHECK,
    PIECE,
    SEAM,
    SECOND,
    SIGNATURE,
    Mark,
    checks_for,
    checks_under,
    fitters,
    good,
    signatures_for,
)
from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import struck_panels
from configurator.domain.desk import Person, Request
from configurator.domain.staff import Right
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.bay.office import NoSuchTask, Office, job_at_work
from configurator.services.bay.scoped import scoped
from configurator.services.bay.working import drop_signatures
from configurator.services.contacts import checked_text
from configurator.services.ports import Work

LONGEST_NOTE = 300
LONGEST_KEY = 120


class NotYetToSign(TucklineError):
    """The list can't be signed by this person or not yet. `reason`: unticked, same_person; `codes` names what isn't ticked."""

    code = "not_yet_to_sign"

    def __init__(self, reason: str, codes: tuple[str, ...] = ()) -> None:
        self.reason, self.codes = reason, codes
        super().__init__(f"{reason} {' '.join(codes)}".rstrip())


def checks_of(request: Request, job: Job, office: Office) -> tuple[str, ...]:
    """The checks that a job calls for."""
    bare = struck_panels(job.tasks)
    known = scoped(job.selection, office.shop)
    lamps = dict.fromkeys(lamp.group for lamp in known.worked.scope.lamps if lamp.id not in bare)
    seals = any(caution.code == "seals" for caution in known.cautions)
    return checks_for(
        job.tasks,
        lamps_off_road=[lamp for lamp in lamps if lamp in request.acknowledged],
        seams=any(seam.panel not in bare for seam in job.seams),
        seals=seals,
    )


def signatures_of(job: Job, work: Work) -> tuple[str, ...]:
    """Whose names belong under the list in this shop."""
    hands = [person for person in work.users.all() if person.may(Right.BAY)]
    return signatures_for(job.tasks, alone=len(hands) < 2)


def tick(reference: str, code: str, by: Person, office: Office, *, is_good: bool = True, note: str = "") -> None:
    """Ticks a check, or says what was found (`is_good` False, with a note); what was found takes the signatures away.

    Raises NoSuchTask, InvalidInput.
    """
    faults: list[Fault] = []
    tidy = checked_text(note, "note", faults, longest=LONGEST_NOTE, required=not is_good, lines=True)
    if faults:
        raise InvalidInput(faults)
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        if code not in checks_of(request, job, office):
            raise NoSuchTask(code)
        before = job.mark(CHECK, code)
        if before is not None and before.is_good and is_good:
            return
        if not is_good:
            drop_signatures(job, work)
        work.bay.put_mark(request.id, Mark(CHECK, code, is_good, tidy, by.id, by.name, office.now()))


def untick(reference: str, code: str, office: Office) -> None:
    """Takes a tick back, and with it the signatures."""
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        if job.mark(CHECK, code) is not None:
            work.bay.remove_mark(request.id, CHECK, code)
            drop_signatures(job, work)


def sign(reference: str, signature: str, by: Person, office: Office) -> None:
    """Signs by name. Raises NotYetToSign, NoSuchTask."""
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        if signature not in signatures_of(job, work):
            raise NoSuchTask(signature)
        asked = checks_under(signature, checks_of(request, job, office))
        missing = tuple(code for code in asked if code not in good(job.marks, CHECK))
        if missing:
            raise NotYetToSign("unticked", missing)
        if signature == SECOND and by.id in fitters(job.tasks):
            raise NotYetToSign("same_person")
        if job.mark(SIGNATURE, signature) is None:
            work.bay.put_mark(request.id, Mark(SIGNATURE, signature, True, "", by.id, by.name, office.now()))


def mark_done(reference: str, kind: str, key: str, by: Person, office: Office, *, is_done: bool = True) -> None:
    """Ticks a piece as cut or a seam as closed, or takes that back. Raises NoSuchTask."""
    if kind not in {PIECE, SEAM} or not 0 < len(key) <= LONGEST_KEY or not key.isascii():
        raise NoSuchTask(key)
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        if is_done and job.mark(kind, key) is None:
            work.bay.put_mark(request.id, Mark(kind, key, True, "", by.id, by.name, office.now()))
        elif not is_done:
            work.bay.remove_mark(request.id, kind, key)

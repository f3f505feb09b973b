"""A finished car goes back to its owner: what is still missing, and the move with its coverage record and the mail about it."""

from collections.abc import Collection
from dataclasses import dataclass

from configurator.domain.bay.checks import CHECK, SECOND, SIGNATURE, good
from configurator.domain.bay.coverage import Coverage, coverage_of
from configurator.domain.bay.film import unnamed
from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import Task, struck_panels, unfinished
from configurator.domain.bay.warranty import care_dates
from configurator.domain.desk import Person, Request
from configurator.domain.estimate import Caution
from configurator.domain.review import Need, State
from configurator.errors import Fault, InvalidInput
from configurator.services import reviewing
from configurator.services.bay.office import NotInBay, Office, job_at_work
from configurator.services.bay.ticking import checks_of, signatures_of
from configurator.services.contacts import checked_text
from configurator.services.mail import mailing
from configurator.services.ports import ChangedMeanwhile, Work
from configurator.services.reviewing import NoSuchRequest

LONGEST_NAME = 120
AFTERWARDS = (
    *("lamp_film_haze", "windshield_wear", "respray_weak", "approval_may_lapse", "inspection_of_dimmed_lamps"),
    *("light_likely_not_road_legal", "light_forbidden", "headlamp_cover_us", "no_rule_known"),
)
"""Cautions that go on holding when the car is back on the road."""


@dataclass(frozen=True)
class Missing:
    """What stands between a car and its owner; all empty: it can go."""

    tasks: tuple[Task, ...]
    checks: tuple[str, ...]
    signatures: tuple[str, ...]
    batches: tuple[tuple[str, str], ...]
    """Film and panel that no batch number stands for."""

    @property
    def met(self) -> tuple[Need, ...]:
        """The needs of the move that are met."""
        return (
            *((Need.TASKS_FINISHED,) if not self.tasks else ()),
            *((Need.CHECKLIST_SIGNED,) if not self.checks and not self.signatures else ()),
            *((Need.BATCHES_NAMED,) if not self.batches else ()),
        )

    @property
    def is_nothing(self) -> bool:
        return not (self.tasks or self.checks or self.signatures or self.batches)


def missing(request: Request, job: Job, office: Office, work: Work) -> Missing:
    """What is still missing on a job."""
    ticked, signed = good(job.marks, CHECK), good(job.marks, SIGNATURE)
    return Missing(
        tasks=unfinished(job.tasks),
        checks=tuple(code for code in checks_of(request, job, office) if code not in ticked),
        signatures=tuple(one for one in signatures_of(job, work) if one not in signed),
        batches=unnamed(job.tasks, job.boxes),
    )


def hand_over(reference: str, revision: int, by: Person, office: Office, *, received_by: str) -> Request:
    """Hands the car over and sends the record, in one transaction.

    `received_by` is the name that the customer typed. Raises InvalidInput, MoveRefused (what is missing), ChangedMeanwhile, NotInBay.
    """
    faults: list[Fault] = []
    name = checked_text(received_by, "received_by", faults, longest=LONGEST_NAME, required=True)
    if faults:
        raise InvalidInput(faults)
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        if request.revision != revision:
            raise ChangedMeanwhile(reference)
        still = missing(request, job, office, work)
        moved = reviewing.move(request, State.HANDED_OVER, by, office.desk, work, met=still.met)
        record = _record(request, job, office, received_by=name)
        work.bay.close(request.id, record, office.now())
        mailing.to_visitor(moved, office.desk, work, "handed_over", first_check=record.care.checks[0] if record.care.checks else None)
        return moved


def draft_record(request: Request, job: Job, office: Office) -> Coverage:
    """The record as it would be if the car went now, for a look before it does."""
    return _record(request, job, office, received_by="")


def record_of(reference: str, work: Work) -> tuple[Request, Coverage]:
    """A request and its coverage record. Raises NoSuchRequest, NotInBay before the hand-over."""
    request = reviewing.find(reference, work)
    record = work.bay.coverage(request.id)
    if record is None:
        raise NotInBay(request.state)
    return request, record


def record_by_token(token: str, work: Work) -> tuple[Request, Coverage]:
    """The same by the private link. Raises NoSuchRequest, also while there is no record."""
    request = reviewing.find_by_token(token, work)
    record = work.bay.coverage(request.id)
    if record is None:
        raise NoSuchRequest
    return request, record


def _record(request: Request, job: Job, office: Office, *, received_by: str) -> Coverage:
    handed_over = office.shop_now()
    second, bare = job.mark(SIGNATURE, SECOND), struck_panels(job.tasks)
    return coverage_of(
        job,
        request.reference,
        handed_over,
        office.book,
        care_dates(handed_over, office.book.after_care, office.calendar.first_open_day),
        checked_by=second.name if second else "",
        cautions=tuple(caution for caution in request.estimate.cautions if caution.code in AFTERWARDS and not _is_bare(caution, bare)),
        received_by=received_by,
    )


def _is_bare(caution: Caution, bare: Collection[str]) -> bool:
    """Whether the caution is about something that got no film after all; of a lamp group both sides."""
    where = caution.where
    return where is not None and (where in bare or {f"{where[:-1]}_left", f"{where[:-1]}_right"} <= set(bare))

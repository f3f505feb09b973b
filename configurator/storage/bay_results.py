"""What finished jobs really took, read back for whoever learns from it."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from configurator.domain.bay.results import FilmResult, Results, TaskResult
from configurator.domain.bay.tasks import TaskState
from configurator.storage.models import BayBoxRow, BayJobRow, BayRemakeRow, BayTaskRow, RequestRow


def read_results(session: Session, since: datetime | None) -> Results:
    """Timed tasks and film of the jobs that were closed, oldest first."""
    closed = [BayJobRow.closed_at.is_not(None), *([BayJobRow.closed_at >= since] if since is not None else [])]
    found = session.execute(
        select(BayJobRow, RequestRow.reference)
        .join(RequestRow, RequestRow.id == BayJobRow.request_id)
        .where(*closed)
        .order_by(BayJobRow.closed_at)
    )
    jobs = {job.request_id: (job, reference) for job, reference in found}
    remakes = list(session.scalars(select(BayRemakeRow).where(BayRemakeRow.request_id.in_(jobs)).order_by(BayRemakeRow.id)))
    return Results(_tasks(session, jobs, remakes), _film(session, jobs, remakes))


def _tasks(session: Session, jobs: dict[int, tuple[BayJobRow, str]], remakes: Iterable[BayRemakeRow]) -> tuple[TaskResult, ...]:
    remade = Counter((remake.request_id, remake.panel) for remake in remakes)
    timed = (BayTaskRow.request_id.in_(jobs), BayTaskRow.state == TaskState.DONE.value, BayTaskRow.minutes.is_not(None))
    results = []
    for task in session.scalars(select(BayTaskRow).where(*timed).order_by(BayTaskRow.finished_at, BayTaskRow.id)):
        job, reference = jobs[task.request_id]
        if task.minutes is not None and task.finished_at is not None:
            results.append(
                TaskResult(
                    reference=reference,
                    finished_at=task.finished_at,
                    body=job.body,
                    edges=job.edges,
                    price_book=job.price_book,
                    key=task.key,
                    kind=task.kind,
                    panel=task.panel,
                    part=task.part,
                    role=task.role,
                    usual=task.usual,
                    planned=task.planned,
                    minutes=task.minutes,
                    remade=remade[task.request_id, task.panel or ""],
                )
            )
    return tuple(results)


def _film(session: Session, jobs: dict[int, tuple[BayJobRow, str]], remakes: Iterable[BayRemakeRow]) -> tuple[FilmResult, ...]:
    planned: defaultdict[tuple[int, str], float] = defaultdict(float)
    for job, _ in jobs.values():
        for roll in job.rolls:
            planned[job.request_id, str(roll["film"])] += float(str(roll["metres"]))
    used: defaultdict[tuple[int, str], float] = defaultdict(float)
    for box in session.scalars(select(BayBoxRow).where(BayBoxRow.request_id.in_(jobs))):
        used[box.request_id, box.film] += box.metres
    again: defaultdict[tuple[int, str], float] = defaultdict(float)
    for remake in remakes:
        again[remake.request_id, remake.film] += remake.metres
    results = []
    for (request_id, film), metres in sorted(used.items()):
        job, reference = jobs[request_id]
        if job.closed_at is not None:
            key = (request_id, film)
            results.append(
                FilmResult(
                    reference=reference,
                    finished_at=job.closed_at,
                    body=job.body,
                    film=film,
                    planned_m=planned[key],
                    used_m=metres,
                    remade_m=again[key],
                )
            )
    return tuple(results)

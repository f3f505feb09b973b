"""Jobs in the bay in the database: opened at check-in, worked on task by task, closed with a coverage record."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import delete, func, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from configurator.domain.bay.checks import Mark
from configurator.domain.bay.coverage import Coverage
from configurator.domain.bay.film import Box, Remake
from configurator.domain.bay.follow_up import FollowUp, FollowUpKind
from configurator.domain.bay.job import Job, NewJob
from configurator.domain.bay.results import Results
from configurator.domain.bay.tasks import Task, TaskState
from configurator.domain.desk import Document, Person, Request
from configurator.domain.review import State
from configurator.domain.work import Kind
from configurator.services.ports import AlreadyThere
from configurator.storage import bay_rows as rows
from configurator.storage.bay_results import read_results
from configurator.storage.models import (
    BayBoxRow,
    BayJobRow,
    BayMarkRow,
    BayRemakeRow,
    BayTaskRow,
    BayTimerRow,
    FollowUpRow,
    RequestRow,
)
from configurator.storage.requests import to_request
from configurator.storage.typed_json import decode, encode


class SqlBay:
    """The jobs of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    # --- jobs

    def open(self, request_id: int, new: NewJob, now: datetime) -> None:
        """Opens a job with its tasks. Raises AlreadyThere when another tablet was faster."""
        self._session.add(rows.job_row(request_id, new, now))
        try:
            self._session.flush()
        except IntegrityError as error:
            raise AlreadyThere("bay_job") from error
        self._session.add_all(rows.task_row(request_id, new.body, task) for task in new.tasks)
        self._session.flush()

    def job(self, request_id: int, *, lock: bool = False) -> Job | None:
        """The job as it is now, with its tasks, ticks and film."""
        statement = select(BayJobRow).where(BayJobRow.request_id == request_id).execution_options(populate_existing=True)
        row = self._session.scalar(statement.with_for_update() if lock else statement)
        if row is None:
            return None
        tasks = self._all(BayTaskRow, BayTaskRow.request_id == request_id, BayTaskRow.place)
        timers = self._all(BayTimerRow, BayTimerRow.task_id.in_([task.id for task in tasks]), BayTimerRow.id)
        return rows.to_job(
            row,
            tasks=tuple(rows.to_task(task, [timer for timer in timers if timer.task_id == task.id]) for task in tasks),
            marks=tuple(rows.to_mark(mark) for mark in self._all(BayMarkRow, BayMarkRow.request_id == request_id, BayMarkRow.at)),
            boxes=tuple(rows.to_box(box) for box in self._all(BayBoxRow, BayBoxRow.request_id == request_id, BayBoxRow.id)),
            remakes=tuple(rows.to_remake(one) for one in self._all(BayRemakeRow, BayRemakeRow.request_id == request_id, BayRemakeRow.id)),
        )

    def cut_plan(self, request_id: int) -> Document | None:
        return self._session.scalar(select(BayJobRow.cut_plan).where(BayJobRow.request_id == request_id))

    def requests_in(self, states: Collection[State]) -> Sequence[Request]:
        """Requests in some states, the longest there first."""
        wanted = select(RequestRow).where(RequestRow.state.in_([state.value for state in states]))
        return tuple(to_request(row) for row in self._session.scalars(wanted.order_by(RequestRow.state_since, RequestRow.id)))

    def close(self, request_id: int, coverage: Coverage, now: datetime) -> None:
        closed = update(BayJobRow).where(BayJobRow.request_id == request_id)
        self._session.execute(closed.values(coverage=encode(coverage), closed_at=now))

    def coverage(self, request_id: int) -> Coverage | None:
        kept = self._session.scalar(select(BayJobRow.coverage).where(BayJobRow.request_id == request_id))
        return decode(Coverage, kept) if kept is not None else None

    # --- tasks

    def start_timer(self, task: Task, by: Person, now: datetime) -> None:
        """One timer a person and task; the job is locked, so looking before writing is enough."""
        running = (BayTimerRow.task_id == task.id, BayTimerRow.user_id == by.id, BayTimerRow.stopped_at.is_(None))
        if self._session.scalar(select(BayTimerRow.id).where(*running)) is None:
            self._session.add(BayTimerRow(task_id=task.id, user_id=by.id, name=by.name, started_at=now, stopped_at=None))
            self._session.flush()

    def stop_timers(self, task: Task, now: datetime, *, user_id: int | None = None) -> None:
        stopped = update(BayTimerRow).where(BayTimerRow.task_id == task.id, BayTimerRow.stopped_at.is_(None))
        if user_id is not None:
            stopped = stopped.where(BayTimerRow.user_id == user_id)
        self._session.execute(stopped.values(stopped_at=now))

    def stop_timers_of(self, user_id: int, now: datetime, *, but: Task) -> None:
        running = (BayTimerRow.user_id == user_id, BayTimerRow.stopped_at.is_(None), BayTimerRow.task_id != but.id)
        self._session.execute(update(BayTimerRow).where(*running).values(stopped_at=now))

    def finish(self, task: Task, *, minutes: float | None, clips: int, by: Person, now: datetime) -> None:
        self._set(task, state=TaskState.DONE, minutes=minutes, clips=clips, by=by, now=now)

    def strike(self, task: Task, *, reason: str, by: Person, now: datetime) -> None:
        self._set(task, state=TaskState.STRUCK, minutes=None, clips=task.clips, by=by, now=now, reason=reason)

    def reopen(self, task: Task) -> None:
        cleared = {"minutes": None, "finished_at": None, "finished_by": "", "finished_by_id": None, "reason": ""}
        self._session.execute(update(BayTaskRow).where(BayTaskRow.id == task.id).values(state=TaskState.OPEN.value, **cleared))

    def last_minutes(self, body: str, kind: Kind) -> Mapping[str, float]:
        """The newest timed task of each panel or part."""
        timed = (BayTaskRow.body == body, BayTaskRow.kind == kind.value, BayTaskRow.minutes.is_not(None), BayTaskRow.panel.is_not(None))
        newest = select(BayTaskRow.panel, func.max(BayTaskRow.finished_at).label("at")).where(*timed).group_by(BayTaskRow.panel).subquery()
        same = (BayTaskRow.panel == newest.c.panel) & (BayTaskRow.finished_at == newest.c.at)
        found = self._session.execute(select(BayTaskRow.panel, BayTaskRow.minutes).join(newest, same).where(*timed))
        return {panel: minutes for panel, minutes in found if panel is not None and minutes is not None}

    # --- ticks, film

    def put_mark(self, request_id: int, mark: Mark) -> None:
        self._session.merge(rows.mark_row(request_id, mark))
        self._session.flush()

    def remove_mark(self, request_id: int, kind: str, key: str) -> None:
        where = (BayMarkRow.request_id == request_id, BayMarkRow.kind == kind, BayMarkRow.key == key)
        self._session.execute(delete(BayMarkRow).where(*where))

    def add_box(self, request_id: int, entry: str, box: Box) -> None:
        known = select(BayBoxRow.id).where(BayBoxRow.request_id == request_id, BayBoxRow.entry == entry)
        if self._session.scalar(known) is None:
            self._session.add(rows.box_row(request_id, entry, box))
            self._session.flush()

    def remove_box(self, request_id: int, box_id: int) -> None:
        self._session.execute(delete(BayBoxRow).where(BayBoxRow.request_id == request_id, BayBoxRow.id == box_id))

    def add_remake(self, request_id: int, entry: str, remake: Remake) -> None:
        known = select(BayRemakeRow.id).where(BayRemakeRow.request_id == request_id, BayRemakeRow.entry == entry)
        if self._session.scalar(known) is None:
            self._session.add(rows.remake_row(request_id, entry, remake))
            self._session.flush()

    # --- afterwards

    def results(self, since: datetime | None = None) -> Results:
        """What finished jobs really took."""
        return read_results(self._session, since)

    def add_follow_up(self, follow_up: FollowUp) -> None:
        self._session.add(
            FollowUpRow(
                request_id=follow_up.request_id,
                origin_id=follow_up.origin_id,
                panel=follow_up.panel,
                kind=follow_up.kind.value,
                film=follow_up.film,
                batches=list(follow_up.batches),
            )
        )
        self._session.flush()

    def follow_up(self, request_id: int) -> FollowUp | None:
        return next(iter(self._follow_ups(FollowUpRow.request_id == request_id)), None)

    def follow_ups_of(self, request_id: int) -> Sequence[FollowUp]:
        return self._follow_ups(FollowUpRow.origin_id == request_id)

    # --- helpers

    def _all(self, kind: Any, condition: Any, order: Any) -> Sequence[Any]:
        found = select(kind).where(condition).order_by(order)
        return tuple(self._session.scalars(found.execution_options(populate_existing=True)))

    def _set(self, task: Task, *, state: TaskState, minutes: float | None, clips: int, by: Person, now: datetime, reason: str = "") -> None:
        who = {"finished_by": by.name, "finished_by_id": by.id, "finished_at": now}
        written = {"state": state.value, "minutes": minutes, "clips": clips, "reason": reason, **who}
        self._session.execute(update(BayTaskRow).where(BayTaskRow.id == task.id).values(**written))

    def _follow_ups(self, condition: Any) -> tuple[FollowUp, ...]:
        origin = RequestRow.__table__.alias("origin")
        found = (
            select(FollowUpRow, RequestRow.reference, origin.c.reference)
            .join(RequestRow, RequestRow.id == FollowUpRow.request_id)
            .join(origin, origin.c.id == FollowUpRow.origin_id)
            .where(condition)
            .order_by(FollowUpRow.request_id)
        )
        return tuple(
            FollowUp(
                request_id=row.request_id,
                origin_id=row.origin_id,
                panel=row.panel,
                kind=FollowUpKind(row.kind),
                film=row.film,
                batches=tuple(row.batches),
                reference=reference,
                origin=origin_reference,
            )
            for row, reference, origin_reference in self._session.execute(found)
        )

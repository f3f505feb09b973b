"""Rows of the bay's tables and the records they stand for."""

from collections.abc import Iterable
from datetime import datetime
from types import MappingProxyType

from configurator.domain.bay.check_in import CheckIn
from configurator.domain.bay.checks import Mark
from configurator.domain.bay.film import Box, Remake, RemakeReason
from configurator.domain.bay.job import Job, NewJob, PlannedRoll
from configurator.domain.bay.seams import Seam
from configurator.domain.bay.tasks import Laid, Task, TaskState, Timer
from configurator.domain.work import Kind, Role, Step, Zone
from configurator.storage.models import BayBoxRow, BayJobRow, BayMarkRow, BayRemakeRow, BayTaskRow, BayTimerRow
from configurator.storage.typed_json import decode, encode


def job_row(request_id: int, new: NewJob, now: datetime) -> BayJobRow:
    return BayJobRow(
        request_id=request_id,
        body=new.body,
        edges=new.edges,
        price_book=new.price_book,
        selection=dict(new.selection),
        check_in=encode(new.check_in),
        rolls=[encode(roll) for roll in new.rolls],
        seams=[encode(seam) for seam in new.seams],
        cut_plan=dict(new.cut_plan),
        opened_at=now,
    )


def to_job(row: BayJobRow, *, tasks: tuple[Task, ...], marks: tuple[Mark, ...], boxes: tuple[Box, ...], remakes: tuple[Remake, ...]) -> Job:
    return Job(
        request_id=row.request_id,
        selection=MappingProxyType(row.selection),
        body=row.body,
        edges=row.edges,
        price_book=row.price_book,
        check_in=decode(CheckIn, row.check_in),
        rolls=tuple(decode(PlannedRoll, roll) for roll in row.rolls),
        seams=tuple(decode(Seam, seam) for seam in row.seams),
        tasks=tasks,
        marks=marks,
        boxes=boxes,
        remakes=remakes,
        closed_at=row.closed_at,
    )


def task_row(request_id: int, body: str, task: Task) -> BayTaskRow:
    return BayTaskRow(
        request_id=request_id,
        key=task.key,
        place=task.place,
        body=body,
        kind=task.kind.value,
        panel=task.panel,
        part=task.part,
        bag=task.bag,
        role=task.role.value if task.role else None,
        zone=task.zone.value,
        after=list(task.after),
        least=task.least,
        usual=task.usual,
        most=task.most,
        planned=task.planned,
        steps=[encode(step) for step in task.steps],
        laid=encode(task.laid) if task.laid else None,
        state=task.state.value,
        minutes=task.minutes,
        finished_at=task.finished_at,
        finished_by=task.finished_by,
        finished_by_id=task.finished_by_id,
        reason=task.reason,
        clips=task.clips,
    )


def to_task(row: BayTaskRow, timers: Iterable[BayTimerRow]) -> Task:
    return Task(
        id=row.id,
        key=row.key,
        place=row.place,
        kind=Kind(row.kind),
        panel=row.panel,
        part=row.part,
        bag=row.bag,
        role=Role(row.role) if row.role else None,
        zone=Zone(row.zone),
        after=tuple(row.after),
        least=row.least,
        usual=row.usual,
        most=row.most,
        planned=row.planned,
        steps=tuple(decode(Step, step) for step in row.steps),
        laid=decode(Laid, row.laid) if row.laid is not None else None,
        state=TaskState(row.state),
        minutes=row.minutes,
        finished_at=row.finished_at,
        finished_by=row.finished_by,
        finished_by_id=row.finished_by_id,
        reason=row.reason,
        clips=row.clips,
        timers=tuple(Timer(timer.user_id, timer.name, timer.started_at, timer.stopped_at) for timer in timers),
    )


def mark_row(request_id: int, mark: Mark) -> BayMarkRow:
    return BayMarkRow(
        request_id=request_id,
        kind=mark.kind,
        key=mark.key,
        is_good=mark.is_good,
        note=mark.note,
        user_id=mark.user_id,
        name=mark.name,
        at=mark.at,
    )


def to_mark(row: BayMarkRow) -> Mark:
    return Mark(row.kind, row.key, row.is_good, row.note, row.user_id, row.name, row.at)


def box_row(request_id: int, entry: str, box: Box) -> BayBoxRow:
    return BayBoxRow(
        request_id=request_id,
        entry=entry,
        film=box.film,
        roll_width_mm=box.roll_width_mm,
        batch=box.batch,
        metres=box.metres,
        offcut_m=box.offcut_m,
        panels=list(box.panels),
        by=box.by,
        at=box.at,
    )


def to_box(row: BayBoxRow) -> Box:
    return Box(
        id=row.id,
        film=row.film,
        roll_width_mm=row.roll_width_mm,
        batch=row.batch,
        metres=row.metres,
        offcut_m=row.offcut_m,
        panels=tuple(row.panels),
        at=row.at,
        by=row.by,
    )


def remake_row(request_id: int, entry: str, remake: Remake) -> BayRemakeRow:
    return BayRemakeRow(
        request_id=request_id,
        entry=entry,
        piece=remake.piece,
        panel=remake.panel,
        film=remake.film,
        metres=remake.metres,
        reason=remake.reason.value,
        by=remake.by,
        at=remake.at,
    )


def to_remake(row: BayRemakeRow) -> Remake:
    return Remake(piece=row.piece, panel=row.panel, film=row.film, metres=row.metres, reason=RemakeReason(row.reason), at=row.at, by=row.by)

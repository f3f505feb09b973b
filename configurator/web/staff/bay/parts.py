"""Parts: what comes off in order (the number is the bag's), what goes back on, with the cautions that bite at each."""

from dataclasses import dataclass

from flask import Blueprint, request

from configurator.domain.bay.checks import ASSEMBLER, CHECK, PARTS_CHECKS, SIGNATURE
from configurator.domain.bay.part_cautions import cautions_at_part
from configurator.domain.bay.tasks import Task, TaskState, is_ready
from configurator.domain.cautions import Severity
from configurator.domain.staff import Right
from configurator.domain.work import Kind
from configurator.services.bay.scoped import scoped_car
from configurator.services.bay.ticking import checks_of, signatures_of
from configurator.web.i18n import words
from configurator.web.staff.bay.frame import SaidCaution, office, opened, page, said, waits_for
from configurator.web.staff.guard import needs, user
from configurator.web.wiring import wired
from configurator.wording.task_names import task_title

WAYS = {"off": Kind.PARTS_OFF, "on": Kind.PARTS_ON}
PREPARING = (Kind.WASH, Kind.REMOVE_FILM, Kind.STRIP_COATING, Kind.CORRECTION)
"""What is done to the whole car before any part comes off."""


@dataclass(frozen=True)
class PartRow:
    """One part in words. `is_now`: the one to go on with."""

    task: Task
    title: str
    usual: str
    last: str
    cautions: tuple[SaidCaution, ...]
    waits: str
    is_now: bool
    is_mine: bool
    clock: bool


@needs(Right.BAY_PARTS)
def parts(reference: str) -> str:
    """The page."""
    say = words()
    kept, job = opened(reference)
    way = request.args.get("way", "")
    off = [task for task in job.tasks if task.kind is Kind.PARTS_OFF]
    way = way if way in WAYS else "on" if off and all(task.is_finished for task in off) else "off"
    known = scoped_car(kept, job.selection, office())
    with wired().store.reading() as work:
        last = work.bay.last_minutes(job.body, WAYS[way])
        signatures = signatures_of(job, work)
    tasks = [task for task in job.tasks if task.kind is WAYS[way]]
    left = [task for task in tasks if not task.is_finished]
    now = next((task for task in left if is_ready(task, job.by_key)), None) or next(iter(left), None)
    before = [task for task in job.tasks if task.kind in PREPARING and not task.is_finished] if way == "off" else []

    def row(task: Task) -> PartRow:
        called = cautions_at_part(task.part or "", office().shop.cautions, known.cautions)
        waits = [job.by_key[key] for key in task.after if key in job.by_key and not job.by_key[key].is_finished]
        waits = [other for other in waits if other.kind not in PREPARING]
        return PartRow(
            task=task,
            title=task_title(task, say, body=job.body),
            usual=say.minutes(round(task.usual)),
            last=say.minutes(round(last[task.panel])) if task.panel in last and task.panel is not None else "",
            cautions=said(called, kept),
            waits=waits_for(waits, job, say),
            is_now=now is not None and task.key == now.key,
            is_mine=any(timer.user_id == user().id for timer in task.running),
            clock=bool(task.running),
        )

    checks = [code for code in checks_of(kept, job, office()) if code in PARTS_CHECKS]
    return page(
        "parts",
        kept,
        job,
        "parts",
        way=way,
        rows=tuple(row(task) for task in tasks if task.state is TaskState.OPEN),
        finished=tuple(row(task) for task in tasks if task.state is not TaskState.OPEN),
        stops=said([caution for caution in known.cautions if caution.severity == Severity.STOP], kept),
        checks=[(code, job.mark(CHECK, code)) for code in checks],
        signature=job.mark(SIGNATURE, ASSEMBLER),
        wants_signature=ASSEMBLER in signatures,
        has_parts=bool(off),
        before=[task_title(task, say, body=job.body) for task in before],
    )


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/parts", "bay_parts", parts)

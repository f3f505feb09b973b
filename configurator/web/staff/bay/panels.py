"""Panels: the work by zone, one task at a time, with its clock, its film, its edges, and what to mind there."""

from dataclasses import dataclass

from flask import Blueprint, request
from markupsafe import Markup

from configurator.domain.bay.job import Job
from configurator.domain.bay.part_cautions import cautions_at_panel
from configurator.domain.bay.tasks import BY_THEMSELVES, ON_THE_CAR, Task, TaskState, is_ready
from configurator.domain.bay.timing import worked_minutes
from configurator.domain.staff import Right
from configurator.domain.work import Kind, Step, Zone
from configurator.services.bay.drawings import VIEW_OF, only
from configurator.services.bay.scoped import scoped_car
from configurator.web.i18n import words
from configurator.web.staff.bay.frame import SaidCaution, office, opened, page, picture, said, waits_for
from configurator.web.staff.guard import needs, user
from configurator.wording.task_names import task_title
from configurator.wording.words import Words


@dataclass(frozen=True)
class ZoneRow:
    id: str
    name: str
    done: int
    all: int
    share: int
    is_here: bool


@dataclass(frozen=True)
class TaskCard:
    """A task in words. `minutes` so far on running and stopped clocks, rounded; `runs_since` the first clock that runs."""

    task: Task
    title: str
    facts: tuple[str, ...]
    times: str
    steps: tuple[tuple[str, str], ...]
    cautions: tuple[SaidCaution, ...]
    waits: str
    minutes: int
    who: tuple[str, ...]
    is_mine: bool
    is_now: bool
    picture: Markup | None
    band: tuple[float, float, float, float]
    """Where least, usual, most and the clock stand on a bar of 0 to 100."""


@needs(Right.BAY)
def panels(reference: str) -> str:
    """The page: one zone."""
    say = words()
    kept, job = opened(reference)
    tasks = [task for task in job.tasks if not task.is_part and task.kind not in BY_THEMSELVES]
    zones = [zone for zone in Zone if any(task.zone is zone for task in tasks)]
    zones.sort(key=lambda zone: zone is not Zone.ALL)
    asked = request.args.get("zone", "")
    here = next((zone for zone in zones if zone.value == asked), None) or _first_open(zones, tasks)
    mine = [task for task in tasks if task.zone is here]
    left = [task for task in mine if task.state is TaskState.OPEN]
    running = next((task for task in left if any(timer.user_id == user().id for timer in task.running)), None)
    now = running or next((task for task in left if is_ready(task, job.by_key)), None) or next(iter(left), None)
    known = scoped_car(kept, job.selection, office())

    def card(task: Task) -> TaskCard:
        is_now = now is not None and task.key == now.key
        clock = _minutes(task)
        return TaskCard(
            task=task,
            title=task_title(task, say, body=job.body),
            facts=facts_of(task, say),
            times=_times(task, say),
            steps=tuple((_step(step, say), say.minutes(round(step.minutes))) for step in task.steps),
            cautions=said(cautions_at_panel(task.panel, known.cautions), kept) if task.panel else (),
            waits=waits_for([job.by_key[key] for key in task.after if key in job.by_key and not job.by_key[key].is_finished], job, say),
            minutes=clock,
            who=tuple(timer.name for timer in task.running),
            is_mine=any(timer.user_id == user().id for timer in task.running),
            is_now=is_now,
            picture=_picture(job, task) if is_now and task.panel and task.kind in ON_THE_CAR else None,
            band=_band(task, clock),
        )

    return page(
        "panels",
        kept,
        job,
        "panels",
        zones=tuple(_zone(zone, tasks, zone is here, say) for zone in zones),
        zone=here.value,
        cards=tuple(card(task) for task in left),
        finished=tuple(card(task) for task in mine if task.state is not TaskState.OPEN),
    )


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/panels", "bay_panels", panels)


def _first_open(zones: list[Zone], tasks: list[Task]) -> Zone:
    running = [task.zone for task in tasks if any(timer.user_id == user().id for timer in task.running)]
    left = [task.zone for task in tasks if task.state is TaskState.OPEN]
    return next(iter([*running, *left, *zones]), Zone.ALL)


def _zone(zone: Zone, tasks: list[Task], is_here: bool, say: Words) -> ZoneRow:
    inside = [task for task in tasks if task.zone is zone]
    done = sum(task.is_finished for task in inside)
    return ZoneRow(zone.value, say.name("zone", zone.value), done, len(inside), round(100 * done / len(inside)), is_here)


def _minutes(task: Task) -> int:
    calendar, now = office().calendar, office().now()
    return round(sum(worked_minutes(timer.started_at, timer.stopped_at or now, calendar) for timer in task.timers))


def _band(task: Task, minutes: int) -> tuple[float, float, float, float]:
    whole = max(task.most, minutes, 1.0) * 1.08
    low, usual, high, clock = (round(100 * value / whole, 1) for value in (task.least, task.usual, task.most, minutes))
    return low, usual, high, clock


def _times(task: Task, say: Words) -> str:
    facts = {"usual": say.minutes(round(task.usual)), "least": say.number(round(task.least)), "most": say.number(round(task.most))}
    return say.gettext("usually %(usual)s (%(least)s–%(most)s)") % facts


def facts_of(task: Task, say: Words) -> tuple[str, ...]:
    """Film, edges, area and stretch of a task that lays film."""
    laid = task.laid
    if laid is None:
        return ()
    films = say.list([say.name("film", film) for film in laid.films])
    edges = say.list([say.name("treatment", treatment) for treatment, _ in laid.edges_mm])
    area = say.area(laid.covered_area_m2)
    facts = [films, say.gettext("edges %(how)s") % {"how": edges} if edges else "", area]
    if laid.is_part:
        facts[2] = say.gettext("%(part)s of %(whole)s, ends at a visible edge") % {"part": area, "whole": say.area(laid.area_m2)}
    if task.kind is Kind.FILM:
        facts.append(say.gettext("stretch %(share)s") % {"share": say.percent(laid.difficulty * 0.2, 1)})
    return tuple(fact for fact in facts if fact)


def _step(step: Step, say: Words) -> str:
    if step.code == "prepare":
        return say.gettext("Prepare: wipe, mask, wet out")
    if step.code == "lay":
        return say.gettext("Lay %(area)s") % {"area": say.area(step.quantity)}
    if step.code == "seam":
        return say.gettext("Close %(metres)s m of seam") % {"metres": say.number(step.quantity, 2)}
    if step.code == "recess":
        return say.ngettext("Relieve and tuck %(num)s recess", "Relieve and tuck %(num)s recesses", round(step.quantity)) % {
            "num": say.number(round(step.quantity))
        }
    facts = {
        "edge": say.name("edge_within", step.detail or ""),
        "how": say.name("treatment", step.code),
        "metres": say.number(step.quantity, 2),
    }
    return say.gettext("Edge, %(edge)s, %(how)s: %(metres)s m") % facts


def _picture(job: Job, task: Task) -> Markup | None:
    """The car with film on this panel alone."""
    return picture(job.selection, VIEW_OF[task.zone], {}, bare=only(task.panel or "", job.selection, office().shop), prefix="task")

"""What every page of a work order shows around its content: the car, where it stands, and the tabs with their counts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from flask import redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response

from configurator.domain.bay.checks import CHECK, PIECE, SEAM, good
from configurator.domain.bay.film import unnamed
from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import ON_THE_CAR, Task
from configurator.domain.desk import Document, Request
from configurator.domain.estimate import Caution
from configurator.domain.staff import Right
from configurator.domain.work import Kind
from configurator.errors import InvalidInput
from configurator.services.bay.drawings import drawing
from configurator.services.bay.office import Office, job_of
from configurator.services.bay.scoped import CannotBeMade
from configurator.services.bay.ticking import checks_of
from configurator.services.bay.today import appointment_of
from configurator.services.links import new_token
from configurator.web.i18n import words
from configurator.web.request_reading import car_name, sentence, shop_time
from configurator.web.staff.guard import user
from configurator.web.wiring import wired
from configurator.wording.task_names import check_title, task_title, way_title
from configurator.wording.words import Words

MOST_NAMED = 3
"""Tasks that are named where a task waits for many."""


@dataclass(frozen=True)
class Tab:
    """One tab; `count` says how far it is."""

    id: str
    text: str
    count: str
    href: str
    is_here: bool


@dataclass(frozen=True)
class SaidCaution:
    """A caution in words. `ticked`: the customer acknowledged off-road or show use for it."""

    severity: str
    where: str
    text: str
    source: str
    ticked: bool


def office() -> Office:
    """What the bay's services work with."""
    return Office(wired().desk())


def opened(reference: str) -> tuple[Request, Job]:
    """A car's request and job. Raises NoSuchRequest, NotInBay."""
    with wired().store.reading() as work:
        return job_of(reference, work)


def page(template: str, kept: Request, job: Job, here: str, **context: Any) -> str:
    """A page of the work order."""
    return render_template(f"staff/bay/{template}.html", **work_order(kept, job, here), **context)


def work_order(kept: Request, job: Job, here: str) -> dict[str, Any]:
    """What the frame of the work order needs."""
    say = words()
    with wired().store.reading() as work:
        appointment = appointment_of(kept, work)
    return {
        "kept": kept,
        "job": job,
        "car": car_title(kept, say),
        "appointment": appointment,
        "tabs": tuple(_tabs(kept, job, here, say)),
        "entry": new_token(),
        "is_open": job.closed_at is None,
        "task_title": lambda task: task_title(task, say, body=job.body),
        "way_title": lambda task: way_title(task, say, body=job.body),
        "check_title": lambda code: check_title(code, say),
        "panel_name": lambda id: say.name("panel", id, body=job.body),
        "at": lambda moment: say.datetime(shop_time(moment), "weekday"),
        "clock": lambda moment: say.time(shop_time(moment)),
        "metres": lambda value: metres(value, say),
        "millimetres": lambda value: millimetres(value, say),
    }


def car_title(kept: Request, say: Words) -> str:
    """The car without its owner: for eyes that need no name."""
    return car_name(kept, say)


def metres(value: float, say: Words) -> str:
    return say.gettext("%(metres)s m") % {"metres": say.number(value, 2)}


def millimetres(value: float, say: Words) -> str:
    return say.gettext("%(mm)s mm") % {"mm": say.number(value, 0)}


def said(cautions: Iterable[Caution], kept: Request) -> tuple[SaidCaution, ...]:
    """Cautions in words, gravest first as they come; where one holds at several places, the places stand together."""
    say = words()
    places: dict[tuple[str, str], list[str]] = {}
    by_text: dict[tuple[str, str], Caution] = {}
    ticked: dict[tuple[str, str], bool] = {}
    for caution in cautions:
        key = (caution.severity, sentence(caution.message, say))
        by_text.setdefault(key, caution)
        names = places.setdefault(key, [])
        if caution.where is not None:
            kind = "lamp" if caution.where in ("headlamps", "fog_lamps", "tail_lamps", "windshield") else "panel"
            name = say.name(kind, caution.where, body=kept.body)
            if name not in names:
                names.append(name)
        ticked[key] = ticked.get(key, False) or (caution.where in kept.acknowledged and "light" in caution.code)
    return tuple(
        SaidCaution(severity, say.list(places[severity, text]), text, caution.source or "", ticked[severity, text])
        for (severity, text), caution in by_text.items()
    )


def waits_for(waits: Iterable[Task], job: Job, say: Words) -> str:
    """What a task waits for, in words: the first few by name."""
    names = list(dict.fromkeys(task_title(task, say, body=job.body) for task in waits))
    if len(names) <= MOST_NAMED:
        return say.list(names) if names else ""
    more = len(names) - MOST_NAMED
    facts = {"names": ", ".join(names[:MOST_NAMED]), "num": say.number(more)}
    return say.ngettext("%(names)s and %(num)s more", "%(names)s and %(num)s more", more) % facts


def picture(selection: Document, view: str, numbers: Mapping[str, str], *, bare: Iterable[str] = (), prefix: str = "car") -> Markup | None:
    """A drawing for inside a page; None when today's bodies can't make it any more."""
    try:
        svg = drawing(selection, wired().shop, words(), view, numbers=numbers, bare=frozenset(bare), prefix=prefix)
    except CannotBeMade:
        return None
    return Markup(svg)  # noqa: S704 - our own drawing, every text in it escaped by svgwrite


def back_to(endpoint: str, reference: str, anchor: str | None = None, **values: Any) -> Response:
    """See Other, after a form."""
    return redirect(url_for(endpoint, reference=reference, _anchor=anchor, **values), code=303)


def faults_of(error: InvalidInput) -> dict[str, str]:
    """What is wrong, by field."""
    return {fault.path: words().fault(fault) for fault in error.faults}


def sent_entry() -> str:
    """The mark that the form at hand came with; a form without one counts as a new one."""
    given = request.form.get("entry", "")
    return given if given.isascii() and 0 < len(given) <= 64 else new_token()


def _tabs(kept: Request, job: Job, here: str, say: Words) -> Iterable[Tab]:
    counts = _counts(kept, job, say)
    may = user().may(Right.BAY)
    names = {
        "parts": say.gettext("Parts"),
        "panels": say.gettext("Panels"),
        "cut_plan": say.gettext("Cut plan"),
        "seams": say.gettext("Seams"),
        "checks": say.gettext("Checks"),
        "film": say.gettext("Film used"),
    }
    for id, text in names.items():
        if may or id == "parts":
            yield Tab(id, text, counts[id], url_for(f"staff.bay_{id}", reference=kept.reference), id == here)


def _counts(kept: Request, job: Job, say: Words) -> dict[str, str]:
    off, on, film = (_finished(job, kinds) for kinds in ((Kind.PARTS_OFF,), (Kind.PARTS_ON,), ON_THE_CAR))
    rolls = {roll.film for roll in job.rolls}
    nameless = {name for name, _ in unnamed(job.tasks, job.boxes)}
    with_box = {box.film for box in job.boxes} - nameless
    return {
        "parts": _of(*on, say.gettext("%(done)s of %(all)s back on"))
        if off[0] == off[1] and off[1]
        else _of(*off, say.gettext("%(done)s of %(all)s off")),
        "panels": _of(*film, say.gettext("%(done)s of %(all)s")),
        "cut_plan": _of(len(good(job.marks, PIECE)), sum(roll.pieces for roll in job.rolls), say.gettext("%(done)s of %(all)s cut")),
        "seams": _of(len(good(job.marks, SEAM)), len(job.seams), say.gettext("%(done)s of %(all)s")),
        "checks": _of(len(good(job.marks, CHECK)), len(checks_of(kept, job, office())), say.gettext("%(done)s of %(all)s")),
        "film": _of(len(rolls & with_box), len(rolls), say.gettext("%(done)s of %(all)s")),
    }


def _finished(job: Job, kinds: tuple[Kind, ...]) -> tuple[int, int]:
    tasks: list[Task] = [task for task in job.tasks if task.kind in kinds]
    return sum(task.is_finished for task in tasks), len(tasks)


def _of(done: int, every: int, text: str) -> str:
    return text % {"done": words().number(done), "all": words().number(every)} if every else words().gettext("none")

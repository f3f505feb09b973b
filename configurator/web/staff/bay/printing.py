"""The printed work order: black on white, with boxes to tick and room to write; and the parts list alone for an assembler."""

from typing import Any

from flask import Blueprint, render_template, url_for
from werkzeug.wrappers import Response

from configurator.domain.bay.job import Job
from configurator.domain.bay.part_cautions import cautions_at_part
from configurator.domain.bay.tasks import BY_THEMSELVES, Task, TaskState
from configurator.domain.cautions import Severity
from configurator.domain.desk import Request
from configurator.domain.staff import Right
from configurator.domain.work import Kind, Zone
from configurator.services.bay.scoped import scoped_car
from configurator.services.bay.ticking import checks_of, signatures_of
from configurator.web.i18n import words
from configurator.web.pdf import paper, pdf_response
from configurator.web.staff.bay.cut_plan import plan_for
from configurator.web.staff.bay.frame import office, opened, picture, said, work_order
from configurator.web.staff.bay.panels import facts_of
from configurator.web.staff.bay.seams import seam_rows
from configurator.web.staff.guard import needs
from configurator.web.wiring import wired


@needs(Right.BAY)
def work_order_print(reference: str) -> str:
    """The page to print."""
    kept, job = opened(reference)
    back, pdf = url_for("staff.bay_parts", reference=reference), url_for("staff.bay_work_order_pdf", reference=reference)
    return _document(kept, job, back=back, pdf=pdf)


@needs(Right.BAY)
def work_order_pdf(reference: str) -> Response:
    """The same as a PDF."""
    kept, job = opened(reference)
    return pdf_response(_document(kept, job), f"{reference}-work-order.pdf", print_page=url_for("staff.bay_print", reference=reference))


@needs(Right.BAY_PARTS)
def parts_print(reference: str) -> str:
    """The parts list alone: for people who work on parts, without the rest of the order."""
    kept, job = opened(reference)
    back, pdf = url_for("staff.bay_parts", reference=reference), url_for("staff.bay_parts_pdf", reference=reference)
    return _document(kept, job, parts_only=True, back=back, pdf=pdf)


@needs(Right.BAY_PARTS)
def parts_pdf(reference: str) -> Response:
    """The same as a PDF."""
    kept, job = opened(reference)
    html = _document(kept, job, parts_only=True)
    return pdf_response(html, f"{reference}-parts.pdf", print_page=url_for("staff.bay_parts_print", reference=reference))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/print", "bay_print", work_order_print)
    blueprint.add_url_rule("/bay/<reference>/work-order.pdf", "bay_work_order_pdf", work_order_pdf)
    blueprint.add_url_rule("/bay/<reference>/parts/print", "bay_parts_print", parts_print)
    blueprint.add_url_rule("/bay/<reference>/parts.pdf", "bay_parts_pdf", parts_pdf)


def panel_numbers(job: Job) -> dict[str, str]:
    """Panel -> its number in the table of panels and on the drawing."""
    film = [task.panel for task in job.tasks if task.laid and task.state is not TaskState.STRUCK and task.panel]
    return {panel: str(number) for number, panel in enumerate(film, start=1)}


def _document(kept: Request, job: Job, *, parts_only: bool = False, back: str = "", pdf: str = "") -> str:
    say = words()
    known = scoped_car(kept, job.selection, office())
    numbers = panel_numbers(job)
    with wired().store.reading() as work:
        signatures = signatures_of(job, work)
    off = [task for task in job.tasks if task.kind is Kind.PARTS_OFF and task.state is not TaskState.STRUCK]
    others = [task for task in job.tasks if not task.is_part and task.kind not in BY_THEMSELVES and task.state is not TaskState.STRUCK]
    cautions = [caution for caution in known.cautions if not parts_only or caution.severity == Severity.STOP]
    context: dict[str, Any] = {
        **work_order(kept, job, ""),
        "paper": paper(),
        "reference": kept.reference,
        "back": back,
        "pdf": pdf,
        "parts_only": parts_only,
        "cautions": said(cautions, kept),
        "parts": [(task, said(cautions_at_part(task.part or "", office().shop.cautions, known.cautions), kept)) for task in off],
        "zones": [(zone, [task for task in others if task.zone is zone]) for zone in _zones() if any(task.zone is zone for task in others)],
        "numbers": numbers,
        "facts_of": lambda task: facts_of(task, say),
        "seams": () if parts_only else seam_rows(kept, job),
        "rolls": () if parts_only else plan_for(kept, job).rolls,
        "checks": checks_of(kept, job, office()),
        "signatures": signatures,
        "struck": [task for task in job.tasks if task.state is TaskState.STRUCK],
        "drawing": None if parts_only else picture(job.selection, "sheet", numbers, bare=_struck(job.tasks), prefix="order"),
    }
    return render_template("documents/work_order.html", **context)


def _zones() -> tuple[Zone, ...]:
    return (Zone.ALL, *(zone for zone in Zone if zone is not Zone.ALL))


def _struck(tasks: tuple[Task, ...]) -> frozenset[str]:
    return frozenset(task.panel for task in tasks if task.laid and task.state is TaskState.STRUCK and task.panel)

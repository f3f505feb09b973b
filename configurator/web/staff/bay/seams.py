"""The seam map: every butt seam with its number on the drawing, to be closed one by one."""

from dataclasses import dataclass

from flask import Blueprint, request
from werkzeug.wrappers import Response

from configurator.domain.bay.checks import SEAM, Mark
from configurator.domain.bay.job import Job
from configurator.domain.bay.seams import Seam
from configurator.domain.bay.tasks import struck_panels
from configurator.domain.desk import Request
from configurator.domain.staff import Right
from configurator.services.bay.drawings import VIEW_OF
from configurator.services.bay.ticking import mark_done
from configurator.web.i18n import words
from configurator.web.staff.bay.cut_plan import plan_for
from configurator.web.staff.bay.frame import back_to, millimetres, office, opened, page, picture
from configurator.web.staff.guard import needs, person


@dataclass(frozen=True)
class SeamRow:
    """One seam in words; `pieces` names the two that meet, with the number of roll and piece."""

    seam: Seam
    panel: str
    pieces: str
    length: str
    mark: Mark | None


@needs(Right.BAY)
def seams(reference: str) -> str:
    """The page."""
    kept, job = opened(reference)
    bare = struck_panels(job.tasks)
    numbers = panel_seams(job)
    views = dict.fromkeys(VIEW_OF[task.zone] for task in job.tasks if task.laid and task.panel in numbers)
    metres = sum(seam.length_mm for seam in job.seams) / 1000
    return page(
        "seams",
        kept,
        job,
        "seams",
        rows=seam_rows(kept, job),
        total=metres,
        struck=bare,
        pictures=[(view, drawn) for view in views if (drawn := picture(job.selection, view, numbers, bare=bare, prefix=f"seams-{view}"))],
    )


@needs(Right.BAY)
def close_seam(reference: str) -> Response:
    """Marks a seam closed, or takes that back."""
    key = request.form.get("seam", "")
    mark_done(reference, SEAM, key, person(), office(), is_done="undo" not in request.form)
    return back_to("staff.bay_seams", reference, f"seam-{request.form.get('number', '')}")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/seams", "bay_seams", seams)
    blueprint.add_url_rule("/bay/<reference>/seams/close", "bay_close_seam", close_seam, methods=["POST"])


def seam_rows(kept: Request, job: Job) -> tuple[SeamRow, ...]:
    """The seams in words, in their order."""
    say = words()
    places = {piece.id: f"{roll.number}.{piece.number}" for roll in plan_for(kept, job).rolls for piece in roll.pieces}
    return tuple(
        SeamRow(
            seam=seam,
            panel=say.name("panel", seam.panel, body=job.body),
            pieces=f"{places.get(seam.first, '–')} | {places.get(seam.second, '–')}",
            length=millimetres(seam.length_mm, say),
            mark=job.mark(SEAM, seam.key),
        )
        for seam in job.seams
    )


def panel_seams(job: Job) -> dict[str, str]:
    """Panel -> the numbers of its seams, as they stand on the drawing: `1–4`."""
    numbers: dict[str, list[int]] = {}
    for seam in job.seams:
        numbers.setdefault(seam.panel, []).append(seam.number)
    return {panel: f"{found[0]}–{found[-1]}" if len(found) > 1 else str(found[0]) for panel, found in numbers.items()}

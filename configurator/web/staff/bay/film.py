"""Film used: which boxes were opened, what was taken off them, and what is left."""

from collections import defaultdict

from flask import Blueprint, make_response, request
from werkzeug.wrappers import Response

from configurator.domain.bay.film import unnamed
from configurator.domain.bay.job import Job
from configurator.domain.desk import Request
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.bay.using_film import open_box, take_back_box
from configurator.web.staff.bay.frame import back_to, faults_of, office, opened, page, sent_entry
from configurator.web.staff.guard import needs, person

HIGHEST_ID = 2**62


@needs(Right.BAY)
def film(reference: str) -> str:
    """The page."""
    kept, job = opened(reference)
    return _page(kept, job)


@needs(Right.BAY)
def add_box(reference: str) -> Response:
    """Notes a box."""
    form = request.form
    try:
        open_box(
            reference,
            sent_entry(),
            person(),
            office(),
            roll=form.get("roll", ""),
            batch=form.get("batch", ""),
            metres=form.get("metres", ""),
            offcut=form.get("offcut", ""),
            panels=form.getlist("panel"),
        )
    except InvalidInput as error:
        kept, job = opened(reference)
        return make_response(_page(kept, job, faults_of(error)), 422)
    return back_to("staff.bay_film", reference)


@needs(Right.BAY)
def remove_box(reference: str, box: int) -> Response:
    """Takes a box back."""
    if box < HIGHEST_ID:
        take_back_box(reference, box, office())
    return back_to("staff.bay_film", reference)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/film", "bay_film", film)
    blueprint.add_url_rule("/bay/<reference>/film", "bay_add_box", add_box, methods=["POST"])
    blueprint.add_url_rule("/bay/<reference>/film/<int:box>/remove", "bay_remove_box", remove_box, methods=["POST"])


def _page(kept: Request, job: Job, faults: dict[str, str] | None = None) -> str:
    used, again = defaultdict[str, float](float), defaultdict[str, float](float)
    for box in job.boxes:
        used[box.film] += box.metres
    for one in job.remakes:
        again[one.film] += one.metres
    return page(
        "film",
        kept,
        job,
        "film",
        used=used,
        again=again,
        nameless=unnamed(job.tasks, job.boxes),
        panels_of={roll.film: [task for task in job.tasks if task.laid and roll.film in task.laid.films] for roll in job.rolls},
        faults=faults or {},
        typed=request.form,
    )

"""Hand-over: what is still missing with the way to it, planned against real, a look at the record, and the move itself."""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import BY_THEMSELVES, Task, TaskState
from configurator.domain.desk import Request
from configurator.domain.review import MoveRefused
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.bay.handing_over import hand_over, missing
from configurator.services.ports import ChangedMeanwhile
from configurator.web.i18n import words
from configurator.web.staff.bay.frame import faults_of, office, opened, page
from configurator.web.staff.bay.today import task_address
from configurator.web.staff.guard import needs, person
from configurator.web.staff.revisions import sent_revision
from configurator.web.wiring import wired


@needs(Right.BAY)
def hand_over_page(reference: str) -> str:
    """The page."""
    kept, job = opened(reference)
    return _page(kept, job)


@needs(Right.BAY)
def do_hand_over(reference: str) -> Response:
    """Hands over and sends the record; with something missing, the page says what (409)."""
    try:
        hand_over(reference, sent_revision(), person(), office(), received_by=request.form.get("received_by", ""))
    except InvalidInput as error:
        kept, job = opened(reference)
        return make_response(_page(kept, job, faults_of(error)), 422)
    except MoveRefused as refused:
        kept, job = opened(reference)
        return make_response(_page(kept, job, refused=bool(refused.missing)), 409)
    except ChangedMeanwhile:
        say = words()
        texts = [
            say.gettext("Somebody changed this request after your page was made. Nothing of yours was saved."),
            say.gettext("Open it as it is now, look at the change, and do yours again if it still fits."),
        ]
        title = say.gettext("Somebody was faster")
        return make_response(render_template("staff/bay/problem.html", title=title, texts=texts, reference=reference), 409)
    return redirect(url_for("staff.bay_hand_over", reference=reference), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/hand-over", "bay_hand_over", hand_over_page)
    blueprint.add_url_rule("/bay/<reference>/hand-over", "bay_do_hand_over", do_hand_over, methods=["POST"])


def _page(kept: Request, job: Job, faults: dict[str, str] | None = None, *, refused: bool = False) -> str:
    with wired().store.reading() as work:
        still = missing(kept, job, office(), work)
        record = work.bay.coverage(kept.id)
    asked = [task for task in job.tasks if task.kind not in BY_THEMSELVES]
    timed = [task for task in asked if task.state is TaskState.DONE and task.minutes is not None]
    return page(
        "hand_over",
        kept,
        job,
        "hand_over",
        still=still,
        record=record,
        refused=refused,
        timed=timed,
        planned=sum(task.planned for task in timed),
        real=sum(task.minutes or 0.0 for task in timed),
        untimed=sum(task.state is TaskState.DONE and task.minutes is None for task in asked),
        struck=[task for task in asked if task.state is TaskState.STRUCK],
        address=lambda task: _address(kept, task),
        faults=faults or {},
        typed=request.form,
    )


def _address(kept: Request, task: Task) -> str:
    return task_address(kept.reference, task)

"""What is pressed on a task: start, stop, done, leave out, take back. An assembler may press on parts alone."""

from collections.abc import Callable

from flask import Blueprint, abort, make_response, redirect, request
from werkzeug.wrappers import Response

from configurator.domain.bay.tasks import Task
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.bay import working
from configurator.services.bay.office import task_of
from configurator.web.staff.bay.frame import faults_of, office, opened, page
from configurator.web.staff.bay.today import task_address
from configurator.web.staff.guard import needs, person, user


@needs(Right.BAY_PARTS)
def start(reference: str, key: str) -> Response:
    """Starts one's own clock."""
    return _press(reference, key, lambda: working.start(reference, key, person(), office()))


@needs(Right.BAY_PARTS)
def stop(reference: str, key: str) -> Response:
    """Stops one's own clock."""
    return _press(reference, key, lambda: working.stop(reference, key, person(), office()))


@needs(Right.BAY_PARTS)
def done(reference: str, key: str) -> Response:
    """Marks it done, with minutes that were typed or timed."""
    form = request.form
    minutes, clips = form.get("minutes", ""), form.get("clips", "")
    settles = "settles" in form
    return _press(
        reference,
        key,
        lambda: working.finish(reference, key, person(), office(), minutes=minutes, clips=clips, settles=settles and bool(minutes)),
    )


@needs(Right.BAY_PARTS)
def strike(reference: str, key: str) -> Response:
    """Leaves it out, with a reason."""
    return _press(reference, key, lambda: working.strike(reference, key, request.form.get("reason", ""), person(), office()))


@needs(Right.BAY_PARTS)
def reopen(reference: str, key: str) -> Response:
    """Takes back that it was done or left out."""
    return _press(reference, key, lambda: working.reopen(reference, key, person(), office()))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    for name, view in (("start", start), ("stop", stop), ("done", done), ("strike", strike), ("reopen", reopen)):
        blueprint.add_url_rule(f"/bay/<reference>/tasks/<key>/{name}", f"bay_task_{name}", view, methods=["POST"])


def _press(reference: str, key: str, act: Callable[[], None]) -> Response:
    kept, job = opened(reference)
    task = task_of(job, key)
    if not task.is_part and not user().may(Right.BAY):
        abort(403)
    try:
        act()
    except InvalidInput as error:
        return make_response(page("task_again", kept, job, _tab(task), task=task, faults=faults_of(error), typed=request.form), 422)
    return redirect(task_address(reference, task), code=303)


def _tab(task: Task) -> str:
    return "parts" if task.is_part else "panels"

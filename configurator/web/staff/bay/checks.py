"""The checks: everything to stop for first, then the list, then who signs."""

from flask import Blueprint, abort, make_response, request
from werkzeug.wrappers import Response

from configurator.domain.bay.checks import CHECK, PARTS_CHECKS, SECOND, SIGNATURE, checks_under, fitters, good
from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import settles_until
from configurator.domain.desk import Request
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.bay import ticking
from configurator.services.bay.scoped import scoped_car
from configurator.web.staff.bay.frame import back_to, faults_of, office, opened, page, said
from configurator.web.staff.guard import needs, person, user
from configurator.web.wiring import wired


@needs(Right.BAY)
def checks(reference: str) -> str:
    """The page."""
    kept, job = opened(reference)
    return _page(kept, job)


@needs(Right.BAY_PARTS)
def tick(reference: str, code: str) -> Response:
    """Ticks a check, says what was found, or takes the tick back."""
    _refuse_others(code in PARTS_CHECKS)
    if "undo" in request.form:
        ticking.untick(reference, code, office())
        return _back(reference, code)
    found = "found" in request.form
    try:
        ticking.tick(reference, code, person(), office(), is_good=not found, note=request.form.get("note", ""))
    except InvalidInput as error:
        kept, job = opened(reference)
        return make_response(_page(kept, job, {code: faults_of(error)["note"]}), 422)
    return _back(reference, code)


@needs(Right.BAY_PARTS)
def sign(reference: str, signature: str) -> Response:
    """Signs as the person who is in."""
    _refuse_others(signature == "assembler")
    ticking.sign(reference, signature, person(), office())
    return _back(reference, "sign")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/checks", "bay_checks", checks)
    blueprint.add_url_rule("/bay/<reference>/checks/<code>", "bay_tick", tick, methods=["POST"])
    blueprint.add_url_rule("/bay/<reference>/sign/<signature>", "bay_sign", sign, methods=["POST"])


def _page(kept: Request, job: Job, faults: dict[str, str] | None = None) -> str:
    known = scoped_car(kept, job.selection, office())
    asked = ticking.checks_of(kept, job, office())
    with wired().store.reading() as work:
        signatures = ticking.signatures_of(job, work)
    ticked = good(job.marks, CHECK)
    is_fitter = user().id in fitters(job.tasks)
    return page(
        "checks",
        kept,
        job,
        "checks",
        cautions=said(known.cautions, kept),
        checks=[(code, job.mark(CHECK, code)) for code in asked],
        signatures=[
            (one, job.mark(SIGNATURE, one), all(code in ticked for code in checks_under(one, asked)), one == SECOND and is_fitter)
            for one in signatures
        ],
        settles_until=settles_until(job.tasks),
        faults=faults or {},
    )


def _refuse_others(is_parts: bool) -> None:
    if not is_parts and not user().may(Right.BAY):
        abort(403)


def _back(reference: str, anchor: str) -> Response:
    """To the page that the button stood on."""
    return back_to(
        "staff.bay_checks" if user().may(Right.BAY) and request.form.get("from") != "parts" else "staff.bay_parts", reference, anchor
    )

"""The cut plan: roll by roll, with pieces to tick, and pieces that have to be cut again."""

from flask import Blueprint, abort, make_response, request
from werkzeug.wrappers import Response

from configurator.domain.bay.checks import PIECE, good
from configurator.domain.bay.film import RemakeReason
from configurator.domain.bay.job import Job
from configurator.domain.desk import Request
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.bay.cut_sheets import drawn_plan
from configurator.services.bay.ticking import mark_done
from configurator.services.bay.using_film import remake
from configurator.services.film.cut_plans import CutPlan, CutRoll
from configurator.web.i18n import words
from configurator.web.staff.bay.frame import back_to, faults_of, office, opened, page, sent_entry
from configurator.web.staff.guard import needs, person
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired


@needs(Right.BAY)
def cut_plan(reference: str) -> str:
    """One roll of it."""
    kept, job = opened(reference)
    return _page(kept, job)


@needs(Right.BAY)
def sheet(reference: str, roll: int, place: int) -> Response:
    """One sheet as a picture."""
    kept, job = opened(reference)
    found = _roll(plan_for(kept, job), roll)
    if found is None or not 1 <= place <= len(found.sheets):
        abort(404)
    response = make_response(found.sheets[place - 1])
    response.content_type = "image/svg+xml"
    response.headers["Cache-Control"] = "private, max-age=3600"
    response.headers["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    return response


@needs(Right.BAY)
def tick_piece(reference: str) -> Response:
    """Ticks a piece as cut, or takes that back."""
    mark_done(reference, PIECE, request.form.get("piece", ""), person(), office(), is_done="undo" not in request.form)
    return back_to("staff.bay_cut_plan", reference, f"piece-{request.form.get('piece', '')}", roll=_asked(request.form.get("roll", "")))


@needs(Right.BAY)
def cut_again(reference: str) -> Response:
    """Notes a piece that has to be cut again."""
    try:
        remake(reference, sent_entry(), request.form.get("piece", ""), request.form.get("why", ""), person(), office())
    except InvalidInput as error:
        kept, job = opened(reference)
        return make_response(_page(kept, job, faults_of(error)), 422)
    return back_to("staff.bay_cut_plan", reference, "again", roll=_asked(request.form.get("roll", "")))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>/cut-plan", "bay_cut_plan", cut_plan)
    blueprint.add_url_rule("/bay/<reference>/cut-plan/<int:roll>/<int:place>.svg", "bay_cut_sheet", sheet)
    blueprint.add_url_rule("/bay/<reference>/cut-plan/piece", "bay_piece", tick_piece, methods=["POST"])
    blueprint.add_url_rule("/bay/<reference>/cut-plan/again", "bay_cut_again", cut_again, methods=["POST"])


def plan_for(kept: Request, job: Job) -> CutPlan:
    """The job's plan, drawn in the page's language."""
    with wired().store.reading() as work:
        document = work.bay.cut_plan(kept.id)
    return drawn_plan(document or {"planner": "quick", "note": None, "rolls": []}, words(), body=job.body)


def _page(kept: Request, job: Job, faults: dict[str, str] | None = None) -> str:
    plan = plan_for(kept, job)
    number = _asked(request.values.get("roll", ""))
    roll = _roll(plan, number) or next(iter(plan.rolls), None)
    return page(
        "cut_plan",
        kept,
        job,
        "cut_plan",
        plan=plan,
        roll=roll,
        cut=good(job.marks, PIECE),
        reasons=list(RemakeReason),
        titles={piece.id: piece.title for one in plan.rolls for piece in one.pieces},
        faults=faults or {},
        typed=request.form,
    )


def _roll(plan: CutPlan, number: int) -> CutRoll | None:
    return next((roll for roll in plan.rolls if roll.number == number), None)


def _asked(text: str) -> int:
    return whole_number(text, most_digits=4) or 1

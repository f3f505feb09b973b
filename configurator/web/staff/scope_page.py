"""Changing a request's scope: the visitor's own steps and drawing at an address of the desk, then before and after with a reason."""

from dataclasses import dataclass, replace
from urllib.parse import parse_qsl, urlencode

from flask import Blueprint, Response, g, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import Request
from configurator.domain.kept_estimate import keep
from configurator.domain.quoting import Original
from configurator.domain.review import State, check_move
from configurator.domain.selection import Selection
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.ports import ChangedMeanwhile
from configurator.services.quotes.quoting import NEEDS_OF_SENDING
from configurator.services.quotes.rescoping import original_of, rescope
from configurator.web.i18n import words
from configurator.web.request_drawing import drawing_of
from configurator.web.request_reading import read_request
from configurator.web.staff.before_after import compare
from configurator.web.staff.guard import needs, person
from configurator.web.staff.revisions import sent_revision
from configurator.web.staff.second_editor import changes_by_others
from configurator.web.visitor import pages
from configurator.web.visitor.form import FORM, is_page_key
from configurator.web.visitor.look import look_from_query
from configurator.web.visitor.steps import NAMES, Step
from configurator.web.wiring import wired
from configurator.wire.query import query_from_selection, selection_from_query

LONGEST_PLAN = 8000
STEPS = (Step.COVERAGE, Step.FINISH, Step.LAMPS, Step.EDGES, Step.CAR)


@dataclass(frozen=True)
class ScopeNote:
    """What stands above the steps: whose scope this is, and what the visitor was told."""

    reference: str
    name: str
    told: str


@needs(Right.WORK_REQUESTS)
def scope(reference: str) -> Response | BaseResponse:
    """A step's page with the request's scope in its address, or the page that compares and keeps."""
    kept = _begin(reference)
    if FORM not in request.args and not any(not is_page_key(key) for key in request.args):
        return redirect(_address(reference, Step.COVERAGE, _pairs_of(kept)), code=303)
    if request.args.get("step") == Step.SEND and FORM not in request.args:
        return _keep_page(kept, urlencode([(key, value) for key, value in request.args.items(multi=True) if not is_page_key(key)]))
    return pages.configure()


@needs(Right.WORK_REQUESTS)
def scope_live(reference: str) -> Response:
    """The part of a step's page that changes."""
    _begin(reference)
    return pages.live()


@needs(Right.WORK_REQUESTS)
def keep_scope(reference: str) -> Response | BaseResponse:
    """Keeps the scope of the form, with its reason."""
    plan = request.form.get("plan", "")[:LONGEST_PLAN]
    with wired().store.reading() as work:
        kept = reviewing.find(reference, work)
    try:
        rescope(reference, sent_revision(), _selection(plan), request.form.get("reason", ""), person(), wired().desk())
    except InvalidInput as error:
        return _keep_page(kept, plan, faults={fault.path: words().fault(fault) for fault in error.faults}, status=422)
    except ChangedMeanwhile:
        return _keep_page(kept, plan, changes=changes_by_others(reference), status=409)
    return redirect(url_for("staff.request", reference=reference, _anchor="scope"), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/requests/<reference>/scope", "scope", scope)
    blueprint.add_url_rule("/requests/<reference>/scope/live", "scope_live", scope_live)
    blueprint.add_url_rule("/requests/<reference>/scope/keep", "keep_scope", keep_scope, methods=["POST"])


def _begin(reference: str) -> Request:
    """The request, if its scope can be changed now; the steps' pages then speak of it. Raises MoveRefused."""
    with wired().store.reading() as work:
        kept = reviewing.find(reference, work)
        original = work.scopes.original(kept) or original_of(kept)
    check_move(kept.state, State.QUOTED, person().actor, NEEDS_OF_SENDING)
    price, say = original.estimate.price, words()
    g.look = replace(look_from_query(request.values, embedded=False), scope_of=kept.reference)
    g.scope_note = ScopeNote(kept.reference, kept.contact.name, say.money_range(price.low, price.high, price.currency))
    return kept


def _keep_page(
    kept: Request, plan: str, *, faults: dict[str, str] | None = None, changes: list[str] | None = None, status: int = 200
) -> Response:
    """Before and after, what came and went, and the reason."""
    try:
        selection = _selection(plan)
        estimate = wired().desk().estimate(selection)
    except InvalidInput as error:
        texts = [words().fault(fault) for fault in error.faults]
        return make_response(render_template("staff/scope_refused.html", kept=kept, texts=texts), 422)
    with wired().store.reading() as work:
        original: Original = work.scopes.original(kept) or original_of(kept)
    after = keep(estimate, wired().shop.book)
    changed = replace(kept, selection=wired().desk().dump_selection(estimate.selection), estimate=after, body=selection.vehicle.body)
    page = render_template(
        "staff/scope.html",
        kept=kept,
        reading=read_request(changed),
        drawing=drawing_of(changed),
        comparison=compare(original.estimate, after, changed.body),
        plan=plan,
        steps=[(words().gettext(NAMES[step]), _address(kept.reference, step, parse_qsl(plan))) for step in STEPS],
        book_was=original.estimate.price_book if original.estimate.price_book != after.price_book else "",
        faults=faults or {},
        reason=request.form.get("reason", ""),
        changes=changes,
    )
    return make_response(page, status)


def _pairs_of(kept: Request) -> list[tuple[str, str]]:
    return list(query_from_selection(wired().desk().load_selection(kept.selection)))


def _selection(plan: str) -> Selection:
    return selection_from_query(parse_qsl(plan, keep_blank_values=True))


def _address(reference: str, step: Step, pairs: list[tuple[str, str]]) -> str:
    return f"{url_for('staff.scope', reference=reference)}?{urlencode([('step', str(step)), *pairs])}"

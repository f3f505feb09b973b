"""The configurator's addresses, once for our own pages (`/configure`) and once for frames on other sites (`/embed/configure`).

Staff who fill it in for a caller have the same pages under addresses of their own: `at_desk.py`.
"""

from collections.abc import Iterable

from flask import Blueprint, Response, g, make_response, redirect, request

from configurator.domain.selection import Package
from configurator.errors import Fault, InvalidInput
from configurator.web import limits
from configurator.web.embed import sites
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.packing import pack
from configurator.web.visitor import rendering
from configurator.web.visitor.callers import known_contact
from configurator.web.visitor.coverage_page import package_panels
from configurator.web.visitor.faults import without
from configurator.web.visitor.form import CHANGED, FORM, GO, Form, is_page_key, plan_pairs
from configurator.web.visitor.look import Look, look_from_query
from configurator.web.visitor.plan import STARTER, Pair, Plan
from configurator.web.visitor.sending import send
from configurator.web.visitor.sent_fields import NOTHING_SENT
from configurator.web.visitor.shared import plans
from configurator.web.visitor.steps import Step, step_of
from configurator.web.visitor.view import View
from configurator.wording.words import words_for

NOT_ON_THIS_CAR = {"unknown_panel", "lamp_is_no_panel", "glass_is_no_panel", "no_such_lamps", "feature_not_possible", "unknown_feature"}
"""Faults that a change of car brings about by itself: what the new car hasn't is dropped, as the page says nothing else."""
MOST_MENDING = 4


def make_blueprint(*, embedded: bool) -> Blueprint:
    """The configurator's routes; `embedded` ones are for frames, and stay in them."""
    blueprint = Blueprint("framed" if embedded else "visitor", __name__, url_prefix="/embed/configure" if embedded else "/configure")
    blueprint.before_request(lambda: admit(embedded=embedded))
    blueprint.after_request(pack)
    if embedded:
        blueprint.after_request(sites.open_to_frames)
    blueprint.add_url_rule("", "configure", limiter.limit(limits.estimates)(configure))
    blueprint.add_url_rule("/live", "live", limiter.limit(limits.estimates)(live))
    blueprint.add_url_rule("/send", "send", limiter.limit(limits.requests)(send), methods=["POST"])
    return blueprint


def admit(*, embedded: bool, at_desk: bool = False) -> Response | None:
    """Reads the look, and lets a frame in only on a site that the shop has listed."""
    g.look = look_from_query(request.values, embedded=embedded, at_desk=at_desk)
    g.words = words_for(words().locale, inches=g.look.unit == "in")
    return sites.admit(g.look.site) if embedded else None


def configure() -> Response:
    """A step's page; after a form was sent, the way to the plan's own address."""
    look: Look = g.look
    step = step_of(request.args.get("step", ""))
    if step is None:
        fault = Fault("step", "not_a_choice", {"choices": ", ".join(Step)})
        return rendering.refused((fault,), mended=rendering.address(look, Step.CAR, _plan_pairs_of_query()))
    if FORM in request.args:
        return _after_form(look)
    pairs = _plan_pairs_of_query() or list(STARTER)
    try:
        plan = plans().plan(pairs)
    except InvalidInput as error:
        mended = _mended(pairs)
        return rendering.refused(error.faults, mended=rendering.address(look, step, mended.pairs) if mended else None)
    known = known_contact(look) if step is Step.SEND else NOTHING_SENT
    return rendering.page(View(look=look, step=step, plan=plan, side=_side(), sent=known))


def live() -> Response:
    """The part of a step's page that changes, for a form as it stands."""
    look: Look = g.look
    if FORM not in request.args:
        raise InvalidInput([Fault(FORM, "missing")])
    sent = _sent_form()
    plan, faults = _plan_of_form(sent)
    have = frozenset(request.headers.get("X-Tuckline-Have", "")[:2000].split(","))
    view = View(
        look=look, step=sent.step, plan=plan, side=_side(), faults=faults, typed=_typed(),
        live=True, have=have, changed=request.args.get(CHANGED, "")[:120],
    )  # fmt: skip
    return rendering.page(view)


def _after_form(look: Look) -> Response:
    sent = _sent_form()
    plan, faults = _plan_of_form(sent)
    if faults:
        side = _side()
        return rendering.page(View(look=look, step=sent.step, plan=plan, side=side, faults=faults, typed=_typed()))
    target = step_of(request.args.get(GO, sent.step)) or sent.step
    extra = [("f.side", "right")] if _side() == "right" and target is sent.step else []
    response = make_response(redirect(rendering.address(look, target, plan.pairs, extra), 303))
    response.headers["Cache-Control"] = "no-store"
    return response


def _sent_form() -> Form:
    step = step_of(request.args.get(FORM, ""))
    if step is None:
        raise InvalidInput([Fault(FORM, "not_a_choice", {"choices": ", ".join(Step)})])
    return Form(step, request.args)


def _plan_of_form(sent: Form) -> tuple[Plan, tuple[Fault, ...]]:
    """The plan that a form stands for, and what of it could not be used: the plan is then the one without those parts."""
    pairs = plan_pairs(sent, _package_panels)
    faults: list[Fault] = []
    for _ in range(MOST_MENDING):
        try:
            return plans().plan(pairs), tuple(faults)
        except InvalidInput as error:
            faults += [fault for fault in error.faults if fault.code not in NOT_ON_THIS_CAR or sent.step is not Step.CAR]
            pairs = without(pairs, error.faults)
    return plans().plan(STARTER), tuple(faults)


def _package_panels(pairs: Iterable[Pair], package: str) -> tuple[str, ...]:
    if package not in set(Package):
        return ()
    car = [(key, value) for key, value in pairs if key not in {"package", "add", "remove"}]
    try:
        return package_panels(plans(), plans().plan(car), Package(package))
    except InvalidInput:
        return ()


def _mended(pairs: list[Pair]) -> Plan | None:
    """The plan without what can't be used, to be offered and never taken by itself; None when nothing is left."""
    for _ in range(MOST_MENDING):
        try:
            return plans().plan(pairs)
        except InvalidInput as error:
            fewer = without(pairs, error.faults)
            if fewer == pairs or not fewer:
                return None
            pairs = fewer
    return None


def _plan_pairs_of_query() -> list[Pair]:
    return [(key, value) for key, value in request.args.items(multi=True) if not is_page_key(key)]


def _side() -> str:
    """The side of the car that is shown: a button that was pressed stands after the form's own field."""
    return "right" if request.args.getlist("f.side")[-1:] == ["right"] else "left"


def _typed() -> dict[str, str]:
    """The helper fields as they were sent: what was typed is shown again, and what was opened stays open."""
    return {key.removeprefix("f."): value for key, value in request.args.items() if key.startswith("f.")}

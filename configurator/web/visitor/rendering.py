"""From a plan to a page."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from flask import Response, g, make_response, render_template

from configurator.errors import Fault
from configurator.web.assets import asset
from configurator.web.i18n import words
from configurator.web.visitor.announcing import announcement
from configurator.web.visitor.car_page import size_text
from configurator.web.visitor.card import Card, card_of
from configurator.web.visitor.faults import control_id
from configurator.web.visitor.figures import price_figures
from configurator.web.visitor.form import FORM, carried
from configurator.web.visitor.look import Look
from configurator.web.visitor.look_rules import look_rules
from configurator.web.visitor.plan import Pair
from configurator.web.visitor.sheet import rules_of
from configurator.web.visitor.step_contexts import STEP_CONTEXT
from configurator.web.visitor.steps import CONTINUE, CONTINUE_OF_SCOPE, HEADINGS, LEADS, NAMES, NAMES_OF_SCOPE, Step
from configurator.web.visitor.view import View
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales
from configurator.wording.words import words_for


def page(view: View) -> Response:
    """The page of a step; status 422 when something that was sent could not be used."""
    speaker = words()
    card = card_of(view.plan.estimate, speaker)
    context = _common(view, card)
    context.update(STEP_CONTEXT[view.step](view))
    response = make_response(render_template(f"configure/{view.step}.html", **context), 422 if view.faults else 200)
    response.headers["Cache-Control"] = "no-store" if view.step is Step.SEND else "private, no-cache"
    if not view.live:
        response.headers["Link"] = f"<{asset('css/visitor.css')}>; rel=preload; as=style"  # fetched before the page's first byte is read
    return response


def refused(faults: Iterable[Fault], *, mended: str | None) -> Response:
    """The page for an address that can't be used: every fault with its key."""
    speaker = words()
    errors = [{"field": "", "text": f"{fault.path}: {speaker.fault(fault)}"} for fault in faults]
    title = speaker.ngettext("One thing in the address can't be used", "%(num)s things in the address can't be used", len(errors))
    context = {"look": g.look, "errors": errors, "errors_title": title % {"num": len(errors)}, "mended": mended}
    response = make_response(render_template("configure/refused.html", **context), 422)
    response.headers["Cache-Control"] = "no-store"
    return response


def address(look: Look, step: str, pairs: Iterable[Pair], extra: Iterable[Pair] = ()) -> str:
    """The address of a step for a plan: what is linked, bookmarked and shared."""
    return f"{look.base}?{urlencode([('step', str(step)), *pairs, *look.pairs(), *extra])}"


def _common(view: View, card: Card) -> dict[str, Any]:
    """What every step's template needs."""
    speaker, plan, step = words(), view.plan, view.step
    texts = [(fault, speaker.fault(fault)) for fault in view.faults]
    resprayed = tuple(plan.given.vehicle.resprayed)
    count = len(texts)
    title = speaker.ngettext("One thing to change", "%(num)s things to change", count) % {"num": count}
    names, labels = (NAMES_OF_SCOPE, CONTINUE_OF_SCOPE) if view.look.scope_of else (NAMES, CONTINUE)
    own = [("step", str(step)), (FORM, str(step))]
    look_pairs = [pair for pair in view.look.pairs() if not (step is Step.CAR and pair[0] == "unit")]
    return {
        "look": view.look,
        "look_rules": look_rules(view.look),
        "live": view.live,
        "plan": plan,
        "card": card,
        "figures": price_figures(plan.estimate, wired().shop.calendar, speaker),
        "step": step,
        "step_index": list(Step).index(step),
        "steps": [(other, speaker.gettext(names[other])) for other in Step],
        "heading": speaker.gettext(HEADINGS[step]),
        "lead": speaker.gettext(LEADS[step]),
        "following": step.following,
        "following_name": speaker.gettext(names[step.following]),
        "continue_label": speaker.gettext(labels[step]),
        "address": lambda target: address(view.look, target, plan.pairs),
        "shared_address": address(Look(lang=view.look.lang, unit=view.look.unit), step, plan.pairs),
        "languages": _languages(view),
        "carried": [*own, *carried(step, plan.pairs), *look_pairs],
        "errors": [{"field": control_id(fault.path, resprayed), "text": text} for fault, text in texts],
        "errors_title": title,
        "error_texts": {control_id(fault.path, resprayed): text for fault, text in texts},
        "say": announcement(view.changed, plan, card, speaker) if view.live and not texts else " ".join(text for _, text in texts),
        "side": view.side,
        "size": size_text(plan.estimate.body.size, speaker),
        "rules": rules_of("", view.have),
    }


def _languages(view: View) -> list[tuple[str, str, str]]:
    """The other languages: tag, own name, address of this page in it."""
    speaker = words()
    others = [words_for(locale) for locale in available_locales() if locale.split("_")[0] != speaker.locale.split("_")[0]]
    return [
        (other.language_tag, other.language_name(), address(replace(view.look, lang=other.locale), view.step, view.plan.pairs))
        for other in others
    ]

"""What each step's template needs beside what all steps share."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body
from configurator.domain.body.style import BodyStyle
from configurator.domain.selection import Correction, Package, PaintCondition
from configurator.web import form_tokens
from configurator.web.i18n import words
from configurator.web.visitor.car_page import car_page
from configurator.web.visitor.caution_texts import OF_THE_VERDICT, at, grouped
from configurator.web.visitor.coverage_page import coverage_page
from configurator.web.visitor.edges_page import edges_page
from configurator.web.visitor.estimate_page import date_cards, estimate_page
from configurator.web.visitor.figures import gauge_figure
from configurator.web.visitor.finish_page import finish_page
from configurator.web.visitor.free_dates import free_dates
from configurator.web.visitor.lamps_page import LampCard, Verdict, lamps_page
from configurator.web.visitor.minis import body_mini, package_mini
from configurator.web.visitor.recap import recap_rows
from configurator.web.visitor.shared import plans
from configurator.web.visitor.sheet import rules_of, sheet_rules, view_art
from configurator.web.visitor.steps import Step
from configurator.web.visitor.view import View
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales
from configurator.wording.words import Words, words_for

EDGE_CAUTIONS = frozenset(
    {
        "airbags_near_hidden_edges", "airbags_behind_pillar_trim", "airbags_behind_trim", "impact_sensors", "bumper_sensors",
        "parking_sensors", "radar_behind_front", "camera_mirrors", "rear_camera", "high_voltage_tell_us", "clips_break",
        "blades_accept", "headlamp_aim",
    }
)  # fmt: skip
"""What a visitor should know where the kind of edge is chosen; everything else stands where its own choice is made."""
OTHER_VIEWS = ("front", "top", "rear")


def _views(view: View, names: Iterable[str], *, interactive: bool = False, numbers: Mapping[str, str] | None = None) -> dict[str, Any]:
    book = wired().shop.book
    return {name: view_art(name, view.plan, book, words(), view.have, interactive=interactive, numbers=numbers or {}) for name in names}


def _car(view: View) -> dict[str, Any]:
    speaker, shop = words(), wired().shop
    minis = {id: body_mini(_typical_body(style), view.have) for id, style in shop.styles.items()}
    return {
        "page": car_page(view.plan, shop, speaker, sent=view.typed, has_faults=bool(view.faults)),
        "minis": minis,
        "respray_wait_days": shop.book.terms.respray_wait_days,
        "choices": {
            "condition": [(each.value, speaker.name("condition", each.value)) for each in PaintCondition],
            "correction": [(each.value, speaker.name("correction", each.value)) for each in Correction],
            "stripe_count": [("1", speaker.gettext("One")), ("2", speaker.gettext("Two"))],
        },
    }


def _typical_body(style: BodyStyle) -> Body:
    return build_body(style, size=style.typical_size, features=style.usual_features, fuel_door=style.fuel_door)


def _coverage(view: View) -> dict[str, Any]:
    body = view.plan.estimate.body
    packages = [*(Package(id) for id in wired().shop.book.packages), Package.NONE]
    scopes = {package.value: plans().with_package(view.plan, package).estimate.scope for package in packages}
    shown = (view.side, *OTHER_VIEWS)
    return {
        "page": coverage_page(view.plan, plans(), words()),
        "minis": {name: package_mini(body, scope, name, view.have) for name, scope in scopes.items()},
        "views": _views(view, shown, interactive=True),
        "rules": rules_of(sheet_rules(view.plan, shown), view.have),
    }


def _finish(view: View) -> dict[str, Any]:
    speaker, shop = words(), wired().shop
    finishes = [(finish, speaker.name("finish", finish)) for finish in shop.book.finishes]
    return {"page": finish_page(view.plan, shop, speaker), "views": _views(view, ("top", "front")), "stripe_finishes": finishes}


def _lamps(view: View) -> dict[str, Any]:
    page, said = lamps_page(view.plan, wired().shop.book, words()), view.plan.estimate.cautions
    return {
        "page": page,
        "views": _views(view, ("front", "rear")),
        "gauges": {card.id: gauge_figure(card, words()) for card in page.cards},
        "cautions": {card.id: grouped(at(said, card.id), words(), leave_out=OF_THE_VERDICT) for card in page.cards},
    }


def _edges(view: View) -> dict[str, Any]:
    about_edges = [caution for caution in view.plan.estimate.cautions if caution.code in EDGE_CAUTIONS]
    page = edges_page(view.plan, plans(), words())
    return {
        "page": page,
        "views": _views(view, ("left", "front"), numbers=page.numbers),
        "cautions": grouped(about_edges, words()),
    }


def _estimate(view: View) -> dict[str, Any]:
    return {
        "page": estimate_page(view.plan, free_dates(view.plan), words()),
        "views": _views(view, ("left", "top")),
        "recap": recap_rows(view.plan, words()),
        "cautions": grouped(view.plan.estimate.cautions, words()),
    }


def _send(view: View) -> dict[str, Any]:
    speaker, shop = words(), wired().shop
    cards = lamps_page(view.plan, shop.book, speaker).cards
    return {
        "views": _views(view, ("left", "top")),
        "recap": recap_rows(view.plan, speaker),
        "dates": date_cards(free_dates(view.plan), None, speaker),
        "form_token": view.form_token or form_tokens.issue(view.look.site),
        "typed": view.sent,
        "caller_languages": [(locale, words_for(locale).language_name()) for locale in available_locales()],
        "to_acknowledge": [_to_acknowledge(card, card.verdict, speaker) for card in cards if card.verdict and card.verdict.needs_tick],
        "refused": [card for card in cards if card.verdict and card.verdict.refused],
    }


def _to_acknowledge(card: LampCard, verdict: Verdict, words: Words) -> dict[str, Any]:
    facts = {"lamp": card.name, "film": words.name("lamp_film", card.film), "status": verdict.title}
    title = words.gettext("%(lamp)s, %(film)s: %(status)s") % facts
    return {"id": card.id, "title": title, "texts": verdict.texts, "source": verdict.source}


STEP_CONTEXT: Mapping[Step, Callable[[View], dict[str, Any]]] = {
    Step.CAR: _car,
    Step.COVERAGE: _coverage,
    Step.FINISH: _finish,
    Step.LAMPS: _lamps,
    Step.EDGES: _edges,
    Step.ESTIMATE: _estimate,
    Step.SEND: _send,
}

"""The drawings a page needs: each with a digest, so that one the browser has isn't sent again, and labels to tap on."""

import hashlib
from collections import OrderedDict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock

from markupsafe import Markup

from configurator.domain.body.measure import area_m2
from configurator.domain.body.records import Body
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import Scope
from configurator.drawing.car import draw_view
from configurator.drawing.discs import disc_positions
from configurator.drawing.live import panel_rules
from configurator.drawing.options import Labels, Options
from configurator.drawing.regions import disc_percents, hit_polygons
from configurator.drawing.states import State, film_look, shown_panels
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

FORM = "cfg-plan"
MOST_KEPT = 200


@dataclass(frozen=True)
class Tap:
    """An empty label over a drawing: the panel it ticks, its name, and the class that cuts it to shape."""

    panel: str
    name: str
    look: str


@dataclass(frozen=True)
class Art:
    """A drawing. `svg` is empty when the browser has it; `taps` are the labels that lie over it."""

    name: str
    digest: str
    svg: Markup
    taps: tuple[Tap, ...] = ()
    close: bool = False
    """Nothing stands around the car, so the page may cut the room for it off."""


def view_art(
    view: str, plan: Plan, book: PriceBook, words: Words, have: Collection[str], *, interactive: bool = False, numbers: Mapping[str, str]
) -> Art:
    """One view of the plan's car; `interactive` views have a check box role per panel, discs, and labels to tap.

    `numbers`: panel id -> what stands on its disc. The digest says how the drawing is made, not which boxes are ticked: those the
    browser shows by itself, so a tick brings no new drawing.
    """
    look = Options(interactive=interactive, discs=interactive, sizes=interactive, numbers=numbers)
    digest, close = _digest(view, plan, book, words, look), not interactive and not numbers
    if digest in have:
        return Art(view, digest, Markup(""), close=close)
    taps = _taps(view, plan, words) if interactive else ()
    return Art(view, digest, Markup(_drawn(view, plan, book, words, look)), taps, close)  # noqa: S704  # our own drawing, escaped by its writer


def _digest(view: str, plan: Plan, book: PriceBook, words: Words, look: Options) -> str:
    """A short name for a drawing's structure: body, words, and on each panel what it shows or would show once ticked."""
    estimate = plan.estimate
    panels = shown_panels(estimate.body, estimate.scope, estimate.selection, film_look(book))
    structure = [
        (id, _kind(shown.state, look), shown.coat, shown.colour, shown.transmission, shown.part and area_m2(shown.part))
        for id, shown in panels.items()
    ]
    vehicle = estimate.selection.vehicle
    said = (view, words.locale, words.inches, look, estimate.body.style, vehicle.size, sorted(estimate.body.features), vehicle.fuel_door)
    return hashlib.sha256(repr((said, vehicle.stripes, vehicle.paint, structure)).encode()).hexdigest()[:12]


def _kind(state: State, look: Options) -> State:
    """Bare and covered are one kind where the browser shows the ticks itself."""
    return State.BARE if look.interactive and state is State.COVERED else state


_kept: OrderedDict[str, str] = OrderedDict()
_lock = Lock()


def _drawn(view: str, plan: Plan, book: PriceBook, words: Words, look: Options) -> str:
    """The SVG; the latest are kept."""
    key = repr((view, plan.pairs, words.locale, words.inches, look, book.version))
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    svg = _draw(view, plan, book, words, look)
    with _lock:
        _kept[key] = svg
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)
    return svg


def _draw(view: str, plan: Plan, book: PriceBook, words: Words, look: Options) -> str:
    estimate = plan.estimate
    size = estimate.body.size
    labels = Labels(
        views={view: words.name("view", view)},
        panels=_panel_labels(estimate.scope, estimate.body, words),
        sizes={"length_mm": words.length(size.length_mm), "width_mm": words.length(size.width_mm)},
    )
    return draw_view(
        estimate.body, estimate.scope, view, labels=labels, prefix=view, selection=estimate.selection, films=film_look(book), options=look
    )


@dataclass(frozen=True)
class Rules:
    """A page's generated stylesheet; `text` is empty when the browser has it."""

    text: Markup
    digest: str


def rules_of(css: str, have: Collection[str]) -> Rules:
    """The rules with their digest. `css` is made of ids and numbers only."""
    digest = hashlib.sha256(css.encode()).hexdigest()[:12] if css else ""
    return Rules(Markup("" if digest in have else css), digest)  # noqa: S704


def _panel_labels(scope: Scope, body: Body, words: Words) -> Mapping[str, str]:
    """Panel id -> name and area, as a screen reader says it beside the check box's own state."""
    labels = {}
    for id, panel in scope.panels.items():
        name = words.name("panel", id, body=body.style)
        text = words.gettext("%(panel)s, %(area)s") if panel.filmable else words.gettext("%(panel)s, can't take film")
        labels[id] = text % {"panel": name, "area": words.area(panel.area_m2)}
    others = (id for id, panel in body.panels.items() if panel.selectable and id not in labels)
    return labels | {id: words.name("panel", id, body=body.style) for id in others}


def _taps(view: str, plan: Plan, words: Words) -> tuple[Tap, ...]:
    """The panels of a view that have a tick, then the discs that stand beside the car."""
    scope, body = plan.estimate.scope, plan.estimate.body
    shown = hit_polygons(body, view)
    able = [id for id in shown if id in scope.panels and scope.panels[id].filmable]
    names = {id: words.name("panel", id, body=body.style) for id in able}
    return tuple(Tap(id, names[id], f"t-{view}-{id}") for id in able) + tuple(
        Tap(id, names[id], f"d-{view}-{id}") for id in able if id in _led(body, view)
    )


@lru_cache(maxsize=96)
def _led(body: Body, view: str) -> frozenset[str]:
    """Panels too small for a disc of their own, whose disc stands beside the car at the end of a leader."""
    return frozenset(id for id, disc in disc_positions(body, view).items() if disc.anchor is not None)


def sheet_rules(plan: Plan, views: Iterable[str]) -> str:
    """The page's own stylesheet: ticks light their panels, and each label is cut to its panel's visible outline and disc."""
    body = plan.estimate.body
    rules = [panel_rules((id for id, panel in plan.estimate.scope.panels.items() if panel.filmable), form=FORM)]
    rules += [_tap_rules(body, view) for view in views]
    return "".join(rules)


@lru_cache(maxsize=96)
def _tap_rules(body: Body, view: str) -> str:
    rules, discs = [], disc_percents(body, view)
    for panel, outline in hit_polygons(body, view).items():
        points = ",".join(f"{x:.1f}% {y:.1f}%".replace(".0%", "%") for x, y in outline)
        rules.append(f".t-{view}-{panel}{{clip-path:polygon({points})}}")
    led = _led(body, view)
    rules += [
        f".d-{view}-{panel}{{clip-path:circle(max(12px,{radius:g}%) at {x:.1f}% {y:.1f}%)}}"
        for panel, (x, y, radius) in discs.items()
        if panel in led
    ]
    return "\n".join(rules) + "\n"

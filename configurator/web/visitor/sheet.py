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
from configurator.drawing.car import draw_miniature, draw_view, view_box
from configurator.drawing.live import panel_rules
from configurator.drawing.options import Labels, Options
from configurator.drawing.regions import hit_polygons
from configurator.drawing.states import State, film_look, shown_panels
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

FORM = "cfg-plan"
MOST_KEPT = 200


@dataclass(frozen=True)
class Art:
    """A drawing. `svg` is empty when the browser has it; `taps` are (panel id, name) of the labels that lie over it."""

    name: str
    digest: str
    svg: Markup
    taps: tuple[tuple[str, str], ...] = ()


def view_art(
    view: str, plan: Plan, book: PriceBook, words: Words, have: Collection[str], *, interactive: bool = False, numbers: Mapping[str, str]
) -> Art:
    """One view of the plan's car; `interactive` views have a check box role per panel, discs, and labels to tap.

    `numbers`: panel id -> what stands on its disc. The digest says how the drawing is made, not which boxes are ticked: those the
    browser shows by itself, so a tick brings no new drawing.
    """
    look = Options(interactive=interactive, discs=interactive, sizes=interactive, numbers=numbers)
    digest = _digest(view, plan, book, words, look)
    if digest in have:
        return Art(view, digest, Markup(""))
    taps = _taps(view, plan, words) if interactive else ()
    return Art(view, digest, Markup(_drawn(view, plan, book, words, look)), taps)  # noqa: S704  # our own drawing, escaped by its writer


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
class Mini:
    """A small left side that is drawn once and shown on several cards, each with other panels filled."""

    digest: str
    svg: Markup
    view_box: str

    def shown(self, look: str) -> Markup:
        """The drawing once more, under a class whose rules say which panels are filled. It says nothing that a card's text doesn't."""
        return Markup('<svg viewBox="{}" class="cfg-mini {}" aria-hidden="true" focusable="false"><use href="#{}"/></svg>').format(
            self.view_box, look, MINI_ID
        )


MINI_ID = "mini-car"


def mini_of(body: Body, panels: Iterable[str], have: Collection[str]) -> Mini:
    """The small drawing of a body; `panels` are those that any card fills."""
    svg = _miniature(body, tuple(panels))
    digest = hashlib.sha256(svg.encode()).hexdigest()[:12]
    box = " ".join(map(str, view_box(body, "left")))
    return Mini(digest, Markup("" if digest in have else svg), box)  # noqa: S704  # our own drawing, escaped by its writer


@lru_cache(maxsize=100)
def _miniature(body: Body, panels: tuple[str, ...]) -> str:
    """Its panels carry classes of their own (`c-hood`), so that ticks on the sheet don't fill them."""
    svg = draw_miniature(body, panels, prefix="m")
    return svg.replace("<svg ", f'<svg id="{MINI_ID}" aria-hidden="true" ', 1).replace('class="v-', 'class="c-')


@lru_cache(maxsize=100)
def body_mini(body: Body, name: str) -> Markup:
    """A small bare left side for a body's card."""
    return Markup(draw_miniature(body, (), prefix=f"b-{name}"))  # noqa: S704  # our own drawing, escaped by its writer


def mini_rules(covered: Mapping[str, Iterable[str]]) -> str:
    """Which panels each card fills: `covered` is class -> panel ids."""
    panels = sorted({panel for ids in covered.values() for panel in ids})
    fills = "".join(f".c-{panel}{{opacity:var(--c-{panel},0)}}" for panel in panels)
    cards = "".join(f".{look}{{{';'.join(f'--c-{panel}:1' for panel in ids)}}}" for look, ids in covered.items())
    return fills + cards


def _panel_labels(scope: Scope, body: Body, words: Words) -> Mapping[str, str]:
    """Panel id -> name and area, as a screen reader says it beside the check box's own state."""
    labels = {}
    for id, panel in scope.panels.items():
        name = words.name("panel", id, body=body.style)
        text = words.gettext("%(panel)s, %(area)s") if panel.filmable else words.gettext("%(panel)s, can't take film")
        labels[id] = text % {"panel": name, "area": words.area(panel.area_m2)}
    others = (id for id, panel in body.panels.items() if panel.selectable and id not in labels)
    return labels | {id: words.name("panel", id, body=body.style) for id in others}


def _taps(view: str, plan: Plan, words: Words) -> tuple[tuple[str, str], ...]:
    """The panels of a view that have a tick, larger ones first, so that small ones lie on top."""
    scope, body = plan.estimate.scope, plan.estimate.body
    shown = hit_polygons(body, view)
    able = [id for id in shown if id in scope.panels and scope.panels[id].filmable]
    return tuple((id, words.name("panel", id, body=body.style)) for id in able)


def sheet_rules(plan: Plan, views: Iterable[str]) -> str:
    """The page's own stylesheet: ticks light their panels, and each label is cut to its panel's visible outline and disc."""
    body = plan.estimate.body
    rules = [panel_rules((id for id, panel in plan.estimate.scope.panels.items() if panel.filmable), form=FORM)]
    rules += [_tap_rules(body, view) for view in views]
    return "".join(rules)


@lru_cache(maxsize=96)
def _tap_rules(body: Body, view: str) -> str:
    rules = []
    for panel, outline in hit_polygons(body, view).items():
        points = ",".join(f"{x:.1f}% {y:.1f}%".replace(".0%", "%") for x, y in outline)
        rules.append(f".t-{view}-{panel}{{clip-path:polygon({points})}}")
    return "\n".join(rules) + "\n"

"""The small cars on cards: a body drawn once, shown on each package's card with that package's panels filled."""

import hashlib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from markupsafe import Markup

from configurator.domain.body.records import Body
from configurator.domain.scope import Scope, ScopedPanel
from configurator.drawing.car import draw_miniature, view_box
from configurator.drawing.frame import ViewBox
from configurator.web.visitor.coverage_page import is_strip

MINI_ID = "mini-car"
CROP_SIDES_MM, CROP_ABOVE_MM, CROP_BELOW_MM = 200, 340, 210
Rect = tuple[int, int, int, int]


@dataclass(frozen=True)
class Fill:
    """What a card fills: panels all over, and panels of which a part is covered with that part's box (x, y, width, height, mm)."""

    whole: tuple[str, ...]
    parts: Mapping[str, Rect]


@dataclass(frozen=True)
class Mini:
    """The drawing that the cards' pictures are made from; `svg` is empty when the browser has it."""

    digest: str
    svg: Markup
    view_box: ViewBox
    fills: Mapping[str, Fill]

    def shown(self, card: str) -> Markup:
        """The picture of a card. It says nothing that the card's text doesn't."""
        fill = self.fills[card]
        pictures = [self._use(f"m-{card}")]
        if fill.parts:
            boxes = Markup("").join(
                Markup('<rect x="{}" y="{}" width="{}" height="{}"/>').format(*rect) for rect in dict.fromkeys(fill.parts.values())
            )
            clip = Markup('<clipPath id="clip-{}">{}</clipPath><g clip-path="url(#clip-{})">{}</g>')
            pictures.append(clip.format(card, boxes, card, self._use(f"p-{card} cfg-mini__film")))
        svg = Markup('<svg viewBox="{}" class="cfg-mini" aria-hidden="true" focusable="false">{}</svg>')
        return svg.format(_written(_cropped(self.view_box)), Markup("").join(pictures))

    def _use(self, look: str) -> Markup:
        x, y, width, height = self.view_box
        return Markup('<use href="#{}" class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(MINI_ID, look, x, y, width, height)


def _cropped(box: ViewBox) -> ViewBox:
    """A view's box without the room for discs and measures around the car."""
    x, y, width, height = box
    return x + CROP_SIDES_MM, y + CROP_ABOVE_MM, width - 2 * CROP_SIDES_MM, height - CROP_ABOVE_MM - CROP_BELOW_MM


def _written(box: ViewBox) -> str:
    return " ".join(map(str, box))


def fill_of(scope: Scope) -> Fill:
    """What a package fills on this car."""
    parts = {panel.id: _box(panel) for panel in scope.covered if is_strip(panel)}
    return Fill(tuple(panel.id for panel in scope.covered if panel.id not in parts), parts)


def _box(panel: ScopedPanel) -> Rect:
    """Where the covered part of a panel lies in the left view (x rearward, y downward)."""
    points = (panel.covered_panel or panel.panel).mesh.vertices
    low, high = points.min(axis=0), points.max(axis=0)
    return round(low[0]), round(-high[2]), round(high[0] - low[0]), round(high[2] - low[2])


def mini_of(body: Body, fills: Mapping[str, Fill], have: Collection[str]) -> Mini:
    """The small drawing of a body for these cards."""
    svg = _miniature(body, tuple(_filled(fills)))
    digest = hashlib.sha256(svg.encode()).hexdigest()[:12]
    return Mini(digest, Markup("" if digest in have else svg), view_box(body, "left"), fills)  # noqa: S704  # our own drawing


@lru_cache(maxsize=100)
def _miniature(body: Body, panels: tuple[str, ...]) -> str:
    """Its panels carry classes of their own (`c-hood`), so that ticks on the sheet don't fill them."""
    svg = draw_miniature(body, panels, prefix="m")
    svg = svg.replace('class="v-', 'class="c-').replace('class="car-drawing', 'class="cfg-mini-car car-drawing', 1)
    return svg.replace("<svg ", f'<svg id="{MINI_ID}" ', 1)


@lru_cache(maxsize=100)
def body_mini(body: Body) -> Markup:
    """A small bare car for a body's card."""
    box = view_box(body, "left")
    svg = draw_miniature(body, (), prefix=f"b-{body.style}")
    return Markup(svg.replace(_written(box), _written(_cropped(box)), 1))  # noqa: S704  # our own drawing, escaped by its writer


def mini_rules(fills: Mapping[str, Fill]) -> str:
    """Which panels each card fills: a film of the drawing shows where its panel's own property is 1, which a card's picture sets."""
    panels = "".join(f".c-{panel}{{--c:var(--c-{panel},0)}}" for panel in _filled(fills))
    whole = "".join(_sets(f"m-{card}", fill.whole) for card, fill in fills.items())
    parts = "".join(_sets(f"p-{card}", fill.parts) for card, fill in fills.items() if fill.parts)
    return panels + whole + parts


def _filled(fills: Mapping[str, Fill]) -> list[str]:
    return sorted({panel for fill in fills.values() for panel in (*fill.whole, *fill.parts)})


def _sets(look: str, panels: Iterable[str]) -> str:
    return f".{look}{{{';'.join(f'--c-{panel}:1' for panel in panels)}}}"

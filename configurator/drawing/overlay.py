"""What can be pointed at, focused and read out: one group per selectable panel over the picture, with its rings and disc."""

from collections.abc import Mapping
from dataclasses import dataclass

from configurator.domain.body.records import Layer
from configurator.drawing.discs import DISC_PX, GLYPH_RADIUS, HIT_PX, Disc, disc_positions, glyph
from configurator.drawing.film import Share
from configurator.drawing.furniture import Pen
from configurator.drawing.options import Labels, Options
from configurator.drawing.scene import Scene, Shape
from configurator.drawing.states import Shown, State
from configurator.drawing.svg import Element, Value, group, number, path, use, written

_TICKED = (State.COVERED, State.PART)
_CHOOSABLE = (State.BARE, State.COVERED, State.PART)
_WITH_DISC = (*_CHOOSABLE, State.REFUSED, State.WAITING)


@dataclass(frozen=True)
class Overlay:
    """Everything that one view's overlay is made from."""

    drawn: Scene
    shown: Mapping[str, Shown]
    labels: Labels
    ids: str
    options: Options
    pen: Pen
    share: Share

    def elements(self) -> list[Element]:
        """Groups in the body's own order (nose to tail), not in painter's order: that is how they are read out."""
        order = {panel: place for place, panel in enumerate(self.drawn.body.panels)}
        every = [shape for host in self.drawn.shapes for shape in (host, *host.zones)]
        shapes = sorted((shape for shape in every if self._has_group(shape)), key=lambda shape: order[shape.panel.id])
        first = next((shape.panel.id for shape in shapes if self._choosable(shape.panel.id)), None)
        return [group(*(self._panel(shape, shape.panel.id == first) for shape in shapes), class_="panels")]

    def _has_group(self, shape: Shape) -> bool:
        """An extra zone lies on its host and would take its presses: it is there only while it is covered."""
        shown = self.shown.get(shape.panel.id)
        return shown is not None and (shape.panel.layer is not Layer.ZONE or shown.state in _TICKED)

    def _choosable(self, panel: str) -> bool:
        return self.options.interactive and self.shown[panel].state in _CHOOSABLE

    def _panel(self, shape: Shape, first: bool) -> Element:
        panel, shown = shape.panel.id, self.shown[shape.panel.id]
        is_box = self._choosable(panel)
        return group(
            *self._outlines(shape),
            *self._disc(panel, shown),
            class_=f"v v-{panel} is-{shown.state}",
            data_panel=panel,
            role="checkbox" if is_box else "img",
            aria_checked=("true" if shown.state in _TICKED else "false") if is_box else None,
            aria_label=self.labels.panels.get(panel) or panel,
            tabindex=(0 if first else -1) if is_box else None,
        )

    def _outlines(self, shape: Shape) -> list[Element]:
        """The area that takes presses, and the rings of hover and focus around it."""
        names = ("hit", "ring") if self.options.interactive else ("hit",)
        if self.options.interactive and self.drawn.is_hidden_in_part(shape):
            data = self.drawn.visible_data(shape.panel.id)
            return [path(data, class_=name, fill="none") for name in names]
        outline = f"{self.ids}{self.drawn.view.name}-{shape.outline}"
        return [use(outline, class_=name, fill="none", transform=shape.flip) for name in names]

    def _disc(self, panel: str, shown: Shown) -> list[Element]:
        faces = self._faces(panel, shown)
        disc = disc_positions(self.drawn.body, self.drawn.view.name).get(panel) if faces else None
        if disc is None:
            return []
        scale = DISC_PX * self.pen.mm_per_px / GLYPH_RADIUS
        where = f"translate({number(disc.x)} {number(disc.y)}) scale({number(round(scale, 2))})"
        hit = Element("circle", r=round(GLYPH_RADIUS * HIT_PX / DISC_PX), class_="disc-hit", fill="none")
        return [*_leader(disc), group(group(hit, *faces, class_="disc-face"), transform=where, class_="disc")]

    def _faces(self, panel: str, shown: Shown) -> list[Element]:
        if self.options.numbers:
            return _numbered(self.options.numbers[panel]) if panel in self.options.numbers else []
        if not self.options.discs or shown.state not in _WITH_DISC:
            return []
        if not self._choosable(panel):
            return [self._glyph(shown.state)]
        switch = "on" if shown.state in _TICKED else "off"
        ticked = self._glyph(shown.state if shown.state in _TICKED else State.COVERED, class_=f"when-on {switch}")
        return [ticked, self._glyph(State.BARE, class_=f"when-off {switch}")]

    def _glyph(self, state: State, **attributes: Value | None) -> Element:
        name = f"{self.ids}disc-{state}"
        self.share(name, glyph(state, name))
        return use(name, **attributes)


def overlay(drawn: Scene, shown: Mapping[str, Shown], labels: Labels, ids: str, options: Options, pen: Pen, share: Share) -> list[Element]:
    """The overlay of one view; `share` keeps its glyphs among the drawing's definitions."""
    return Overlay(drawn, shown, labels, ids, options, pen, share).elements()


def _leader(disc: Disc) -> list[Element]:
    if disc.anchor is None:
        return []
    x, y = disc.anchor
    line = f"M{number(x)} {number(y)}L{number(disc.x)} {number(disc.y)}"
    return [
        path(line, class_="leader casing", fill="none", stroke="#e9eeed", stroke_width=14),
        path(line, class_="leader", fill="none", stroke="#13212a", stroke_width=6),
        Element("circle", cx=x, cy=y, r=15, class_="leader-end", fill="#13212a", stroke="#e9eeed", stroke_width=5),
    ]


def _numbered(text: str) -> list[Element]:
    return [
        Element("circle", r=GLYPH_RADIUS, class_="disc-off", fill="#ffffff", stroke="#13212a", stroke_width=10),
        written(
            "text",
            text,
            y=33,
            text_anchor="middle",
            font_size=92 if len(text) < 3 else 68,
            font_weight=700,
            class_="mark-number",
            fill="#13212a",
        ),
    ]

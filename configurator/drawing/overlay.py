"""What can be pointed at, focused and read out: one group per selectable panel over the picture, with its rings and disc."""

from configurator.drawing.discs import HIT_RADIUS_MM, disc_positions, glyph
from configurator.drawing.options import Labels, Options
from configurator.drawing.scene import Scene, Shape
from configurator.drawing.states import Shown, State
from configurator.drawing.svg import Element, group, number, path, use, written

_TICKED = (State.COVERED, State.PART)
_CHOOSABLE = (State.BARE, State.COVERED, State.PART)


def overlay(drawn: Scene, shown: dict[str, Shown], labels: Labels, ids: str, options: Options) -> list[Element]:
    """Groups in the body's own order (nose to tail), not in painter's order: that is how they are read out."""
    order = {panel: place for place, panel in enumerate(drawn.body.panels)}
    shapes = sorted((shape for shape in drawn.shapes if shape.panel.id in shown), key=lambda shape: order[shape.panel.id])
    first = next((shape.panel.id for shape in shapes if shown[shape.panel.id].state in _CHOOSABLE), None)
    return [
        group(
            *(_panel(drawn, shape, shown[shape.panel.id], labels, ids, options, shape.panel.id == first) for shape in shapes),
            class_="panels",
        )
    ]


def _panel(drawn: Scene, shape: Shape, shown: Shown, labels: Labels, ids: str, options: Options, first: bool) -> Element:
    panel, view = shape.panel.id, drawn.view.name
    choosable = options.interactive and shown.state in _CHOOSABLE
    marks = _hit(shape, f"{ids}{view}-{panel}") + _disc(drawn, panel, shown, options)
    return group(
        *marks,
        class_=f"v v-{panel} is-{shown.state}",
        data_panel=panel,
        role="checkbox" if choosable else "img",
        aria_checked=("true" if shown.state in _TICKED else "false") if choosable else None,
        aria_label=labels.panels.get(panel) or panel,
        tabindex=(0 if first else -1) if choosable else None,
    )


def _hit(shape: Shape, outline: str) -> list[Element]:
    if shape.is_hidden_in_part:
        return [path(shape.visible_data, class_=name) for name in ("hit", "ring-out", "ring")]
    return [use(outline, class_=name) for name in ("hit", "ring-out", "ring")]


def _disc(drawn: Scene, panel: str, shown: Shown, options: Options) -> list[Element]:
    if not (options.discs or options.numbers) or shown.state in (State.LAMP, State.GLASS):
        return []
    disc = disc_positions(drawn.body, drawn.view.name).get(panel)
    if disc is None:
        return []
    marks = []
    if disc.anchor:
        line = f"M{number(disc.anchor[0])} {number(disc.anchor[1])}L{number(disc.x)} {number(disc.y)}"
        marks.append(path(line, class_="leader", fill="none", stroke="#13212a", stroke_width=6))
    marks.append(Element("circle", cx=disc.x, cy=disc.y, r=HIT_RADIUS_MM, class_="disc-hit", fill="none"))
    where = f"translate({number(disc.x)} {number(disc.y)})"
    if options.numbers:
        if panel in options.numbers:
            marks.append(group(*_numbered(options.numbers[panel]), transform=where, class_="disc"))
    elif options.interactive and shown.state in _CHOOSABLE:
        faces = [group(*glyph(State.COVERED), class_="disc-face when-on"), group(*glyph(State.BARE), class_="disc-face when-off")]
        marks.append(group(*faces, transform=where, class_="disc"))
    else:
        marks.append(group(group(*glyph(shown.state), class_="disc-face"), transform=where, class_="disc"))
    return marks


def _numbered(text: str) -> list[Element]:
    return [
        Element("circle", r=78, class_="disc-off", fill="#ffffff", stroke="#13212a", stroke_width=10),
        written("text", text, y=34, text_anchor="middle", font_size=96, font_weight=700, class_="disc-number", fill="#13212a"),
    ]

"""Panel names in the margins of a view, each at the end of a leader line: on demand, for print and for learning the words."""

from collections.abc import Mapping
from dataclasses import dataclass

from configurator.domain.body.records import Body
from configurator.drawing.discs import disc_positions
from configurator.drawing.frame import ViewBox, view_box
from configurator.drawing.furniture import Pen
from configurator.drawing.svg import Element, group, number, path

_LETTER = 0.56
"""Mean width of a letter as a share of the text's height."""
_ROW = 1.7
_BELOW_SIZES_PX = 62
_BETWEEN_PX = 10


Place = tuple[float, float]


@dataclass(frozen=True)
class Name:
    """A name centred on `x` with its base line at `y`; its leader ends on the panel at `anchor`. mm in the view's plane."""

    text: str
    x: float
    y: float
    anchor: Place


def names_in_margins(body: Body, view: str, names: Mapping[str, str], pen: Pen) -> list[Name]:
    """Upper panels are named above the car, lower ones below it, in as few rows as keep the names apart."""
    x, y, width, height = view_box(body, view)
    anchors = {panel: disc.anchor or (disc.x, disc.y) for panel, disc in disc_positions(body, view).items() if names.get(panel)}
    middle = y + 0.48 * height
    row = _ROW * pen.text_mm
    upper = _rows([(names[panel], at) for panel, at in anchors.items() if at[1] < middle], (x, x + width), pen)
    lower = _rows([(names[panel], at) for panel, at in anchors.items() if at[1] >= middle], (x, x + width), pen)
    floor = y + height if view == "top" else pen.px(_BELOW_SIZES_PX)
    placed = [Name(text, at, y - 0.4 * row - place * row, anchor) for text, at, place, anchor in upper]
    return placed + [Name(text, at, floor + 0.9 * row + place * row, anchor) for text, at, place, anchor in lower]


def _rows(wanted: list[tuple[str, Place]], span: tuple[float, float], pen: Pen) -> list[tuple[str, float, int, Place]]:
    """Each name's centre and row: above its anchor in the first row with room for it."""
    ends: list[float] = []
    placed = []
    for text, anchor in sorted(wanted, key=lambda item: item[1]):
        half = 0.5 * _LETTER * pen.text_mm * len(text)
        centre = min(max(anchor[0], span[0] + half), span[1] - half)
        place = next((row for row, end in enumerate(ends) if centre - half >= end), len(ends))
        if place == len(ends):
            ends.append(0.0)
        ends[place] = centre + half + pen.px(_BETWEEN_PX)
        placed.append((text, centre, place, anchor))
    return placed


def box_with_names(box: ViewBox, placed: list[Name], pen: Pen) -> ViewBox:
    """The view's box, taller by the rows of names."""
    x, y, width, height = box
    above = max((y - name.y + 1.4 * pen.text_mm for name in placed), default=0)
    below = max((name.y + 0.6 * pen.text_mm - y - height for name in placed), default=0)
    top, bottom = max(0, round(above)), max(0, round(below))
    return x, y - top, width, height + top + bottom


def name_marks(placed: list[Name], pen: Pen) -> list[Element]:
    leaders, texts = [], []
    for name in placed:
        end = name.y + 0.35 * pen.text_mm if name.y < name.anchor[1] else name.y - 0.95 * pen.text_mm
        line = f"M{number(name.anchor[0])} {number(name.anchor[1])}L{round(name.x)} {round(end)}"
        leaders.append(path(line, class_="leader casing", fill="none", stroke="#e9eeed", stroke_width=14))
        leaders.append(path(line, class_="leader", fill="none", stroke="#13212a", stroke_width=6))
        leaders.append(Element("circle", cx=name.anchor[0], cy=name.anchor[1], r=pen.px(2.2), class_="leader-end", fill="#13212a"))
        texts.append(pen.words(name.text, name.x, name.y, css="lettering name"))
    return [group(*leaders, *texts, class_="names", aria_hidden="true")]

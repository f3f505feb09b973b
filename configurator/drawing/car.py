"""The car: one view, the four-view sheet, the miniature. What other rooms call."""

from collections.abc import Collection, Mapping
from types import MappingProxyType

from configurator.domain.body.records import Body
from configurator.domain.scope import Scope
from configurator.domain.selection import Selection
from configurator.drawing.art import Artist
from configurator.drawing.frame import SHEET, ViewBox, sheet_places, view_boxes
from configurator.drawing.furniture import Pen, sheet_furniture, view_furniture
from configurator.drawing.miniature import miniature
from configurator.drawing.options import Labels, Options
from configurator.drawing.overlay import overlay
from configurator.drawing.projection import SHEET_VIEWS, VIEWS
from configurator.drawing.scene import scene
from configurator.drawing.states import FilmLook, shown_panels
from configurator.drawing.stylesheet import stylesheet
from configurator.drawing.svg import Element, document, group, written

__all__ = ["SHEET", "SHEET_VIEWS", "VIEWS", "draw_miniature", "draw_sheet", "draw_view", "view_box"]

NO_PARTS: Mapping[str, ViewBox] = MappingProxyType({})
_MM_PER_PX = 7.0
"""Scale at which a drawing is shown when the caller names no width."""


def view_box(body: Body, view: str) -> ViewBox:
    """x, y, width, height in mm of a view of this body (`SHEET` for the sheet). Left, right and top are twice as wide as front and rear."""
    return view_boxes(body)[view]


def draw_view(
    body: Body,
    scope: Scope | None,
    view: str,
    *,
    labels: Labels,
    prefix: str = "car",
    selection: Selection | None = None,
    films: FilmLook | None = None,
    options: Options | None = None,
) -> str:
    """One view (of `VIEWS`) as an SVG element.

    `scope` says what is covered, `selection` what stripes and finishes there are, `films` their colours; without them the car is bare.
    `prefix` goes before every id, so that several cars can stand in one page.
    """
    options = options or Options()
    shown = shown_panels(body, scope, selection, films or FilmLook())
    artist = Artist(body, shown, selection, prefix + "-", options)
    box = view_box(body, view)
    pen = _pen(box, options)
    content = view_furniture(body, view, labels, pen) if options.sizes else []
    content += artist.view(view)
    content += overlay(scene(body, view), shown, labels, prefix + "-", options, pen, artist.share)
    return _document(box, view, [*artist.definitions(), *content], labels, options)


def draw_sheet(
    body: Body,
    scope: Scope | None,
    *,
    labels: Labels,
    prefix: str = "car",
    selection: Selection | None = None,
    films: FilmLook | None = None,
    options: Options | None = None,
) -> str:
    """Left side, front, top and rear on one scale, as on a general-arrangement sheet."""
    options = options or Options()
    shown = shown_panels(body, scope, selection, films or FilmLook())
    artist = Artist(body, shown, selection, prefix + "-", options)
    box = view_box(body, SHEET)
    pen = _pen(box, options)
    content = sheet_furniture(box, labels, pen)
    for view in SHEET_VIEWS:
        marks = view_furniture(body, view, labels, pen) + artist.view(view)
        marks += overlay(scene(body, view), shown, labels, prefix + "-", options, pen, artist.share)
        x, y = sheet_places(body)[view]
        content.append(group(*marks, transform=f"translate({x} {y})", class_=f"view-{view}"))
    return _document(box, SHEET, [*artist.definitions(), *content], labels, options)


def draw_miniature(
    body: Body,
    covered: Collection[str],
    *,
    parts: Mapping[str, ViewBox] = NO_PARTS,
    label: str = "",
    prefix: str = "mini",
    width_px: int = 150,
) -> str:
    """The left side with the panels in `covered` filled, those in `parts` only within their box: for package cards.

    `label` empty hides it from screen readers.
    """
    return miniature(body, covered, parts, label=label, ids=prefix + "-", width_px=width_px)


def _pen(box: ViewBox, options: Options) -> Pen:
    return Pen(box[2] / _width_px(box, options))


def _width_px(box: ViewBox, options: Options) -> int:
    return options.width_px or round(box[2] / _MM_PER_PX)


def _document(box: ViewBox, view: str, content: list[Element], labels: Labels, options: Options) -> str:
    """An empty (not a missing) word for the view says that the words beside the drawing say it all: it is hidden from hearing."""
    width = _width_px(box, options)
    label = labels.views.get(view, view)
    heard = {"role": "group", "aria_label": label} if label else {"aria_hidden": "true"}
    style: list[Element] = []
    if options.standalone:
        x, y, wide, tall = box
        style = [written("style", stylesheet()), Element("rect", x=x, y=y, width=wide, height=tall, class_="paper", fill="#e9eeed")]
    root = document(
        *style,
        *content,
        view_box=box,
        width=width,
        height=round(width * box[3] / box[2], 1),
        class_=f"car-drawing view-{view}",
        **heard,
    )
    return root.to_string()

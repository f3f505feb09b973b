"""The car: one view, the four-view sheet, the miniature. What other rooms call."""

from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from types import MappingProxyType

from configurator.domain.body.records import Body
from configurator.domain.scope import Scope
from configurator.domain.selection import Selection, Stripes
from configurator.drawing.art import Artist
from configurator.drawing.frame import SHEET, ViewBox, sheet_places, view_box
from configurator.drawing.furniture import Pen, sheet_furniture, view_furniture
from configurator.drawing.miniature import miniature
from configurator.drawing.naming import Name, box_with_names, name_marks, names_in_margins
from configurator.drawing.options import Labels, Options
from configurator.drawing.overlay import overlay
from configurator.drawing.projection import SHEET_VIEWS, VIEWS
from configurator.drawing.scene import scene
from configurator.drawing.states import FilmLook, Shown, shown_panels
from configurator.drawing.stylesheet import stylesheet
from configurator.drawing.svg import Element, document, group, written

__all__ = ["SHEET", "SHEET_VIEWS", "VIEWS", "draw_miniature", "draw_sheet", "draw_view", "view_box"]

NO_PARTS: Mapping[str, ViewBox] = MappingProxyType({})
_MM_PER_PX = 7.0
"""Scale at which a drawing is shown when the caller names no width."""


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
    return _kept(_job(body, scope, view, labels, prefix, selection, films, options))


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
    return _kept(_job(body, scope, SHEET, labels, prefix, selection, films, options))


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


@dataclass(frozen=True)
class _Job:
    """All that a drawing depends on. Jobs with the same `key` give the same bytes."""

    key: tuple[Hashable, ...]
    body: Body = field(compare=False)
    view: str = field(compare=False)
    shown: Mapping[str, Shown] = field(compare=False)
    stripes: Stripes | None = field(compare=False)
    ids: str = field(compare=False)
    labels: Labels = field(compare=False)
    options: Options = field(compare=False)

    @property
    def width_px(self) -> int:
        return self.options.width_px or round(view_box(self.body, self.view)[2] / _MM_PER_PX)

    @property
    def pen(self) -> Pen:
        return Pen(view_box(self.body, self.view)[2] / self.width_px)

    @property
    def placed_names(self) -> list[Name]:
        """Names in the margins, where they are asked for; the sheet has none."""
        if not self.options.names or self.view == SHEET:
            return []
        return names_in_margins(self.body, self.view, self.labels.names, self.pen)


def _job(
    body: Body,
    scope: Scope | None,
    view: str,
    labels: Labels,
    prefix: str,
    selection: Selection | None,
    films: FilmLook | None,
    options: Options | None,
) -> _Job:
    options = options or Options()
    shown = shown_panels(body, scope, selection, films or FilmLook())
    stripes = selection.vehicle.stripes if selection else None
    key = (body, view, tuple(shown.items()), stripes, prefix, labels.key, options.key)
    return _Job(key, body, view, shown, stripes, prefix + "-", labels, options)


@lru_cache(maxsize=64)
def _kept(job: _Job) -> str:
    """The drawing of a job; the latest are kept."""
    artist = Artist(job.body, job.shown, job.stripes, job.ids, interactive=job.options.interactive)
    if job.view == SHEET:
        return _document(job, view_box(job.body, SHEET), _with_definitions(artist, _sheet(job, artist)))
    names = job.placed_names
    content = _view(job, job.view, artist, furnished=job.options.sizes) + (name_marks(names, job.pen) if names else [])
    return _document(job, box_with_names(view_box(job.body, job.view), names, job.pen), _with_definitions(artist, content))


def _with_definitions(artist: Artist, content: list[Element]) -> list[Element]:
    """Definitions are known once the content is drawn; they come first."""
    return [*artist.definitions(), *content]


def _view(job: _Job, view: str, artist: Artist, *, furnished: bool) -> list[Element]:
    furniture = view_furniture(job.body, view, job.labels, job.pen) if furnished else []
    drawn = scene(job.body, view)
    return [*furniture, *artist.view(view), *overlay(drawn, job.shown, job.labels, job.ids, job.options, job.pen, artist.share)]


def _sheet(job: _Job, artist: Artist) -> list[Element]:
    content = sheet_furniture(view_box(job.body, SHEET), job.labels, job.pen)
    for view, (x, y) in sheet_places(job.body).items():
        content.append(group(*_view(job, view, artist, furnished=True), transform=f"translate({x} {y})", class_=f"view-{view}"))
    return content


def _document(job: _Job, box: ViewBox, content: list[Element]) -> str:
    """An empty (not a missing) word for the view says that the words beside the drawing say it all: it is hidden from hearing."""
    label = job.labels.views.get(job.view, job.view)
    heard = {"role": "group", "aria_label": label} if label else {"aria_hidden": "true"}
    style: list[Element] = []
    x, y, wide, tall = box
    if job.options.standalone:
        style = [written("style", stylesheet()), Element("rect", x=x, y=y, width=wide, height=tall, class_="paper", fill="#e9eeed")]
    root = document(
        *style,
        *content,
        view_box=box,
        width=job.width_px,
        height=round(job.width_px * tall / wide, 1),
        class_=f"car-drawing view-{job.view}",
        **heard,
    )
    return root.to_string()

"""Small things on the body: feature lines, what lies in lamps and grilles and on the tail."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

import numpy as np

from configurator.domain.body.records import Body, Layer, Points, Side
from configurator.domain.body.vectors import dot
from configurator.drawing.colour import darkened
from configurator.drawing.ornaments import LOOKS, Look, Ornament, ornaments
from configurator.drawing.projection import Projection
from configurator.drawing.rings import Rings
from configurator.drawing.surfaces import SYMMETRIC_VIEWS, nearest_rows, surfaces_for
from configurator.drawing.svg import Element, group, path
from configurator.drawing.tail import tail_ornaments

_SEEN = 0.2
"""A feature line shows where the surface under it faces the eye by more than this cosine."""
_LEAST_MM2 = 80.0
_STROKES = ((16, 0.08), (8, 0.14), (3, 0.20))
"""Width in mm and opacity of nested strokes: a soft line without a blur filter."""
_LIGHT_BESIDE_MM = -8
TOLERANCE_MM = 0.8


@dataclass(frozen=True)
class Mark:
    """A mark on a panel in one view: the name of a look, or of a kind of feature line, and its path data."""

    look: str
    data: str


class Drawn(NamedTuple):
    """A mark before its path is worked out: points in the view's plane (n, 2) mm."""

    panel: str
    look: str
    plane: Points
    is_closed: bool


def drawn_marks(body: Body, view: Projection, panels: Iterable[str]) -> list[Drawn]:
    """Everything that shows on some panels, each panel's marks from below to above."""
    found = [mark for panel in panels for mark in _on_panel(body, view, panel)]
    stops = np.cumsum([len(mark.points) for mark in found])[:-1]
    planes = np.split(view.plane(np.vstack([mark.points for mark in found])), stops) if found else []
    drawn = [Drawn(mark.panel, mark.look, plane, mark.is_closed) for mark, plane in zip(found, planes, strict=True)]
    closed = [mark.plane for mark in drawn if mark.is_closed]
    areas = iter(np.abs(Rings.of(closed).areas).tolist() if closed else [])
    return [mark for mark in drawn if not mark.is_closed or next(areas) > _LEAST_MM2]


def marks_by_panel(drawn: Sequence[Drawn], paths: Sequence[str]) -> Mapping[str, tuple[Mark, ...]]:
    """Panel id -> its marks, neighbours of one look as one path."""
    found: dict[str, list[Mark]] = {}
    for (panel, look), run in groupby(zip(drawn, paths, strict=True), key=lambda pair: (pair[0].panel, pair[0].look)):
        joined = "".join([data for _, data in run])
        if joined:
            found.setdefault(panel, []).append(Mark(look, joined))
    return {panel: tuple(marks) for panel, marks in found.items()}


class _Found(NamedTuple):
    """A mark that shows in a view: points in space (n, 3) mm."""

    panel: str
    look: str
    points: Points
    is_closed: bool


def _on_panel(body: Body, view: Projection, panel: str) -> Iterator[_Found]:
    for line in surface_lines(body).get(panel, ()):
        seen = dot(line.normals, view.toward(line.points)) > _SEEN
        if seen.sum() > 1:
            yield _Found(panel, line.kind, line.points[seen], False)
    on_panel = (*ornaments(body).get(panel, ()), *tail_ornaments(body).get(panel, ()))
    for ornament in _facing(body, view, panel, on_panel):
        yield _Found(panel, ornament.look, ornament.points, ornament.closed)


def _facing(body: Body, view: Projection, panel: str, on_panel: Sequence[Ornament]) -> Iterator[Ornament]:
    """What of some ornaments lies on this side of their panel's horizon: a lamp that runs round a corner shows what is before it."""
    if not on_panel:
        return
    meshes = surfaces_for(body, view.name)
    span = meshes.vertex_span([one.id for one in meshes.panels].index(panel))
    vertices, normals = meshes.vertices[span], meshes.normals[span]
    field = dot(normals, view.toward(vertices))
    if field.min() > 0:
        yield from on_panel
        return
    for ornament in on_panel:
        seen = field[nearest_rows(ornament.points, vertices)]
        if seen.min() > 0:
            yield ornament
        elif seen.max() > 0:
            part = _positive_part(ornament.points, seen, closed=ornament.closed)
            yield Ornament(ornament.look, part, ornament.closed)


def _positive_part(points: Points, field: Points, *, closed: bool) -> Points:
    """A ring or line (n, 3) cut where a field (n,) on it passes zero. What a ring loses is closed by a straight line."""
    ahead, field_ahead = np.roll(points, -1, axis=0), np.roll(field, -1)
    crossing = (field > 0) != (field_ahead > 0)
    if not closed:
        crossing[-1] = False
    share = field / np.where(crossing, field - field_ahead, 1.0)
    cuts = points + share[:, None] * (ahead - points)
    both = np.stack([points, cuts], axis=1).reshape(-1, 3)
    kept = np.stack([field > 0, crossing], axis=1).ravel()
    return np.asarray(both[kept])


@dataclass(frozen=True, eq=False)
class SurfaceLine:
    kind: str
    points: Points
    normals: Points


@lru_cache(maxsize=48)
def surface_lines(body: Body) -> Mapping[str, tuple[SurfaceLine, ...]]:
    """The body's feature lines by the panel that they run on, with the panel's normals along them."""
    meshes = surfaces_for(body, SYMMETRIC_VIEWS[0])
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_vertex))
    bodywork = np.flatnonzero(np.array([panel.layer is Layer.BODY for panel in meshes.panels])[owner])
    found: dict[str, list[SurfaceLine]] = {}
    for line in body.lines:
        side = np.array([1.0, 1.0 if line.points[:, 1].mean() >= 0 else -1.0, 1.0])
        folded = line.points * side
        host = int(owner[bodywork[nearest_rows(folded[len(folded) // 2][None], meshes.vertices[bodywork])[0]]])
        span, panel = meshes.vertex_span(host), meshes.panels[host]
        normals = meshes.normals[span][nearest_rows(folded, meshes.vertices[span])] * side
        name = panel.id if side[1] > 0 or panel.side is Side.CENTRE else f"{panel.id.removesuffix('_right')}_left"
        found.setdefault(name, []).append(SurfaceLine(line.kind, line.points, normals))
    return {panel: tuple(lines) for panel, lines in found.items()}


def mark_elements(marks: Iterable[Mark], transmission: float) -> list[Element]:
    """A panel's marks as elements; what is light in them is darkened by the film over the lamp."""
    return [element for mark in marks for element in _elements(mark, transmission)]


def _elements(mark: Mark, transmission: float) -> list[Element]:
    if mark.look == "track":
        return [path(mark.data, fill="none", stroke="#0b1418", stroke_opacity=0.75, stroke_width=9)]
    if mark.look in LOOKS:
        return [path(mark.data, **_painted(LOOKS[mark.look], transmission))]
    return [_soft(mark.data, "#0b1418", 0), _soft(mark.data, "#ffffff", _LIGHT_BESIDE_MM)]


def _soft(data: str, colour: str, lifted: int) -> Element:
    strokes = [path(data, stroke_width=width, stroke_opacity=opacity) for width, opacity in _STROKES]
    return group(*strokes, fill="none", stroke=colour, stroke_linecap="round", transform=f"translate(0 {lifted})" if lifted else None)


def _painted(look: Look, transmission: float) -> dict[str, str | float | None]:
    def seen(colour: str | None) -> str | None:
        return darkened(colour, transmission) if colour and look.lit and transmission < 1 else colour

    return {
        "fill": seen(look.fill) or "none",
        "stroke": seen(look.stroke),
        "stroke_width": look.width_mm or None,
        "opacity": look.opacity if look.opacity < 1 else None,
    }

"""State discs: where they sit on each panel, leaders to small parts, glyphs that are told apart without colour."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Points
from configurator.drawing.frame import view_box
from configurator.drawing.mending import joined
from configurator.drawing.projection import PARALLEL_VIEWS
from configurator.drawing.scene import Scene, scene
from configurator.drawing.states import State
from configurator.drawing.svg import Element, group, path

GLYPH_RADIUS = 78
"""Radius of a disc in its own units."""
DISC_PX = 9.5
HIT_PX = 12.0
"""Radii on the screen: a target of 24 px across (WCAG 2.2, 2.5.8)."""
_NOMINAL_MM_PER_PX = 9.0
"""Scale for which places are looked for: between a phone's and a desktop's."""
HIT_RADIUS_MM = HIT_PX * _NOMINAL_MM_PER_PX
_ROOM_MM = 72.0
"""A panel whose largest inscribed circle is smaller gets its disc outside, at the end of a leader."""
_CLEARANCE_MM = 150.0
_BETWEEN_MM = 270.0
_WELL_SHOWN = 0.5
_LARGE_MM2 = 100_000.0
"""A panel has a disc in the parallel views that show it at least half as well as the one that shows it best, or that show much of it."""


@dataclass(frozen=True)
class Disc:
    """Middle of the disc, and where its leader meets the panel (None when the disc lies on the panel). mm in the view's plane."""

    x: float
    y: float
    anchor: tuple[float, float] | None = None


@lru_cache(maxsize=96)
def disc_positions(body: Body, view: str) -> dict[str, Disc]:
    """Panel id -> its disc, for every selectable panel that the view shows well. Extra zones have none: they lie on a panel that has."""
    drawn = scene(body, view)
    placed: dict[str, Disc] = {}
    small: list[tuple[str, Points]] = []
    for shape in drawn.shapes:
        if not shape.panel.selectable or shape.panel.id not in drawn.visible or not _well_shown(body, view, shape.panel.id):
            continue
        middle, radius = pole(drawn.visible[shape.panel.id])
        if radius >= _ROOM_MM and all(_apart(middle, disc) for disc in placed.values()):
            placed[shape.panel.id] = Disc(round(float(middle[0]), 1), round(float(middle[1]), 1))
        else:
            small.append((shape.panel.id, middle))
    for panel_id, middle in sorted(small, key=lambda item: (item[1][0], item[1][1])):
        x, y = _outside(drawn, middle, placed.values())
        placed[panel_id] = Disc(x, y, (round(float(middle[0]), 1), round(float(middle[1]), 1)))
    return placed


def _well_shown(body: Body, view: str, panel: str) -> bool:
    if view not in PARALLEL_VIEWS:
        return True
    areas = _shown_areas(body)
    here, best = areas[view].get(panel, 0.0), max(shown.get(panel, 0.0) for shown in areas.values())
    return here >= min(_WELL_SHOWN * best, _LARGE_MM2)


@lru_cache(maxsize=48)
def _shown_areas(body: Body) -> dict[str, dict[str, float]]:
    """View -> panel id -> mm2 that the view shows of it."""
    return {view: {panel: float(part.area) for panel, part in scene(body, view).visible.items()} for view in PARALLEL_VIEWS}


def pole(area: shapely.Geometry) -> tuple[Points, float]:
    """Centre and radius of the largest circle inside an area, to 4 mm."""
    largest = max(shapely.get_parts(area), key=lambda part: part.area)
    ends = shapely.get_coordinates(shapely.maximum_inscribed_circle(largest, tolerance=4))
    return ends[0], float(np.linalg.norm(ends[1] - ends[0]))


def _apart(middle: Points, disc: Disc) -> bool:
    return float(np.hypot(middle[0] - disc.x, middle[1] - disc.y)) > _BETWEEN_MM


def _outside(drawn: Scene, middle: Points, taken: Iterable[Disc]) -> tuple[float, float]:
    """The free place around the car nearest to a small part: above the ground, clear of car, wheels and other discs, inside the view."""
    solid = joined([shape.region for shape in drawn.shapes])
    ring = shapely.buffer(solid, _CLEARANCE_MM, quad_segs=4).convex_hull.exterior
    places = shapely.get_coordinates(shapely.segmentize(ring, 40))
    x, y, width, height = view_box(drawn.body, drawn.view.name)
    low, high = np.array([x, y]) + HIT_RADIUS_MM, np.array([x + width, y + height]) - HIT_RADIUS_MM
    if drawn.view.name != "top":
        high[1] = min(high[1], -HIT_RADIUS_MM)
    free = np.unique(np.clip(places, low, high), axis=0)
    for disc in taken:
        free = free[np.hypot(free[:, 0] - disc.x, free[:, 1] - disc.y) > _BETWEEN_MM]
    for hub, radius in _wheels(drawn):
        free = free[np.hypot(*(free - hub).T) > radius + HIT_RADIUS_MM]
    best = free[np.argmin(((free - middle) ** 2).sum(axis=1))]
    return round(float(best[0]), 1), round(float(best[1]), 1)


def _wheels(drawn: Scene) -> list[tuple[Points, float]]:
    """Middle and radius of each wheel that a view shows from its side or end."""
    if drawn.view.name == "top":
        return []
    side = {"left": (-1.0,), "right": (1.0,)}.get(drawn.view.name, (-1.0, 1.0))
    hubs = [np.array([[wheel.x_mm, sign * wheel.outer_y_mm, wheel.tyre_radius_mm]]) for wheel in drawn.body.wheels for sign in side]
    return [(drawn.view.plane(hub)[0], drawn.body.wheels[0].tyre_radius_mm) for hub in hubs]


_GLYPHS = {
    State.COVERED: "M-34 2L-10 27L36-25",
    State.PART: "M-34 2L-10 27L36-25",
    State.BARE: "M0-36V36M-36 0H36",
    State.REFUSED: "M-28 28L28-28",
    State.WAITING: "M0-30V2L22 14",
}


def glyph(state: State, name: str) -> Element:
    """Tick, half tick, plus, bar or clock on its disc, around (0, 0) in disc units, to be used by the id `name`."""
    filled = state in (State.COVERED, State.PART)
    ink, ground = ("#ffffff", "#005a60") if filled else ("#13212a", "#ffffff")
    kind = "on" if filled else "no" if state is State.REFUSED else "off"
    marks = [Element("circle", r=GLYPH_RADIUS, class_=f"disc-{kind}", fill=ground, stroke=ink, stroke_width=12)]
    if state is State.PART:
        marks.append(path("M0-72A72 72 0 0 1 0 72z", fill="#ffffff", fill_opacity=0.30))
    if state in (State.REFUSED, State.WAITING):
        marks.append(Element("circle", r=46, fill="none", stroke=ink, stroke_width=11))
    outline = _GLYPHS.get(state, _GLYPHS[State.BARE])
    marks.append(path(outline, fill="none", stroke=ink, stroke_width=15, stroke_linecap="round", stroke_linejoin="round"))
    return group(*marks, id=name)

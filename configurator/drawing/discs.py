"""State discs: where they sit on each panel, leaders to small parts, glyphs that are told apart without colour."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Points
from configurator.drawing.scene import Scene, scene
from configurator.drawing.states import State
from configurator.drawing.svg import Element, path

DISC_RADIUS_MM = 78.0
"""At this size in a drawing of the car's own scale; the stylesheet scales it with the width that the drawing is shown at."""
HIT_RADIUS_MM = 100.0
_ROOM_MM = 92.0
"""A panel whose largest inscribed circle is smaller gets its disc outside, at the end of a leader."""
_CLEARANCE_MM = 150.0
_BETWEEN_MM = 215.0


@dataclass(frozen=True)
class Disc:
    """Middle of the disc, and where its leader meets the panel (None when the disc lies on the panel). mm in the view's plane."""

    x: float
    y: float
    anchor: tuple[float, float] | None = None


@lru_cache(maxsize=96)
def disc_positions(body: Body, view: str) -> dict[str, Disc]:
    """Panel id -> its disc, for every selectable panel that the view shows."""
    drawn = scene(body, view)
    placed: dict[str, Disc] = {}
    small: list[tuple[str, Points]] = []
    for shape in drawn.shapes:
        if not shape.panel.selectable:
            continue
        middle, radius = pole(shape.visible)
        if radius >= _ROOM_MM and all(_apart(middle, disc) for disc in placed.values()):
            placed[shape.panel.id] = Disc(round(float(middle[0]), 1), round(float(middle[1]), 1))
        else:
            small.append((shape.panel.id, middle))
    for panel_id, middle in sorted(small, key=lambda item: (item[1][0], item[1][1])):
        x, y = _outside(drawn, middle, placed.values())
        placed[panel_id] = Disc(x, y, (round(float(middle[0]), 1), round(float(middle[1]), 1)))
    return placed


def pole(area: shapely.Geometry) -> tuple[Points, float]:
    """Centre and radius of the largest circle inside an area, to 4 mm."""
    largest = max(shapely.get_parts(area), key=lambda part: part.area)
    ends = shapely.get_coordinates(shapely.maximum_inscribed_circle(largest, tolerance=4))
    return ends[0], float(np.linalg.norm(ends[1] - ends[0]))


def _apart(middle: Points, disc: Disc) -> bool:
    return float(np.hypot(middle[0] - disc.x, middle[1] - disc.y)) > _BETWEEN_MM


def _outside(drawn: Scene, middle: Points, taken: Iterable[Disc]) -> tuple[float, float]:
    """The free place around the car nearest to a small part: above the ground, clear of the car and of other discs."""
    solid = shapely.union_all([shape.region for shape in drawn.shapes])
    ring = shapely.buffer(solid, _CLEARANCE_MM, quad_segs=4).convex_hull.exterior
    places = shapely.get_coordinates(shapely.segmentize(ring, 60))
    on_ground = drawn.view.name not in ("top",)
    free = places[places[:, 1] < -HIT_RADIUS_MM] if on_ground else places
    for disc in taken:
        free = free[np.hypot(free[:, 0] - disc.x, free[:, 1] - disc.y) > _BETWEEN_MM]
    best = free[np.argmin(((free - middle) ** 2).sum(axis=1))]
    return round(float(best[0]), 1), round(float(best[1]), 1)


_GLYPHS = {
    State.COVERED: "M-34 2L-10 27L36-25",
    State.PART: "M-34 2L-10 27L36-25",
    State.BARE: "M0-36V36M-36 0H36",
    State.REFUSED: "M-30 30L30-30",
    State.WAITING: "M0-34V0L24 16",
}


def glyph(state: State) -> list[Element]:
    """Tick, plus, bar or clock on its disc, around (0, 0) at the car's own scale."""
    filled = state in (State.COVERED, State.PART)
    ground = Element(
        "circle",
        r=DISC_RADIUS_MM,
        class_="disc-on" if filled else "disc-off",
        fill="#005a60" if filled else "#ffffff",
        stroke="#ffffff" if filled else "#13212a",
        stroke_width=12,
    )
    mark = path(
        _GLYPHS.get(state, _GLYPHS[State.BARE]),
        class_="disc-mark-on" if filled else "disc-mark",
        fill="none",
        stroke="#ffffff" if filled else "#13212a",
        stroke_width=16,
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    extra = [Element("circle", r=50, fill="none", stroke="#13212a", stroke_width=10, class_="disc-mark")] if state is State.WAITING else []
    half = [path("M0-78A78 78 0 0 1 0 78z", fill="#ffffff", fill_opacity=0.28)] if state is State.PART else []
    return [ground, *half, *extra, mark]

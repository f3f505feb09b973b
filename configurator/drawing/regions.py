"""Where a panel can be pressed: its visible outline in per cent of the view, for empty labels laid over the drawing."""

from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Points
from configurator.drawing.curves import polygon_rings
from configurator.drawing.discs import HIT_RADIUS_MM, disc_positions
from configurator.drawing.frame import view_box
from configurator.drawing.scene import scene

_TOLERANCE_MM = 7.0
_LEAST_MM2 = 2500.0

Percent = tuple[float, float]


@lru_cache(maxsize=96)
def hit_polygons(body: Body, view: str) -> dict[str, tuple[Percent, ...]]:
    """Panel id -> its visible outline as (x, y) in per cent of `view_box(body, view)`, for `clip-path: polygon(...)`.

    Several parts are one outline, joined by bridges without width. No two panels' outlines overlap.
    """
    box = view_box(body, view)
    origin, size = np.array(box[:2]), np.array(box[2:])
    polygons = {}
    drawn = scene(body, view)
    for shape in drawn.shapes:
        if not shape.panel.selectable or shape.panel.id not in drawn.visible:
            continue
        simple = shapely.simplify(drawn.visible[shape.panel.id], _TOLERANCE_MM)
        parts = [part for part in shapely.get_parts(simple) if part.area > _LEAST_MM2] or [
            max(shapely.get_parts(simple), key=lambda part: part.area)
        ]
        outline = _bridged(polygon_rings(shapely.MultiPolygon(parts), least_area_mm2=0))
        percent = np.round((outline - origin) / size * 100, 2)
        polygons[shape.panel.id] = tuple((float(x), float(y)) for x, y in percent)
    return polygons


def _bridged(rings: list[Points]) -> Points:
    """Rings one after another as one outline that returns to its start between them."""
    start = rings[0][:1]
    pieces = [np.vstack([rings[0], start])]
    for ring in rings[1:]:
        pieces.append(np.vstack([ring, ring[:1], start]))
    return np.vstack(pieces)


def disc_percents(body: Body, view: str) -> dict[str, tuple[float, float, float]]:
    """Panel id -> x, y of its disc in per cent of the view's box, and the hit circle's radius in per cent of its width."""
    x0, y0, width, height = view_box(body, view)
    radius = round(HIT_RADIUS_MM / width * 100, 2)
    return {
        panel: (round((disc.x - x0) / width * 100, 2), round((disc.y - y0) / height * 100, 2), radius)
        for panel, disc in disc_positions(body, view).items()
    }

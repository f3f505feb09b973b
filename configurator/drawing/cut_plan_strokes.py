"""Strokes and words of a cut plan: path data, arrows, text, in millimetres of paper."""

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from configurator.domain.film_plan.records import Ring
from configurator.drawing.cut_plan_spots import CHARACTER, text_width
from configurator.drawing.svg import Element, number, path, written

INK, SOFT, PALE, TINT, PAPER = "#111", "#555", "#b5b5b5", "#dedede", "#fff"

LEAST_SHRINK = 0.88


def point(x: float, y: float) -> str:
    return f"{number(x)} {number(y)}"


def text(words: str, x: float, y: float, *, size: float, bold: bool = False, fill: str = INK, anchor: str | None = None) -> Element:
    return written("text", words, x=x, y=y, font_size=size, font_weight="bold" if bold else None, fill=fill, text_anchor=anchor)


def fitted(words: str, x: float, y: float, *, width: float, size: float) -> Element:
    """`words` no wider than `width`: set a little smaller where that is enough, else shortened with an ellipsis."""
    wide = text_width(words, size)
    if wide > width:
        size = max(size * width / wide, size * LEAST_SHRINK)
        room = int(width / (size * CHARACTER))
        words = words if len(words) <= room + 1 else words[: max(1, room - 1)].rstrip() + "…"
    return text(words, x, y, size=size)


def level_line(length: float, **stroke: str | float) -> Element:
    return path(f"M0 0H{number(length)}", fill="none", **stroke)


def arrow(x: float, y: float, length: float, direction: tuple[float, float]) -> Element:
    """An arrow with its middle at (x, y)."""
    angle = float(np.degrees(np.arctan2(direction[1], direction[0])))
    half, head = length / 2, min(2.0, length * 0.4)
    back, wing = half - head, head * 0.45
    data = f"M{point(-half, 0)}H{number(half)}M{point(back, -wing)}L{point(half, 0)}L{point(back, wing)}"
    place = f"translate({point(x, y)}) rotate({number(angle)})"
    return path(data, stroke=INK, stroke_width=0.3, fill="none", stroke_linecap="round", stroke_linejoin="round", transform=place)


def area_data(shape: shapely.Geometry) -> str:
    polygons = [part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon" and part.area > 1e-4]
    rings = [ring for polygon in MultiPolygon(polygons).geoms for ring in (polygon.exterior, *polygon.interiors)]
    return "".join(ring_data(shapely.get_coordinates(ring)[:-1]) for ring in rings) or "M0 0"


def line_data(ring: Ring, window: Polygon) -> str:
    """A closed line as far as the window shows it; whole when all of it shows."""
    line = shapely.LinearRing(ring)
    return ring_data(ring) if window.contains(line) else lines_data(line.intersection(window))


def lines_data(lines: shapely.Geometry) -> str:
    chains = [chain for chain in getattr(lines, "geoms", [lines]) if chain.geom_type == "LineString" and not chain.is_empty]
    return "".join("M" + "L".join(point(x, y) for x, y in chain.coords) for chain in chains) or "M0 0"


def ring_data(ring: Ring) -> str:
    return "M" + "L".join(point(x, y) for x, y in ring) + "Z"

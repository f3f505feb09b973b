"""A piece on the drawing board: turned as it will lie, made a rectangle where it is trimmed on the car, with its margin."""

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from configurator.domain.film_plan.flat_panel import FlatPanel
from configurator.domain.film_plan.outline import Outline, largest, ring
from configurator.domain.film_plan.records import Ring, turned
from configurator.domain.film_plan.splits import breadth_mm

NEST_TOLERANCE_MM = 1.5
"""The outline that planners work with may lie this much outside the margin, so that it has few corners."""

FACING = 0.6
"""Mean |normal . x| from which a panel faces forward or back: a film's direction then runs round the car, not up and down."""

BULK = "bulk"
"""Way of cutting: rectangles off the roll, trimmed on the car; also the kind of such a rectangle's sides."""

STRIPE, BORDER = "stripe", "border"


def film_direction(flat: FlatPanel, role: str) -> tuple[float, float]:
    """Where the roll runs on this panel: along the car, and round it on panels that face forward or back.

    So the direction is level on the whole belt of the car and a matte film looks the same on a bumper's side as on the fender.
    Along a stripe it follows the stripe, over every panel.
    """
    if role in (STRIPE, BORDER):
        return flat.nose
    corners = flat.vertices[flat.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing = float(np.abs(normals[:, 0]).sum() / max(np.linalg.norm(normals, axis=1).sum(), 1e-9))
    return (-flat.nose[1], flat.nose[0]) if facing > FACING else flat.nose


def upright_angle(cut: Ring, direction: tuple[float, float] | None, widest_mm: float) -> float:
    """Degrees to turn `cut` by: its film direction along x, else the sides of its smallest rectangle along x and y.

    When that rectangle is broader than the roll but the piece fits at another angle, the narrowest way up is taken.
    """
    if direction is not None:
        return -float(np.degrees(np.arctan2(direction[1], direction[0])))
    corners = shapely.get_coordinates(shapely.oriented_envelope(Polygon(cut)))
    sides = np.diff(corners[:3], axis=0)
    lengths = np.linalg.norm(sides, axis=1)
    if lengths.min() > widest_mm:
        return _narrowest_angle(cut)
    longer = sides[int(np.argmax(lengths))]
    return -float(np.degrees(np.arctan2(longer[1], longer[0])))


def _narrowest_angle(cut: Ring) -> float:
    hull = shapely.get_coordinates(Polygon(cut).convex_hull)
    sides = np.diff(hull, axis=0)
    narrowest = min(sides, key=lambda side: breadth_mm(Polygon(cut), unit_vector(side)))
    return -float(np.degrees(np.arctan2(narrowest[1], narrowest[0])))


def turned_outline(line: Outline, angle_deg: float) -> Outline:
    """Cut line, openings and fold turned together."""
    return replace(
        line,
        cut=turned(line.cut, angle_deg),
        fold=turned(line.fold, angle_deg),
        openings=tuple(turned(opening, angle_deg) for opening in line.openings),
    )


def as_rectangle(line: Outline, margin_mm: float, widest_mm: float, *, directional: bool) -> Outline:
    """The rectangle to cut off the roll around a piece that is trimmed on the car; its margin gives way at the roll's edge.

    Across the roll lies y where the film has a direction, else the slimmer side.
    """
    low, high = line.cut.min(axis=0), line.cut.max(axis=0)
    grown = np.full(2, margin_mm)
    across = 1 if directional else int(np.argmin(high - low))
    grown[across] = min(margin_mm, max(widest_mm - float((high - low)[across]), 0.0) / 2)
    (x0, y0), (x1, y1) = low - grown, high + grown
    return replace(line, cut=np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), openings=(), kinds=(BULK,) * 4)


def nest_around(cut: Ring, margin_mm: float) -> Ring:
    """`cut` with the handling margin, few corners, never inside the margin."""
    wide = Polygon(cut).buffer(margin_mm, quad_segs=3, join_style="mitre" if len(cut) == 4 else "round")
    return ring(largest(wide.buffer(NEST_TOLERANCE_MM, join_style="mitre").simplify(NEST_TOLERANCE_MM)).exterior)


def unit_vector(vector: Ring) -> tuple[float, float]:
    """Direction of `vector`, to a millionth."""
    length = max(float(np.hypot(vector[0], vector[1])), 1e-9)
    return round(float(vector[0]) / length, 6), round(float(vector[1]) / length, 6)

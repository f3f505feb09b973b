"""Where a piece is broader than the roll: the seam that is seen least."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from configurator.domain.body.records import Points, Side
from configurator.domain.film_plan.flat_panel import FlatPanel
from configurator.domain.film_plan.iso_lines import iso_lines
from configurator.domain.film_plan.stripes import LATERAL, Part, part_along

PLANES_PER_AXIS = 20
"""Planes tried along each axis of the body."""

EYE_HEIGHT_MM = 1600.0
"""Above a standing person's eyes a surface that looks up isn't seen."""

UNSEEN_ABOVE = 0.3
"""Share of a seam's visibility that stays when the surface looks up above eye height."""

NEAR_EDGE_MM = 80.0
"""Within this distance of a panel's edge a second line is lost in the first: half as visible."""

STEP_MM = 20.0


@dataclass(frozen=True, eq=False)
class Seam:
    """One or two planes to cut along, and how much the cut would be seen (mm of seam x visibility)."""

    lines: tuple[LineString, ...]
    cost: float


def breadth_mm(shape: Polygon, direction: tuple[float, float] | None) -> float:
    """The least width of roll that takes `shape`: across `direction`, or turned as it pleases when that is None."""
    hull = shapely.get_coordinates(shape.convex_hull)[:-1]
    if direction is not None:
        across = hull @ np.array([-direction[1], direction[0]])
        return float(np.ptp(across))
    sides = np.roll(hull, -1, axis=0) - hull
    lengths = np.linalg.norm(sides, axis=1)
    normals = np.stack([-sides[:, 1], sides[:, 0]], axis=1)[lengths > 1e-9] / lengths[lengths > 1e-9, None]
    return float(np.ptp(hull @ normals.T, axis=0).min())


def split_for_roll(flat: FlatPanel, part: Part, *, widest_mm: float, direction: tuple[float, float] | None) -> tuple[Part, ...]:
    """`part` whole if it fits a roll of `widest_mm`, else its parts along the seam seen least (a centre panel's lie symmetric).

    Where no single seam will do, the panel is halved the way that leaves the slimmest halves, and each is looked at again.
    """
    if breadth_mm(part.grown, direction) <= widest_mm:
        return (part,)
    for seam in sorted(_candidates(flat, part), key=lambda seam: seam.cost):
        if _fits(parts := part_along(part, seam.lines), widest_mm, direction):
            return parts
    halves = _halved(flat, part, direction)
    if len(halves) < 2:
        return (part,)
    return tuple(piece for half in halves for piece in split_for_roll(flat, half, widest_mm=widest_mm, direction=direction))


def _fits(parts: tuple[Part, ...], widest_mm: float, direction: tuple[float, float] | None) -> bool:
    return len(parts) > 1 and all(breadth_mm(piece.grown, direction) <= widest_mm for piece in parts)


def _candidates(flat: FlatPanel, part: Part) -> list[Seam]:
    seams, visibility = [], _triangle_visibility(flat)
    for axis in (0, 1, 2):
        for level in _levels(flat, part, axis):
            lines = iso_lines(flat, axis=axis, level_mm=level)
            if axis == LATERAL and flat.side is Side.CENTRE and level:
                lines += iso_lines(flat, axis=axis, level_mm=-level)
            if lines:
                seams.append(Seam(lines, sum(_seen(flat, part, line, visibility) for line in lines)))
    return seams


def _levels(flat: FlatPanel, part: Part, axis: int) -> list[float]:
    inside = shapely.contains_xy(part.shown.buffer(1.0), flat.points)
    if not inside.any():
        return []
    low, high = float(flat.vertices[inside, axis].min()), float(flat.vertices[inside, axis].max())
    if high - low < 2 * STEP_MM:
        return []
    if axis == LATERAL and flat.side is Side.CENTRE and low < 0 < high:
        return [0.0, *np.linspace(0.0, min(-low, high), PLANES_PER_AXIS // 2 + 2)[1:-1].tolist()]
    return [float(level) for level in np.linspace(low, high, PLANES_PER_AXIS + 2)[1:-1]]


def _halved(flat: FlatPanel, part: Part, direction: tuple[float, float] | None) -> tuple[Part, ...]:
    """`part` cut through its middle across x, y or z, whichever leaves the slimmest parts; as it is when no cut goes through it."""
    inside = shapely.contains_xy(part.shown.buffer(1.0), flat.points)
    if not inside.any():
        return (part,)
    low, high = flat.vertices[inside].min(axis=0), flat.vertices[inside].max(axis=0)
    cuts = []
    for axis in (0, 1, 2):
        straddles = axis == LATERAL and flat.side is Side.CENTRE and low[axis] < 0 < high[axis]
        middle = 0.0 if straddles else float(low[axis] + high[axis]) / 2
        cuts.append(part_along(part, iso_lines(flat, axis=axis, level_mm=middle)))
    several = [parts for parts in cuts if len(parts) > 1]
    return min(several, key=lambda parts: max(breadth_mm(half.grown, direction) for half in parts), default=(part,))


def _seen(flat: FlatPanel, part: Part, line: LineString, visibility: NDArray[np.float64]) -> float:
    """mm of seam on what shows, each weighed by the `visibility` of the nearest triangle, less near an edge."""
    steps = part.shown.intersection(line)
    total = 0.0
    for chain in getattr(steps, "geoms", [steps]):
        if chain.length < 1e-6:
            continue
        count = max(1, round(chain.length / STEP_MM))
        places = shapely.line_interpolate_point(chain, (np.arange(count) + 0.5) / count, normalized=True)
        near = shapely.distance(places, part.shown.boundary) < NEAR_EDGE_MM
        visible = visibility[_nearest_triangle(flat, shapely.get_coordinates(places))]
        total += float((visible * np.where(near, 0.5, 1.0)).mean()) * chain.length
    return total


def _nearest_triangle(flat: FlatPanel, places: Points) -> NDArray[np.int64]:
    centre = flat.points[flat.triangles].mean(axis=1)
    return np.asarray(np.argmin(((places[:, None] - centre[None]) ** 2).sum(axis=2), axis=1))


def _triangle_visibility(flat: FlatPanel) -> NDArray[np.float64]:
    """0.2 (looks to the side, down or back) to 1 (looks up below eye height, or forward), of every triangle from its normal."""
    corners = flat.vertices[flat.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    high = corners[:, :, 2].mean(axis=1) > EYE_HEIGHT_MM
    up = np.maximum(normal[:, 2], 0.0) * np.where(high, UNSEEN_ABOVE, 1.0)
    forward = np.maximum(-normal[:, 0], 0.0)
    return np.asarray(0.2 + 0.8 * np.maximum(up, forward))

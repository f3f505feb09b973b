"""Cutting a flat panel along the lines where a plane x, y or z = const meets the body."""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from configurator.domain.body.records import Points
from configurator.domain.film_plan.flat_panel import FlatPanel

BEYOND_MM = 60.0
"""How far a line is drawn on past the mesh, so that it also parts the turn-in beyond the panel's edge."""

SLIVER_MM2 = 400.0
"""A part smaller than this is no piece of its own: it stays with the neighbour that it shares the longest line with."""


def iso_lines(flat: FlatPanel, *, axis: int, level_mm: float) -> tuple[LineString, ...]:
    """The lines on the flat panel where coordinate `axis` (0 x, 1 y, 2 z) of the body is `level_mm`, run on straight at both ends.

    The coordinate is linear on every triangle, so the line is a chain of straight steps, exact for the mesh.
    """
    steps = _crossings(flat, flat.vertices[:, axis] - level_mm)
    if not len(steps):
        return ()
    merged = shapely.line_merge(shapely.union_all(shapely.linestrings(np.round(steps, 7))))
    chains = getattr(merged, "geoms", [merged])
    return tuple(_run_on(chain) for chain in chains if chain.geom_type == "LineString" and chain.length > 1e-3)


def split(polygon: Polygon, lines: tuple[LineString, ...], *, sliver_mm2: float = SLIVER_MM2) -> tuple[Polygon, ...]:
    """The parts of `polygon` between `lines`; their areas add up to it (slivers stay with a neighbour)."""
    if not lines:
        return (polygon,)
    noded = shapely.union_all([polygon.boundary, *lines])
    faces = [face for face in shapely.polygonize([noded]).geoms if polygon.contains(face.representative_point())]
    return _without_slivers(faces, sliver_mm2)


def _crossings(flat: FlatPanel, height: NDArray[np.float64]) -> Points:
    """(k, 2, 2) one step per triangle that the zero line of `height` (per vertex) runs through."""
    height = np.where(np.abs(height) < 1e-9, 1e-9, height)
    above = height[flat.triangles] > 0
    crossed = flat.triangles[above.any(axis=1) & ~above.all(axis=1)]
    ends = []
    for first, second in ((0, 1), (1, 2), (2, 0)):
        low, high = height[crossed[:, first]], height[crossed[:, second]]
        share = np.where((low > 0) != (high > 0), low / np.where(low == high, 1.0, low - high), np.nan)
        start, end = flat.points[crossed[:, first]], flat.points[crossed[:, second]]
        ends.append(start + share[:, None] * (end - start))
    three = np.stack(ends, axis=1)
    order = np.argsort(np.isnan(three[:, :, 0]), axis=1, kind="stable")[:, :2]
    return np.take_along_axis(three, order[:, :, None], axis=1)


def _run_on(chain: LineString) -> LineString:
    points = np.asarray(chain.coords)
    if np.allclose(points[0], points[-1]):
        return chain
    return LineString(np.vstack([_beyond(points[0], points), points, _beyond(points[-1], points[::-1])]))


def _beyond(end: NDArray[np.float64], inward: Points) -> NDArray[np.float64]:
    """A point `BEYOND_MM` past `end`, straight on from where the line comes (looked at over its last 20 mm, not one short step)."""
    distance = np.linalg.norm(inward - end, axis=1)
    far = int(np.argmax(distance > 20.0)) or len(inward) - 1
    direction = (end - inward[far]) / max(float(np.linalg.norm(end - inward[far])), 1e-9)
    return np.asarray(end + BEYOND_MM * direction)


def _without_slivers(faces: list[Polygon], sliver_mm2: float) -> tuple[Polygon, ...]:
    parts = sorted(faces, key=lambda face: -face.area)
    while len(parts) > 1 and parts[-1].area < sliver_mm2:
        sliver = parts.pop()
        shared = [part.boundary.intersection(sliver.boundary).length for part in parts]
        widest = int(np.argmax(shared))
        parts[widest] = _one(parts[widest].union(sliver), parts[widest])
        parts.sort(key=lambda face: -face.area)
    return tuple(parts)


def _one(joined: shapely.Geometry, before: Polygon) -> Polygon:
    return joined if joined.geom_type == "Polygon" else before

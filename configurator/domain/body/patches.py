"""Pieces meshed by themselves on a chart: parts that stand out from the skin (handles, spoiler, rails) and zones that lie on it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.panels import Half
from configurator.domain.body.records import Points
from configurator.domain.body.triangulation import Triangulation, half_edges, triangulate, twin_of_each

Lift = Callable[[Points, Points, Points], Points]
"""(first chart coordinate, second, raised mm) -> (n, 3)."""
Rise = Callable[[Points], Points]
"""Chart points (n, 2) -> how far each stands out, mm."""


_IN_MIDDLE_MM = 0.3


@dataclass(frozen=True, eq=False)
class Piece:
    """`polygon` in chart mm; `on` is the label of the panel it sits on; `middle` is the chart line that the car's middle plane is."""

    label: str
    polygon: shapely.Geometry
    on: str
    rise: Rise
    spacing_mm: float
    folded: bool


def flush(points: Points) -> Points:
    return np.zeros(len(points))


def domed(polygon: shapely.Geometry, height_mm: float) -> Rise:
    """Rises from the polygon's edge within about a third of its height and is nearly flat above."""
    edge = polygon.boundary
    reach = max(6.0, 0.35 * abs(height_mm))

    def rise(points: Points) -> Points:
        return height_mm * (1.0 - np.exp(-shapely.distance(edge, shapely.points(points)) / reach))

    return rise


def piece_halves(pieces: Sequence[Piece], lift: Lift, middles: Sequence[float]) -> dict[str, Half]:
    """Each piece as a half, all of one chart meshed and lifted together; pieces must not overlap.

    `middles`: values of the coordinate that runs across the car's middle (s on the side chart, y on the top) where y = 0 in space.
    """
    if not pieces:
        return {}
    polygons = np.array([shapely.segmentize(piece.polygon, piece.spacing_mm) for piece in pieces])
    inner = np.vstack([_inner_points(piece) for piece in pieces])
    least = min(piece.spacing_mm for piece in pieces)
    mesh = triangulate(polygons, inner, clearance_mm=0.45 * least)
    found = {}
    for index, piece in enumerate(pieces):
        found[piece.label] = _half(mesh, index, piece, lift, middles)
    return found


def _inner_points(piece: Piece) -> Points:
    x_from, y_from, x_to, y_to = piece.polygon.bounds
    step = piece.spacing_mm
    x = np.arange(x_from + step / 2, x_to, step)
    y = np.arange(y_from + step / 2, y_to, step * 0.866)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    shapely.prepare(piece.polygon)
    return grid[shapely.contains_xy(piece.polygon, grid[:, 0], grid[:, 1])] if len(grid) else np.empty((0, 2))


def _half(mesh: Triangulation, index: int, piece: Piece, lift: Lift, middles: Sequence[float]) -> Half:
    used, renumbered = np.unique(mesh.triangles[mesh.faces == index], return_inverse=True)
    points = mesh.points[used]
    triangles = renumbered.reshape(-1, 3)
    vertices = lift(points[:, 0], points[:, 1], piece.rise(points))
    across = points[:, 1] if piece.folded else points[:, 0]
    middle = np.any([np.abs(across - value) < _IN_MIDDLE_MM for value in middles], axis=0)
    vertices[middle, 1] = 0.0
    edges = half_edges(triangles if piece.folded else triangles[:, ::-1])
    outline = edges[twin_of_each(edges, len(points)) < 0]
    return Half(vertices, points, triangles if piece.folded else triangles[:, ::-1], outline, (piece.on,) * len(outline), piece.folded)

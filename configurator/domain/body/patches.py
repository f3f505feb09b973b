"""Pieces meshed by themselves on a chart: parts that stand out from the skin (handles, spoiler, badges) and zones that lie on it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity

from configurator.domain.body.charts import Charts, SideChart, TopChart
from configurator.domain.body.curves import Flags
from configurator.domain.body.panels import Half
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.sides import compact, outline
from configurator.domain.body.triangulation import Triangulation, triangulate
from configurator.domain.body.vectors import unit

Rise = Callable[[Points], Points]
"""Chart points (n, 2) -> how far each stands out, mm."""

_APART_MM = 20_000.0
"""Pieces are meshed together, each moved away from the others by this; they may lie over each other on the car."""
_IN_MIDDLE_MM = 0.3
_CLEARANCE_MM = 8.0
_LEAST_WALL_MM = 1.0
_WALL_FOOT_MM = 2.0


@dataclass(frozen=True, eq=False)
class Piece:
    """`polygon` in chart mm, `folded`: the top chart's, else the side chart's; `on` is the label of the panel it sits on.

    `walled`: where its rim stands out, a wall goes down from it to the panel (the rear face of a spoiler).
    """

    label: str
    polygon: shapely.Geometry
    on: str
    rise: Rise
    spacing_mm: float
    folded: bool
    walled: bool = False


def flush(points: Points) -> Points:
    return np.zeros(len(points))


def level(height_mm: float) -> Rise:
    """All of the piece stands out by the same amount (inward where it is negative)."""
    return lambda points: np.full(len(points), height_mm)


def domed(polygon: shapely.Geometry, height_mm: float) -> Rise:
    """Rises from the polygon's edge within about a third of its height and is nearly flat above."""
    edge = polygon.boundary
    reach = max(6.0, 0.35 * abs(height_mm))

    def rise(points: Points) -> Points:
        from_edge: Points = shapely.distance(edge, shapely.points(points))
        return np.asarray(height_mm * (1.0 - np.exp(-from_edge / reach)))

    return rise


def piece_halves(pieces: Sequence[Piece], charts: Charts) -> dict[str, Half]:
    """Each piece by its label as a half, lifted with its own chart."""
    moved = [affinity.translate(piece.polygon, _APART_MM * number) for number, piece in enumerate(pieces)]
    polygons = shapely.segmentize(np.array(moved), [piece.spacing_mm for piece in pieces])
    inner = np.vstack([_inner_points(polygon, piece.spacing_mm) for polygon, piece in zip(moved, pieces, strict=True)])
    mesh = triangulate(polygons, inner, clearance_mm=_CLEARANCE_MM)
    flat = [_flat(mesh, number, piece, charts) for number, piece in enumerate(pieces)]
    vertices: list[Points] = [np.empty((0, 3))] * len(pieces)
    for folded in (True, False):
        chosen = [number for number, piece in enumerate(pieces) if piece.folded is folded]
        for number, lifted in zip(chosen, _lifted([flat[number] for number in chosen], charts.top if folded else charts.side), strict=True):
            vertices[number] = lifted
    return {piece.label: _half(piece, *rest) for piece, rest in zip(pieces, zip(flat, vertices, strict=True), strict=True)}


def _inner_points(polygon: shapely.Geometry, spacing: float) -> Points:
    x_from, y_from, x_to, y_to = polygon.bounds
    x = np.arange(x_from + spacing / 2, x_to, spacing)
    y = np.arange(y_from + spacing / 2, y_to, spacing * 0.866)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    inside: Flags = shapely.contains_xy(polygon, grid[:, 0], grid[:, 1])
    return grid[inside]


@dataclass(frozen=True, eq=False)
class _Flat:
    """A piece's mesh in its chart, how far its points stand out, and which of them lie in the car's middle plane."""

    points: Points
    triangles: Indices
    rise: Points
    in_middle: Flags


def _flat(mesh: Triangulation, number: int, piece: Piece, charts: Charts) -> _Flat:
    used, triangles = compact(mesh.triangles[mesh.faces == number], len(mesh.points))
    points = mesh.points[used] - [_APART_MM * number, 0.0]
    rise = piece.rise(points)
    in_middle = _in_middle(points, piece, charts)
    if piece.walled:
        points, triangles, rise = _walled(points, triangles, rise, in_middle)
        in_middle = _in_middle(points, piece, charts)
    return _Flat(points, triangles, rise, in_middle)


def _lifted(flat: Sequence[_Flat], chart: TopChart | SideChart) -> list[Points]:
    """All of one chart's pieces lifted together: they are many and small."""
    if not flat:
        return []
    points = np.vstack([piece.points for piece in flat])
    vertices = chart.lift(points[:, 0], points[:, 1], np.concatenate([piece.rise for piece in flat]))
    vertices[np.concatenate([piece.in_middle for piece in flat]), 1] = 0.0
    return np.split(vertices, np.cumsum([len(piece.points) for piece in flat])[:-1])


def _half(piece: Piece, flat: _Flat, vertices: Points) -> Half:
    triangles = flat.triangles if piece.folded else flat.triangles[:, ::-1]
    ends = outline(triangles, len(flat.points))
    return Half(vertices, flat.points, triangles, ends, (piece.on,) * len(ends), piece.folded)


def _walled(points: Points, triangles: Indices, rise: Points, in_middle: Flags) -> tuple[Points, Indices, Points]:
    """With a wall under every edge of the rim that stands out; its foot a hair outside, so that the wall has a place in the lay."""
    edges = outline(triangles, len(points))
    edges = edges[(rise[edges] > _LEAST_WALL_MM).any(axis=1) & ~in_middle[edges].all(axis=1)]
    along = points[edges[:, 1]] - points[edges[:, 0]]
    outward = np.zeros_like(points)
    for end in (0, 1):
        np.add.at(outward, edges[:, end], np.stack([along[:, 1], -along[:, 0]], axis=1))
    outward[in_middle, 1] = 0.0
    rim = np.unique(edges)
    foot = np.full(len(points), -1)
    foot[rim] = len(points) + np.arange(len(rim))
    aim = unit(outward[rim])
    a, b = edges.T
    walls = np.vstack([np.stack([a, foot[a], foot[b]], axis=1), np.stack([a, foot[b], b], axis=1)])
    return np.vstack([points, points[rim] + aim * _WALL_FOOT_MM]), np.vstack([triangles, walls]), np.append(rise, np.zeros(len(rim)))


def _in_middle(points: Points, piece: Piece, charts: Charts) -> np.ndarray:
    """Which chart points lie in the car's middle plane."""
    if piece.folded:
        return points[:, 1] < _IN_MIDDLE_MM
    return (points[:, 0] < _IN_MIDDLE_MM) | (points[:, 0] > charts.side.outline.length - _IN_MIDDLE_MM)

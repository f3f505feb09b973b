"""What a price and a plan need to know of a panel: true areas, edge lengths by kind, seams, difficulty; and the frontal area."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from configurator.domain.body.flatten import flatten
from configurator.domain.body.records import Body, Edge, Indices, Layer, Mesh, Panel, Points
from configurator.domain.body.vectors import lengths

_MM2_PER_M2 = 1e6
_MOST_STRAIN = 0.20
_COLUMN_MM = 4.0
_KEPT_PANELS = 2048


def surface_area_mm2(vertices: Points, triangles: Indices) -> float:
    """Area of a triangle mesh: vertices (n, 3) mm, triangles (m, 3)."""
    origin = vertices[triangles[:, 0]]
    a, b = (vertices[triangles[:, 1]] - origin).T, (vertices[triangles[:, 2]] - origin).T
    squared = (a[1] * b[2] - a[2] * b[1]) ** 2 + (a[2] * b[0] - a[0] * b[2]) ** 2 + (a[0] * b[1] - a[1] * b[0]) ** 2
    return float(np.sqrt(squared).sum() / 2)


def area_m2(panel: Panel) -> float:
    """Developed area that film can lie on: the mesh's area without the share that another fitting hides for good."""
    return _mesh_area_mm2((panel.mirror_of or panel).mesh) * (1.0 - panel.covered_share) / _MM2_PER_M2


@lru_cache(maxsize=_KEPT_PANELS)
def _mesh_area_mm2(mesh: Mesh) -> float:
    return surface_area_mm2(mesh.vertices, mesh.triangles)


@lru_cache(maxsize=_KEPT_PANELS)
def edges(panel: Panel) -> tuple[Edge, ...]:
    """The boundary's true length (mm) by kind and neighbour, in the order in which the rings meet them.

    A left panel has exactly the lengths of the right one whose mirror image it is.
    """
    if panel.mirror_of is not None:
        return tuple(replace(edge, neighbour=_other_side(edge.neighbour)) for edge in edges(panel.mirror_of))
    beyond = [pair for loop in panel.loops for pair in zip(loop.kinds, loop.neighbours, strict=True)]
    numbers = {pair: number for number, pair in enumerate(dict.fromkeys(beyond))}
    starts = np.concatenate([loop.indices for loop in panel.loops])
    ends = np.concatenate([step for loop in panel.loops for step in (loop.indices[1:], loop.indices[:1])])
    segments = lengths(panel.mesh.vertices[ends] - panel.mesh.vertices[starts])
    sums = np.bincount([numbers[pair] for pair in beyond], segments)
    return tuple(Edge(kind, length, neighbour) for (kind, neighbour), length in zip(numbers, sums.tolist(), strict=True))


def _other_side(neighbour: str | None) -> str | None:
    return f"{neighbour.removesuffix('_right')}_left" if neighbour is not None and neighbour.endswith("_right") else neighbour


def perimeter_mm(panel: Panel) -> float:
    """Length of all boundary rings, holes included."""
    return sum(edge.length_mm for edge in edges(panel))


def difficulty(panel: Panel) -> float:
    """0 (lies flat by itself) to 1 (20 % strain: needs a seam or relief).

    The flattening strain of the double curvature times the panel's authored factor for tight edges, and what its pockets add.
    """
    return min(flatten(panel).strain * panel.pocket_difficulty / _MOST_STRAIN + panel.added_difficulty, 1.0)


def seam_length_mm(panel: Panel, y_mm: float) -> float:
    """Length of the line in which the plane y = `y_mm` meets the panel; exact on the mesh."""
    height = panel.mesh.vertices[:, 1] - y_mm
    height = np.where(height == 0.0, 1e-9, height)[panel.mesh.triangles]
    crossed = (height > 0).any(axis=1) & (height < 0).any(axis=1)
    if not crossed.any():
        return 0.0
    corners, height = panel.mesh.vertices[panel.mesh.triangles[crossed]], height[crossed]
    alone = np.argmax((height > 0) == ((height > 0).sum(axis=1) == 1)[:, None], axis=1)
    rows = np.arange(len(height))
    tip, tip_height = corners[rows, alone], height[rows, alone]
    ends = []
    for shift in (1, 2):
        other = (alone + shift) % 3
        share = tip_height / (tip_height - height[rows, other])
        ends.append(tip + share[:, None] * (corners[rows, other] - tip))
    return float(lengths(ends[0] - ends[1]).sum())


def frontal_area_m2(body: Body) -> float:
    """Area of the front silhouette without mirrors, the gap under the body between the tyres not filled (m2).

    Columns of constant y: each is filled from the lowest to the highest point of the body, or from the ground where a tyre stands.
    A car's silhouette has no hole in a column, so nothing is lost by that.
    """
    widest = max(float(panel.mesh.vertices[:, 1].max()) for panel in _silhouette_panels(body))
    columns = np.arange(_COLUMN_MM / 2, widest, _COLUMN_MM)
    high, low = np.full(len(columns), -np.inf), np.full(len(columns), np.inf)
    for panel in _silhouette_panels(body):
        _stretch(panel, columns, high, low)
    for wheel in body.wheels:
        behind = (columns < wheel.outer_y_mm) & (columns > wheel.outer_y_mm - wheel.width_mm)
        low[behind] = 0.0
    filled = np.isfinite(high) & np.isfinite(low)
    return float(2 * _COLUMN_MM * (high - low)[filled].sum() / _MM2_PER_M2)


def _silhouette_panels(body: Body) -> list[Panel]:
    return [
        panel for panel in body.panels.values() if panel.layer not in (Layer.MIRROR, Layer.ZONE) and not panel.id.startswith("mirror_foot")
    ]


def _stretch(panel: Panel, columns: Points, high: Points, low: Points) -> None:
    """Widen each column's span [low, high] by the panel's triangle sides that cross it."""
    triangles = panel.mesh.triangles
    pairs = np.vstack([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    y, z = panel.mesh.vertices[:, 1], panel.mesh.vertices[:, 2]
    start, end = (np.where(y[pairs[:, 0]] < y[pairs[:, 1]], pairs[:, a], pairs[:, b]) for a, b in ((0, 1), (1, 0)))
    first, last = np.searchsorted(columns, y[start]), np.searchsorted(columns, y[end])
    count = last - first
    side = np.repeat(np.arange(len(pairs)), count)
    column = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + np.repeat(first, count)
    share = (columns[column] - y[start][side]) / (y[end] - y[start])[side]
    height = z[start][side] + share * (z[end] - z[start])[side]
    np.maximum.at(high, column, height)
    np.minimum.at(low, column, height)

"""Cut a chart into labelled faces: all cut lines noded together, every face named by the first claim that holds it.

Because the faces come from one planar graph, neighbours share their edges to the last bit and every mm2 belongs to exactly one
face. A piece that a cut has severed from the rest of its panel goes to the neighbour with which it shares the longest edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Points

SIDE_GRID_MM = 0.25
TOP_GRID_MM = 0.01
"""Points of a chart's lines are rounded to this grid, so that lines that all but meet do meet. The top chart's is finer: it has to
keep apart what the side chart has kept apart on their border."""
_CROWDED_MM = 3.0
"""Points of a line nearer than this to one of its ends are dropped: they would only make needle triangles."""
_LEAST_FACE_MM2 = 40.0


@dataclass(frozen=True, eq=False)
class Claim:
    """All of `region` that no earlier claim took is `label`."""

    label: str
    region: shapely.Geometry


@dataclass(frozen=True, eq=False)
class Faces:
    """`polygons` (n,) of a chart with their `labels`."""

    polygons: np.ndarray
    labels: tuple[str, ...]


def partition(region: shapely.Polygon, lines: Sequence[shapely.Geometry], claims: Sequence[Claim], *, rest: str, grid_mm: float) -> Faces:
    """Cut `region` along `lines` and label the faces; what no claim holds is `rest`."""
    noded = shapely.union_all([region.exterior, *lines], grid_size=grid_mm)
    polygons = shapely.get_parts(shapely.polygonize(_tidied(noded, region.exterior, grid_mm)))
    inside = shapely.point_on_surface(polygons)
    shapely.prepare(region)
    polygons, inside = polygons[shapely.contains(region, inside)], inside[shapely.contains(region, inside)]
    labels = _claimed(shapely.get_coordinates(inside), claims, rest)
    return Faces(polygons, _healed(polygons, labels))


def _tidied(noded: shapely.Geometry, kept: shapely.LinearRing, grid_mm: float) -> np.ndarray:
    """The noded lines without points that crowd the lines' ends. Points of `kept` stay: the other chart has them too."""
    lines = shapely.get_parts(shapely.line_merge(noded))
    coordinates, line = shapely.get_coordinates(lines, return_index=True)
    starts = np.flatnonzero(np.diff(line, prepend=-1))
    stops = np.append(starts[1:], len(line)) - 1
    distance = np.minimum(
        np.linalg.norm(coordinates - coordinates[starts][line], axis=1),
        np.linalg.norm(coordinates - coordinates[stops][line], axis=1),
    )
    keep = distance > _CROWDED_MM
    keep[starts] = keep[stops] = True
    keep |= shapely.is_closed(lines)[line] | np.isin(_on_grid(coordinates, grid_mm), _on_grid(shapely.get_coordinates(kept), grid_mm))
    return shapely.linestrings(coordinates[keep], indices=line[keep])


def _on_grid(points: Points, grid_mm: float) -> np.ndarray:
    """A comparable key for each point, to the grid's width."""
    steps = np.rint(points / grid_mm)
    return steps[:, 0] + 1j * steps[:, 1]


def _claimed(points: Points, claims: Sequence[Claim], rest: str) -> list[str]:
    labels: list[str | None] = [None] * len(points)
    for claim in claims:
        held = shapely.contains_xy(claim.region, points[:, 0], points[:, 1])
        for place in np.flatnonzero(held):
            labels[place] = labels[place] or claim.label
    return [label or rest for label in labels]


def _healed(polygons: np.ndarray, labels: list[str]) -> tuple[str, ...]:
    """Labels after severed pieces and slivers went over to their best neighbours."""
    shared = _shared_lengths(polygons)
    areas = shapely.area(polygons)
    for place in np.argsort(areas, kind="stable"):
        if not _is_at_home(int(place), polygons, labels, shared, areas):
            labels[place] = _best_neighbour(int(place), labels, shared) or labels[place]
    return tuple(labels)


def _shared_lengths(polygons: np.ndarray) -> list[dict[int, float]]:
    """For each face the length of edge (mm) that it shares with each neighbour."""
    rings, owner = shapely.get_rings(polygons, return_index=True)
    coordinates, ring = shapely.get_coordinates(rings, return_index=True)
    vertex = np.unique(coordinates[:, 0] + 1j * coordinates[:, 1], return_inverse=True)[1]
    within = ring[:-1] == ring[1:]
    start, end = vertex[:-1][within], vertex[1:][within]
    length = np.linalg.norm(np.diff(coordinates, axis=0), axis=1)[within]
    face = owner[ring[:-1][within]]
    key = np.minimum(start, end) * (len(vertex) + 1) + np.maximum(start, end)
    return _pair_lengths(key, face, length, len(polygons))


def _pair_lengths(key: Indices, face: Indices, length: Points, count: int) -> list[dict[int, float]]:
    order = np.argsort(key, kind="stable")
    key, face, length = key[order], face[order], length[order]
    pairs = np.flatnonzero((key[:-1] == key[1:]) & (face[:-1] != face[1:]))
    shared: list[dict[int, float]] = [{} for _ in range(count)]
    for place in pairs.tolist():
        a, b, weight = int(face[place]), int(face[place + 1]), float(length[place])
        shared[a][b] = shared[a].get(b, 0.0) + weight
        shared[b][a] = shared[b].get(a, 0.0) + weight
    return shared


def _is_at_home(place: int, polygons: np.ndarray, labels: list[str], shared: list[dict[int, float]], areas: Points) -> bool:
    """Whether the face belongs to the largest connected part of its label, and isn't a lone sliver."""
    label = labels[place]
    same = [other for other, name in enumerate(labels) if name == label]
    if len(same) == 1:
        return bool(areas[place] > _LEAST_FACE_MM2)
    mine = _connected(place, labels, shared)
    rest = set(same) - mine
    return not rest or areas[list(mine)].sum() >= max(areas[list(_connected(other, labels, shared))].sum() for other in rest)


def _connected(place: int, labels: list[str], shared: list[dict[int, float]]) -> set[int]:
    found, waiting = {place}, [place]
    while waiting:
        for other in shared[waiting.pop()]:
            if labels[other] == labels[place] and other not in found:
                found.add(other)
                waiting.append(other)
    return found


def _best_neighbour(place: int, labels: list[str], shared: list[dict[int, float]]) -> str | None:
    lengths: dict[str, float] = {}
    for other, length in shared[place].items():
        if labels[other] != labels[place]:
            lengths[labels[other]] = lengths.get(labels[other], 0.0) + length
    return max(sorted(lengths), key=lambda label: lengths[label]) if lengths else None

"""Cut a chart into labelled faces: all cut lines noded together, every face named by the first claim that holds it.

Because the faces come from one planar graph, neighbours share their edges to the last bit and every mm2 belongs to exactly one
face. A piece that a cut has severed from the rest of its panel goes to the neighbour with which it shares the longest edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Points
from configurator.domain.body.vectors import lengths

SIDE_GRID_MM = 0.25
TOP_GRID_MM = 0.01
"""Points of a chart's lines are rounded to this grid, so that lines that all but meet do meet. The top chart's is finer: it has to
keep apart what the side chart has kept apart on their border."""
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


@dataclass(frozen=True, eq=False)
class Rules:
    """`rest`: label of what no claim holds. `grid_mm`: see the grids above.

    `insets`: labels that severed pieces go to only when there is no other.
    """

    rest: str
    grid_mm: float
    insets: frozenset[str] = frozenset()


def partition(region: shapely.Polygon, lines: Sequence[shapely.Geometry], claims: Sequence[Claim], rules: Rules) -> Faces:
    """Cut `region` along `lines` and label the faces by the first claim that holds each."""
    noded = shapely.union_all([region.exterior, *lines], grid_size=rules.grid_mm)
    polygons = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    inside = shapely.point_on_surface(polygons)
    shapely.prepare(region)
    held = shapely.contains(region, inside)
    polygons, inside = polygons[held], inside[held]
    labels = _claimed(shapely.get_coordinates(inside), claims, rules.rest)
    return Faces(polygons, _healed(polygons, labels, rules.insets))


def _claimed(points: Points, claims: Sequence[Claim], rest: str) -> list[str]:
    labels: list[str | None] = [None] * len(points)
    for claim in claims:
        held = shapely.contains_xy(claim.region, points[:, 0], points[:, 1])
        for place in np.flatnonzero(held):
            labels[place] = labels[place] or claim.label
    return [label or rest for label in labels]


def _healed(polygons: np.ndarray, labels: list[str], insets: frozenset[str]) -> tuple[str, ...]:
    """Labels after severed pieces and slivers went over to their best neighbours."""
    shared = _shared_lengths(polygons)
    areas = shapely.area(polygons)
    for place in np.argsort(areas, kind="stable"):
        if not _is_at_home(int(place), polygons, labels, shared, areas):
            labels[place] = _best_neighbour(int(place), labels, shared, insets) or labels[place]
    return tuple(labels)


def _shared_lengths(polygons: np.ndarray) -> list[dict[int, float]]:
    """For each face the length of edge (mm) that it shares with each neighbour."""
    rings, owner = shapely.get_rings(polygons, return_index=True)
    coordinates, ring = shapely.get_coordinates(rings, return_index=True)
    vertex = np.unique(coordinates[:, 0] + 1j * coordinates[:, 1], return_inverse=True)[1]
    within = ring[:-1] == ring[1:]
    start, end = vertex[:-1][within], vertex[1:][within]
    length = lengths(np.diff(coordinates, axis=0))[within]
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


def _best_neighbour(place: int, labels: list[str], shared: list[dict[int, float]], insets: frozenset[str]) -> str | None:
    """The label with which the face shares most of its edge, rather a panel than an inset (lamp, glass, handle)."""
    lengths: dict[str, float] = {}
    for other, length in shared[place].items():
        if labels[other] != labels[place]:
            lengths[labels[other]] = lengths.get(labels[other], 0.0) + length
    return max(sorted(lengths), key=lambda label: (label not in insets, lengths[label])) if lengths else None

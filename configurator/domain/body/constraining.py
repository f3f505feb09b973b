"""Force wanted edges into a triangulation that has left them out: turn one shared side where that is enough, else retriangulate."""

from collections.abc import Mapping, Sequence

import numpy as np

from configurator.domain.body.records import Indices, Points
from configurator.domain.body.sides import Sides, half_edges, sides_of, undirected


def with_edges(points: Points, triangles: Indices, missing: Indices) -> Indices:
    """The triangulation with every edge of `missing` (k, 2) in it; none of them may cross another one or pass through a point."""
    triangles, missing = _turned_sides(points, triangles, missing)
    boxes = _boxes(points, triangles)
    for start, end in missing.tolist():
        triangles, boxes = _with_edge(points, triangles, boxes, start, end)
    return triangles


def _turned_sides(points: Points, triangles: Indices, missing: Indices) -> tuple[Indices, Indices]:
    """Makes the missing edges that cross one side only, by turning that side; the triangles, and the edges still missing."""
    ends = np.zeros(len(points), dtype=bool)
    ends[missing] = True
    near = np.flatnonzero(ends[triangles[:, 0]] | ends[triangles[:, 1]] | ends[triangles[:, 2]])
    local = triangles[near]
    while len(missing) and _turn_sides(points, local, missing):
        missing = missing[~np.isin(undirected(missing, len(points)), undirected(half_edges(local), len(points)))]
    triangles = triangles.copy()
    triangles[near] = local
    return triangles, missing


def _turn_sides(points: Points, triangles: Indices, missing: Indices) -> bool:
    """One round, in place; sides that share a triangle with another one to be turned wait for the next. Whether any was turned."""
    sides = sides_of(triangles, len(points))
    apex = triangles[:, [2, 0, 1]].ravel()
    candidates = np.flatnonzero((sides.twins >= 0) & (apex < apex[sides.twins]))
    spans = np.stack([apex[candidates], apex[sides.twins[candidates]]], axis=1)
    candidates = candidates[np.isin(undirected(spans, len(points)), undirected(missing, len(points)))]
    chosen = _apart(_crossing(points, sides, apex, candidates), sides.twins)
    here, there = apex[chosen], apex[sides.twins[chosen]]
    triangles[chosen // 3] = np.stack([here, sides.edges[chosen, 0], there], axis=1)
    triangles[sides.twins[chosen] // 3] = np.stack([there, sides.edges[chosen, 1], here], axis=1)
    return len(chosen) > 0


def _crossing(points: Points, sides: Sides, apex: Indices, candidates: Indices) -> Indices:
    """The sides that the line between the two corners opposite them really crosses."""
    start, end = points[sides.edges[candidates, 0]], points[sides.edges[candidates, 1]]
    here, there = points[apex[candidates]], points[apex[sides.twins[candidates]]]
    return candidates[cross(there - here, start - here) * cross(there - here, end - here) < 0]


def _apart(sides: Indices, twins: Indices) -> Indices:
    """Sides of which no two belong to one triangle."""
    taken: set[int] = set()
    chosen = []
    for side in sides.tolist():
        pair = {side // 3, int(twins[side]) // 3}
        if not pair & taken:
            taken |= pair
            chosen.append(side)
    return np.array(chosen, dtype=np.int64)


def _with_edge(points: Points, triangles: Indices, boxes: Points, start: int, end: int) -> tuple[Indices, Points]:
    """Replace the triangles that the segment start-end crosses by fans on its two sides; the triangles and their boxes.

    A segment that crosses none has come in already, as a side of another one's fans.
    """
    crossed = _crossed(points, triangles, boxes, start, end)
    if not len(crossed):
        return triangles, boxes
    border = _border_loop(triangles[crossed], start)
    split = border.index(end)
    left, right = border[: split + 1], [*border[split:], start]
    filled = np.array([*_ears(points, left), *_ears(points, right)], dtype=triangles.dtype)
    kept = np.ones(len(triangles), dtype=bool)
    kept[crossed] = False
    return np.vstack([triangles[kept], filled]), np.hstack([boxes[:, kept], _boxes(points, filled)])


def _crossed(points: Points, triangles: Indices, boxes: Points, start: int, end: int) -> Indices:
    """Numbers of the triangles that have an inside point on the segment."""
    a, b = points[start], points[end]
    low, high = np.minimum(a, b), np.maximum(a, b)
    left, bottom, right, top = boxes
    near = np.flatnonzero((left <= high[0]) & (right >= low[0]) & (bottom <= high[1]) & (top >= low[1]))
    candidates = triangles[near]
    corners = points[candidates]
    side = cross(b - a, corners - a)
    side[(candidates == start) | (candidates == end)] = 0.0
    hit = np.zeros(len(candidates), dtype=bool)
    for p, q in ((0, 1), (1, 2), (2, 0)):
        span = corners[:, q] - corners[:, p]
        apart = side[:, p] * side[:, q] < 0
        hit |= apart & (cross(span, a - corners[:, p]) * cross(span, b - corners[:, p]) < 0)
    return near[hit]


def _boxes(points: Points, triangles: Indices) -> Points:
    """(4, m): least x and y, greatest x and y of each triangle."""
    a, b, c = (points[triangles[:, corner]].T for corner in range(3))
    return np.vstack([np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)])


def _border_loop(triangles: Indices, start: int) -> list[int]:
    """The ring around a set of triangles, counter-clockwise from `start`."""
    edges = [(ring[place - 1], ring[place]) for ring in triangles.tolist() for place in range(3)]
    inner = {(end, start) for start, end in edges}
    following = {start: end for start, end in edges if (start, end) not in inner}
    loop, here = [start], following[start]
    while here != start:
        loop.append(here)
        here = following[here]
    return loop


def _ears(points: Points, ring: list[int]) -> list[list[int]]:
    """A simple counter-clockwise polygon cut into triangles, ear by ear."""
    ring, triangles, places = list(ring), [], dict(zip(ring, points[ring].tolist(), strict=True))
    while len(ring) > 3:
        place = next((i for i in range(len(ring)) if _is_ear(places, ring, i)), 0)
        triangles.append([ring[place - 1], ring[place], ring[(place + 1) % len(ring)]])
        del ring[place]
    return [*triangles, ring]


def _is_ear(places: Mapping[int, Sequence[float]], ring: list[int], place: int) -> bool:
    """In plain numbers: the rings are short, arrays would take longer."""
    tip = [ring[place - 1], ring[place], ring[(place + 1) % len(ring)]]
    a, b, c = (places[corner] for corner in tip)
    if _turn(a, b, c) <= 0:
        return False
    others = [places[v] for v in ring if v not in tip]
    return not any(_turn(a, b, other) >= 0 and _turn(b, c, other) >= 0 and _turn(c, a, other) >= 0 for other in others)


def _turn(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    """Twice the area of the triangle: positive where the way from a over b to c turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def cross(a: Points, b: Points) -> Points:
    """Cross product of plane vectors (..., 2)."""
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])

"""Outlines as SVG path data: few points, smooth Bezier segments, sharp corners kept, whole millimetres."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Points
from configurator.drawing.rings import Rings

TOLERANCE_MM = 1.6
"""How far a drawn outline may leave the true one; under a third of a pixel where a car fills a 1440 px screen."""
_CORNER_COS = float(np.cos(np.radians(32)))
"""A turn sharper than this is a corner and stays sharp."""
_STRAIGHT_SIN = float(np.sin(np.radians(2.2)))
_SHORT_MM = 6.0
_BULGE = 5.0
"""A segment's tangent may leave its chord by this many tolerances over its length: an arc with 1.25 tolerances of rise."""


def path_data(rings: Sequence[Points], *, tolerance_mm: float = TOLERANCE_MM) -> str:
    """`d` of closed plane rings, each (n, 2) mm."""
    return "".join(ring_paths(Rings.of([ring for ring in rings if len(ring) > 2]), tolerance_mm=tolerance_mm))


def line_data(lines: Iterable[Points], *, tolerance_mm: float = TOLERANCE_MM) -> str:
    """`d` of open plane lines, each (n, 2) mm."""
    return "".join(_line_data(line, tolerance_mm) for line in lines if len(line) > 1)


def polygon_data(shape: shapely.Geometry, *, tolerance_mm: float = TOLERANCE_MM, least_area_mm2: float = 60.0) -> str:
    """`d` of a shapely polygon or collection of them, holes included; crumbs under `least_area_mm2` are left out."""
    return path_data(polygon_rings(shape, least_area_mm2=least_area_mm2), tolerance_mm=tolerance_mm)


def polygon_rings(shape: shapely.Geometry, *, least_area_mm2: float = 60.0) -> list[Points]:
    """The rings (n, 2) of a shapely polygon or collection of them, without the repeated last point."""
    rings = []
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and part.area >= least_area_mm2:
            rings += [shapely.get_coordinates(ring)[:-1] for ring in (part.exterior, *part.interiors)]
    return rings


def ring_paths(rings: Rings, *, tolerance_mm: float = TOLERANCE_MM) -> list[str]:
    """`d` of each ring by itself, all worked out together."""
    rings = _without_repeats(rings)
    if not len(rings):
        return []
    leaving, arriving = _tangents(rings.points, rings.points[rings.following] - rings.points, rings.preceding)
    kept, owner = _kept_points(rings, tolerance_mm)
    ahead = _following_in_groups(owner)
    ends = (rings.points[kept], rings.points[kept[ahead]], leaving[kept], arriving[kept[ahead]])
    return _paths(*ends, owner=owner, count=len(rings), close="z", tolerance_mm=tolerance_mm)


def _line_data(line: Points, tolerance_mm: float) -> str:
    simple = shapely.get_coordinates(shapely.simplify(shapely.linestrings(line), tolerance_mm, preserve_topology=False))
    step = np.diff(line, axis=0, append=line[-1:] * 2 - line[-2:-1])
    before = np.concatenate([[0], np.arange(len(line) - 1)])
    leaving, arriving = _tangents(line, step, before)
    arriving[0], leaving[-1] = leaving[0], arriving[-1]
    kept = np.flatnonzero(np.isin(line @ np.array([1, 1j]), simple @ np.array([1, 1j])))
    ends = (line[kept[:-1]], line[kept[1:]], leaving[kept[:-1]], arriving[kept[1:]])
    alone = np.zeros(len(kept) - 1, dtype=np.int64)
    return _paths(*ends, owner=alone, count=1, close="", tolerance_mm=tolerance_mm)[0]


def _without_repeats(rings: Rings) -> Rings:
    distinct = np.abs(rings.points[rings.following] - rings.points).sum(axis=1) > 0.05
    if distinct.all():
        return rings
    counts = np.bincount(rings.owner[distinct], minlength=len(rings))
    return Rings(rings.points[distinct], np.concatenate([[0], np.cumsum(counts)]))


def _following_in_groups(owner: Indices) -> Indices:
    """Index of the next entry with the same owner, the last of a group pointing back to its first."""
    after = np.arange(1, len(owner) + 1)
    last = np.flatnonzero(np.diff(owner, append=-1))
    after[last] = np.concatenate([[0], last[:-1] + 1])
    return after


def _kept_points(rings: Rings, tolerance_mm: float) -> tuple[Indices, Indices]:
    """Douglas-Peucker on every ring, from the point farthest from its middle: indices into `rings.points`, and their rings."""
    counts = np.diff(rings.starts)
    middle = np.stack([np.bincount(rings.owner, rings.points[:, axis], len(rings)) for axis in (0, 1)], axis=1) / counts[:, None]
    away = ((rings.points - middle[rings.owner]) ** 2).sum(axis=1)
    farthest = np.array([start + np.argmax(away[start:end]) for start, end in zip(rings.starts[:-1], rings.starts[1:], strict=True)])
    place = np.arange(len(rings.points)) - rings.starts[rings.owner] + (farthest - rings.starts[:-1])[rings.owner]
    order = rings.starts[rings.owner] + place % counts[rings.owner]
    closed = np.insert(order, rings.starts[1:], farthest)
    owner = np.insert(rings.owner, rings.starts[1:], np.arange(len(rings)))
    lines = shapely.linestrings(rings.points[closed], indices=owner)
    simple, simple_owner = shapely.get_coordinates(shapely.simplify(lines, tolerance_mm, preserve_topology=False), return_index=True)
    key = np.array([1, 1j])
    apart = 1e5 * (1 + 1j)
    same = np.isin(rings.points[order] @ key + apart * rings.owner, simple @ key + apart * simple_owner)
    return order[same], rings.owner[same]


def _unit(vectors: Points) -> Points:
    unit: Points = vectors / np.maximum(np.linalg.norm(vectors, axis=1, keepdims=True), 1e-9)
    return unit


def _tangents(points: Points, step: Points, preceding: Indices) -> tuple[Points, Points]:
    """Unit directions in which an outline leaves and reaches each point: equal where it is smooth, two where it turns a corner."""
    after = _unit(step)
    before = after[preceding]
    gap = np.linalg.norm(step, axis=1)
    weight = (gap[preceding] / np.maximum(gap + gap[preceding], 1e-9))[:, None]
    mean = _unit(before * (1 - weight) + after * weight)
    smooth = ((after * before).sum(axis=1) > _CORNER_COS)[:, None]
    return np.where(smooth, mean, after), np.where(smooth, mean, before)


def _toward_chord(tangent: Points, chord: Points, tolerance_mm: float) -> tuple[Points, Points]:
    """Tangents turned toward their chord until the curve rises no more than the simplification allowed, and their sines to it.

    A tangent at the end of a long straight that runs into a small rounding belongs to the rounding: left as it is,
    the straight would bulge.
    """
    length = np.maximum(np.linalg.norm(chord, axis=1), 1e-9)
    along = chord / length[:, None]
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1)
    sine = (tangent * normal).sum(axis=1)
    backward = (tangent * along).sum(axis=1) < 0.35
    limit = np.where(backward, 0.0, np.minimum(_BULGE * tolerance_mm / length, 0.94))
    sine = np.clip(sine, -limit, limit)
    return along * np.sqrt(1 - sine**2)[:, None] + normal * sine[:, None], sine


def _paths(
    start: Points, end: Points, out: Points, into: Points, *, owner: Indices, count: int, close: str, tolerance_mm: float
) -> list[str]:
    """One path per owner from its segments: cubic Beziers whose handles are a third of the chord, straight ones as lines."""
    out, out_sine = _toward_chord(out, end - start, tolerance_mm)
    into, into_sine = _toward_chord(into, end - start, tolerance_mm)
    bent = np.maximum(np.abs(out_sine), np.abs(into_sine)) > _STRAIGHT_SIN
    straight = ~bent | (np.abs(end - start).sum(axis=1) < _SHORT_MM)
    handle = np.linalg.norm(end - start, axis=1, keepdims=True) / 3
    origin, goal = np.rint(start), np.rint(end)
    steps = np.hstack([np.rint(start + out * handle) - origin, np.rint(end - into * handle) - origin, goal - origin]).astype(int)
    bounds = np.searchsorted(owner, np.arange(count + 1)).tolist()
    turns = np.flatnonzero(np.diff(straight)) + 1
    origin_rows, step_rows, kinds = origin.astype(int).tolist(), steps.tolist(), straight.tolist()
    paths = []
    for first, last in pairwise(bounds):
        if first == last:
            paths.append("")
            continue
        inner = turns[(turns > first) & (turns < last)].tolist()
        runs = zip([first, *inner], [*inner, last], strict=True)
        body = "".join(_run(step_rows[a:b], kinds[a]) for a, b in runs)
        paths.append(f"M{origin_rows[first][0]} {origin_rows[first][1]}{body}{close}")
    return paths


def _run(steps: list[list[int]], straight: bool) -> str:
    if straight:
        return "l" + joined([value for step in steps for value in step[4:]])
    return "c" + joined([value for step in steps for value in step])


def joined(values: Iterable[int]) -> str:
    """Numbers as path data: a minus sign parts as well as a space does."""
    return " ".join(map(str, values)).replace(" -", "-")

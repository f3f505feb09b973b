"""Outlines as SVG path data: few points, smooth Bezier segments, sharp corners kept, coordinates on a grid.

An outline is thinned twice. Where one long curve through the coarse points stays true to the outline, it stands; where it doesn't,
the fine points come back.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely

from configurator.domain.body.records import Indices, Points
from configurator.domain.body.vectors import dot, lengths, unit
from configurator.drawing.rings import Rings
from configurator.drawing.surfaces import Flags

TOLERANCE_MM = 2.0
"""How far a drawn outline may leave the true one; about half a pixel where one view of a car fills a 1440 px screen."""
_GRID_MM = 2
"""Coordinates are whole multiples of this: a quarter of a pixel there, and a tenth less to send."""
_COARSE = 6.0
"""Tolerances that the coarse thinning may use up before curves are put through what is left."""
_CORNER_COS = float(np.cos(np.radians(32)))
"""A turn sharper than this is a corner and stays sharp."""
_STRAIGHT_MM = 1.0
"""An outline that rises less than this from a segment's chord is drawn as the chord."""
_SHORT_MM = 6.0
_BULGE = 5.0
"""A segment's tangent may leave its chord by this many tolerances over its length: an arc with 1.25 tolerances of rise."""
_SAME_CURVE_MM = 0.8
"""A cubic that strays less than this from a quadratic is written as one: a third less to send."""
_CUBIC_FROM_QUADRATIC = float(np.sqrt(3.0) / 36.0)
"""Times the cubic's third difference: how far its nearest quadratic strays from it at most (degree reduction; from memory)."""
_PIN_MM = 0.05
_LINE, _QUADRATIC, _CUBIC = 0, 1, 2
_LETTERS = ("l", "q", "c")
_KEY = np.array([1.0, np.sqrt(2.0)])
_APART = np.pi * 1e5
"""One number for a point of a run, the same whenever the point is: tells which points thinning has kept."""


def path_data(rings: Sequence[Points], *, tolerance_mm: float = TOLERANCE_MM) -> str:
    """`d` of closed plane rings, each (n, 2) mm."""
    return "".join(paths_of(rings, (), tolerance_mm=tolerance_mm))


def line_data(lines: Sequence[Points], *, tolerance_mm: float = TOLERANCE_MM) -> str:
    """`d` of open plane lines, each (n, 2) mm."""
    return "".join(paths_of((), lines, tolerance_mm=tolerance_mm))


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


def paths_of(
    rings: Sequence[Points],
    lines: Sequence[Points],
    *,
    tolerance_mm: float | Sequence[float] = TOLERANCE_MM,
    pins: Points | None = None,
) -> list[str]:
    """`d` of each closed ring and then of each open line, all worked out together; an empty string for one with too few points.

    `tolerance_mm`: one for all, or one for each ring and line. `pins` (k, 2): points that a path which has them must go through.
    """
    round_trips = _ring_trace(Rings.of(rings)) if rings else None
    one_way = _line_trace(lines, len(rings)) if lines else None
    parts = [part for part in (round_trips, one_way) if part is not None and len(part.points)]
    if not parts:
        return [""] * (len(rings) + len(lines))
    trace = _Trace(*(np.concatenate([getattr(part, name) for part in parts]) for name in ("points", "leaving", "arriving", "runs")))
    tolerances = np.broadcast_to(np.asarray(tolerance_mm, dtype=np.float64), len(rings) + len(lines))
    pinned = np.zeros(len(trace.points), dtype=np.bool_) if pins is None else _pinned(trace.points, pins)
    trace, pinned, rises = _finely(trace, tolerances, pinned)
    paths = _paths(trace, _segments(trace, tolerances, pinned, rises), len(rings) + len(lines))
    return [data + "z" if data and place < len(rings) else data for place, data in enumerate(paths)]


def _ring_trace(rings: Rings) -> "_Trace":
    """Every ring unrolled from its farthest point back to it: open runs of points, one per ring."""
    rings = _without_repeats(rings)
    step = rings.points[rings.following] - rings.points
    leaving, arriving = _tangents(step, rings.preceding)
    order, runs = _unrolled(rings)
    return _Trace(rings.points[order], leaving[order], arriving[order], runs)


def _line_trace(lines: Sequence[Points], first_run: int) -> "_Trace":
    counts = np.array([len(line) for line in lines], dtype=np.int64)
    points, runs = np.vstack(lines), np.repeat(np.arange(len(lines)), counts)
    ends = np.cumsum(counts) - 1
    step = np.diff(points, axis=0, append=points[-1:])
    step[ends] = step[np.maximum(ends - 1, 0)]
    before = np.maximum(np.arange(len(points)) - 1, 0)
    before[ends - counts + 1] = ends - counts + 1
    leaving, arriving = _tangents(step, before)
    return _Trace(points, leaving, arriving, runs + first_run)


@dataclass(frozen=True, eq=False)
class _Trace:
    """Points of open runs end to end, with the unit directions in which the outline leaves and reaches each; `runs` numbers the runs."""

    points: Points
    leaving: Points
    arriving: Points
    runs: Indices

    @cached_property
    def places(self) -> Indices:
        """The runs' numbers without gaps (a run without points has none)."""
        return np.cumsum(np.diff(self.runs, prepend=self.runs[0]) != 0)


@dataclass(frozen=True, eq=False)
class _Segments:
    """Segments from point `start[i]` to point `end[i]` of a trace; a tangent may rise from its chord by `slack_mm[i]`."""

    start: Indices
    end: Indices
    slack_mm: Points


def _without_repeats(rings: Rings) -> Rings:
    """Without points that repeat the next one, and without the points of rings that have fewer than three."""
    step = np.abs(rings.points[rings.following] - rings.points)
    distinct = step[:, 0] + step[:, 1] > 0.05
    counts = np.bincount(rings.owner[distinct], minlength=len(rings))
    if distinct.all() and (counts > 2).all():
        return rings
    distinct &= (counts > 2)[rings.owner]
    return Rings(rings.points[distinct], np.concatenate([[0], np.cumsum(np.where(counts > 2, counts, 0))]))


def _unrolled(rings: Rings) -> tuple[Indices, Indices]:
    """Indices of each ring's points from its farthest one round to it again, and their ring numbers."""
    counts = np.maximum(np.diff(rings.starts), 1)
    middle = np.stack([np.bincount(rings.owner, rings.points[:, axis], len(rings)) for axis in (0, 1)], axis=1) / counts[:, None]
    offset = rings.points - middle[rings.owner]
    away = dot(offset, offset)
    filled = np.flatnonzero(np.diff(rings.starts))
    highest = np.zeros(len(rings))
    highest[filled] = np.maximum.reduceat(away, rings.starts[filled])
    far = np.flatnonzero(away == highest[rings.owner])
    farthest = far[np.searchsorted(rings.owner[far], filled)]
    place = np.arange(len(rings.points)) - rings.starts[rings.owner]
    place[:] += (farthest - rings.starts[filled])[np.searchsorted(filled, rings.owner)]
    order = rings.starts[rings.owner] + place % counts[rings.owner]
    return np.insert(order, rings.starts[filled + 1], farthest), np.insert(rings.owner, rings.starts[filled + 1], filled)


def _tangents(step: Points, preceding: Indices) -> tuple[Points, Points]:
    """Unit directions in which an outline leaves and reaches each point: equal where it is smooth, two where it turns a corner."""
    after = unit(step)
    before = after[preceding]
    gap = lengths(step)
    weight = (gap[preceding] / np.maximum(gap + gap[preceding], 1e-9))[:, None]
    mean = unit(before * (1 - weight) + after * weight)
    smooth = (dot(after, before) > _CORNER_COS)[:, None]
    return np.where(smooth, mean, after), np.where(smooth, mean, before)


def _pinned(points: Points, pins: Points) -> Flags:
    """Which points are pins, but for what rounding has left."""
    by_key = pins[np.argsort(pins @ _KEY)]
    place = np.searchsorted(by_key @ _KEY, points @ _KEY)
    found = np.zeros(len(points), dtype=np.bool_)
    for beside in (place - 1, place):
        away = np.abs(by_key[np.clip(beside, 0, len(by_key) - 1)] - points)
        found |= np.maximum(away[:, 0], away[:, 1]) < _PIN_MM
    return found


def _finely(trace: _Trace, tolerances_mm: Points, pinned: Flags) -> tuple[_Trace, Flags, Points]:
    """The trace without the points that the runs' tolerances make needless; those that stay keep the directions they had among all.

    With it what is pinned, and how far the outline rises from the chord between each point and the next.
    """
    kept = _thinned(trace, tolerances_mm) | pinned
    thin = _Trace(trace.points[kept], trace.leaving[kept], trace.arriving[kept], trace.runs[kept])
    return thin, pinned[kept], _rises(trace.points, np.flatnonzero(kept))


def _rises(points: Points, kept: Indices) -> Points:
    """(kept,) the greatest distance of the points between each kept one and the next from their chord; 0 after the last."""
    chord = unit(points[kept[1:]] - points[kept[:-1]])
    owner = np.repeat(np.arange(len(kept) - 1), np.diff(kept))
    offset = points[kept[0] : kept[-1]] - points[kept[:-1]][owner]
    beside = np.abs(_aside(offset, chord[owner]))
    return np.append(np.maximum.reduceat(beside, kept[:-1] - kept[0]), 0.0)


def _segments(trace: _Trace, tolerances_mm: Points, pinned: Flags, rises: Points) -> _Segments:
    """Long segments where their curve stays true to a trace's points, short ones from point to point elsewhere."""
    coarse = _thinned(trace, _COARSE * tolerances_mm) | pinned
    long = _between(trace, np.flatnonzero(coarse), (_COARSE * tolerances_mm)[trace.runs])
    untrue = _leaves(trace, long) > tolerances_mm[trace.runs[long.start]]
    inside = np.cumsum(coarse) - 1
    back = ~coarse & untrue[np.minimum(np.searchsorted(long.start, np.flatnonzero(coarse)[inside]), len(untrue) - 1)]
    segments = _between(trace, np.flatnonzero(coarse | back), rises)
    stands = np.isin(segments.start, long.start[~untrue]) & (segments.end - segments.start > 1)
    slack = np.where(stands, (_COARSE * tolerances_mm)[trace.runs[segments.start]], segments.slack_mm)
    return _Segments(segments.start, segments.end, slack)


def _thinned(trace: _Trace, tolerances_mm: Points) -> Flags:
    """Douglas-Peucker on every run with its own tolerance: which points are kept."""
    ends = np.diff(trace.runs, prepend=-1, append=trace.runs[-1] + 1) != 0
    lines = shapely.linestrings(trace.points, indices=trace.places)
    simple, runs = shapely.get_coordinates(
        shapely.simplify(lines, tolerances_mm[trace.runs[ends[:-1]]], preserve_topology=False), return_index=True
    )
    left = np.sort(simple @ _KEY + _APART * runs)
    sought = trace.points @ _KEY + _APART * trace.places
    kept = left[np.minimum(np.searchsorted(left, sought), len(left) - 1)] == sought
    return np.asarray(kept | ends[:-1] | ends[1:], dtype=np.bool_)


def _between(trace: _Trace, kept: Indices, slack_mm: Points) -> _Segments:
    """The segments from each kept point to the next of the same run; `slack_mm` by the point where one starts."""
    same = trace.runs[kept[1:]] == trace.runs[kept[:-1]]
    start, end = kept[:-1][same], kept[1:][same]
    return _Segments(start, end, slack_mm[start])


def _leaves(trace: _Trace, segments: _Segments) -> Points:
    """(segments,) how far in mm the outline lies beside each segment's curve, at most: looked at in its points and halfway between."""
    counts = 2 * (segments.end - segments.start) + 1
    owner = np.repeat(np.arange(len(counts)), counts)
    first_look = np.cumsum(counts) - counts
    half_steps = np.arange(counts.sum()) - first_look[owner]
    before = segments.start[owner] + half_steps // 2
    after = segments.start[owner] + (half_steps + 1) // 2
    curves = _cubics(trace, segments)
    offset = (trace.points[before] + trace.points[after]) / 2
    offset -= curves.start[owner]
    along = curves.along[owner]
    share = np.clip(dot(offset, along) / np.maximum(curves.lengths, 1e-9)[owner], 0, 1)
    # Start and end lie on the chord: how high a curve rises from it is a matter of its two control points.
    first, second = (_aside(control - curves.start, curves.along)[owner] for control in (curves.first, curves.second))
    rest = 1 - share
    beside = np.abs(_aside(offset, along) - 3 * rest * share * (rest * first + share * second))
    return np.asarray(np.maximum.reduceat(beside, first_look), dtype=np.float64)


def _aside(vectors: Points, along: Points) -> Points:
    """(n,) how far vectors reach beside the unit directions `along`, signed."""
    return np.asarray(vectors[:, 1] * along[:, 0] - vectors[:, 0] * along[:, 1])


@dataclass(frozen=True, eq=False)
class _Cubics:
    """Segments as cubic Bezier curves with control points `first` and `second`, a third of the chord along the tangents.

    `along` (n, 2) and `lengths` (n,) of the chords; `sines` (n,): of the tangent that leaves its chord more.
    """

    start: Points
    first: Points
    second: Points
    end: Points
    along: Points
    lengths: Points
    sines: Points


def _cubics(trace: _Trace, segments: _Segments) -> _Cubics:
    start, end = trace.points[segments.start], trace.points[segments.end]
    chord = end - start
    length = lengths(chord)
    along = chord / np.maximum(length, 1e-9)[:, None]
    limit = np.minimum(_BULGE * segments.slack_mm / np.maximum(length, 1e-9), 0.94)
    out, leaving = _toward_chord(trace.leaving[segments.start], along, limit)
    into, arriving = _toward_chord(trace.arriving[segments.end], along, limit)
    third = length[:, None] / 3
    sines = np.maximum(np.abs(leaving), np.abs(arriving))
    return _Cubics(start, start + out * third, end - into * third, end, along, length, sines)


def _toward_chord(tangent: Points, along: Points, limit: Points) -> tuple[Points, Points]:
    """Tangents turned toward their chord until the curve rises no more than the thinning allowed, and their sines to it.

    A tangent at the end of a long straight that runs into a small rounding belongs to the rounding: left as it is,
    the straight would bulge.
    """
    across, aside = along.T
    sine = tangent[:, 1] * across - tangent[:, 0] * aside
    limit = np.where(dot(tangent, along) < 0.35, 0.0, limit)
    sine = np.clip(sine, -limit, limit)
    cosine = np.sqrt(1 - sine**2)
    return np.stack([across * cosine - aside * sine, aside * cosine + across * sine], axis=1), sine


def _paths(trace: _Trace, segments: _Segments, count: int) -> list[str]:
    """One open path per run."""
    curves = _cubics(trace, segments)
    start, first, second, end = curves.start, curves.first, curves.second, curves.end
    bent = np.minimum(curves.sines * curves.lengths / 4, segments.slack_mm) > _STRAIGHT_MM
    step = np.abs(end - start)
    straight = ~bent | (step[:, 0] + step[:, 1] < _SHORT_MM)
    strays = _CUBIC_FROM_QUADRATIC * lengths(end - 3 * second + 3 * first - start)
    shape = np.where(straight, _LINE, np.where(strays < _SAME_CURVE_MM, _QUADRATIC, _CUBIC))
    single = (3 * (first + second) - start - end) / 4
    origin = _on_grid(start)
    steps = (_on_grid(np.hstack([end, single, first, second])) - np.tile(origin, 4)).astype(int).tolist()
    runs = trace.runs[segments.start]
    changes = (np.diff(runs, prepend=-1) != 0) | (np.diff(shape, prepend=-1) != 0)
    letters = np.where(changes, np.array(_LETTERS)[shape], " ").tolist()
    pieces = [
        f"{letter}{x} {y}"
        if kind == _LINE
        else f"{letter}{qx} {qy} {x} {y}"
        if kind == _QUADRATIC
        else f"{letter}{ax} {ay} {bx} {by} {x} {y}"
        for letter, (x, y, qx, qy, ax, ay, bx, by), kind in zip(letters, steps, shape.tolist(), strict=True)
    ]
    bounds = np.searchsorted(runs, np.arange(count + 1)).tolist()
    origins = origin[np.minimum(bounds[:-1], len(origin) - 1)].astype(int).tolist()
    return [
        f"M{x} {y}{''.join(pieces[low:high])}".replace(" -", "-") if high > low else ""
        for (low, high), (x, y) in zip(pairwise(bounds), origins, strict=True)
    ]


def _on_grid(points: Points) -> Points:
    return _GRID_MM * np.rint(points / _GRID_MM)

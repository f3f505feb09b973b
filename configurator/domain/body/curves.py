"""Plane curves through authored points: smooth between corners, evenly divided where a mesh needs it. Lengths in mm."""

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from configurator.domain.body.records import Points
from configurator.domain.body.vectors import lengths

Flags = NDArray[np.bool_]

_CHORD_TOLERANCE_MM = 0.2
"""How far a thinned curve may run beside the smooth one."""


def smooth_curve(points: Points, corners: Flags, *, closed: bool = False, per_span: int = 12) -> Points:
    """A dense polyline (m, 2) through `points` (n, 2): a centripetal Catmull-Rom spline between corners, sharp at them.

    A closed curve starts at its first corner (at its first point where it has none) and repeats that point at the end.
    Centripetal knots keep the curve free of loops and cusps (Yuksel, Schaefer, Keyser 2011, from memory).
    """
    if not closed:
        return _between_corners(points, corners, per_span)
    if corners.any():
        first = int(np.argmax(corners))
        around = np.vstack([points[first:], points[: first + 1]])
        curve = _between_corners(around, np.concatenate([corners[first:], corners[: first + 1]]), per_span)
    else:
        curve = _catmull_rom(np.vstack([points[-1:], points, points[:2]]), per_span)
    curve[-1] = curve[0]
    return curve


def _between_corners(points: Points, corners: Flags, per_span: int) -> Points:
    breaks = np.flatnonzero(corners | _ends(len(points))).tolist()
    runs = [_run(points[start : stop + 1], per_span) for start, stop in pairwise(breaks)]
    return np.vstack([runs[0], *(run[1:] for run in runs[1:])])


def _ends(count: int) -> Flags:
    flags = np.zeros(count, dtype=bool)
    flags[[0, -1]] = True
    return flags


def _run(points: Points, per_span: int) -> Points:
    """One stretch between corners; the points beyond its ends continue the curvature found there."""
    if len(points) == 2:
        return points
    before = points[0] - (points[1] - points[0]) + 0.5 * (points[0] - 2 * points[1] + points[2])
    after = points[-1] + (points[-1] - points[-2]) + 0.5 * (points[-1] - 2 * points[-2] + points[-3])
    return _catmull_rom(np.vstack([before, points, after]), per_span)


def _catmull_rom(points: Points, per_span: int) -> Points:
    """Centripetal Catmull-Rom through points[1:-1] (Barry and Goldman's pyramid), `per_span` steps each."""
    steps = np.sqrt(np.maximum(lengths(np.diff(points, axis=0)), 1e-6))
    knots = np.concatenate([[0.0], np.cumsum(steps)])
    spans = len(points) - 3
    t0, t1, t2, t3 = (knots[shift : shift + spans, None, None] for shift in range(4))
    p0, p1, p2, p3 = (points[shift : shift + spans, None, :] for shift in range(4))
    t = t1 + (t2 - t1) * np.linspace(0.0, 1.0, per_span + 1)[None, :, None]
    a1 = ((t1 - t) * p0 + (t - t0) * p1) / (t1 - t0)
    a2 = ((t2 - t) * p1 + (t - t1) * p2) / (t2 - t1)
    a3 = ((t3 - t) * p2 + (t - t2) * p3) / (t3 - t2)
    b1 = ((t2 - t) * a1 + (t - t0) * a2) / (t2 - t0)
    b2 = ((t3 - t) * a2 + (t - t1) * a3) / (t3 - t1)
    spline = ((t2 - t) * b1 + (t - t1) * b2) / (t2 - t1)
    return np.vstack([spline[0], *(span[1:] for span in spline[1:])])


def arc_lengths(points: Points) -> Points:
    """Length along a polyline (n, k) from its first point to each point, (n,) mm."""
    return np.concatenate([[0.0], np.cumsum(lengths(np.diff(points, axis=0)))])


def thinned(points: Points) -> Points:
    """The polyline without the points that its bends don't need."""
    return np.asarray(shapely.get_coordinates(_simple(points)))


def _simple(points: Points) -> shapely.LineString:
    return shapely.simplify(shapely.linestrings(points), _CHORD_TOLERANCE_MM)


def divided(points: Points, step_mm: float) -> shapely.LineString:
    """The polyline divided so that no piece is longer than `step_mm`."""
    return shapely.segmentize(shapely.linestrings(points), step_mm)


def ring_around(points: Points, step_mm: float) -> shapely.LineString:
    """As `divided`, thinned and closed: the last point is the first one again."""
    closed = points if (points[0] == points[-1]).all() else np.vstack([points, points[:1]])
    return shapely.segmentize(_simple(closed), step_mm)

"""The plan outline of the right half, from the nose's middle round the side to the tail's middle, by arc length. Lengths in mm."""

from dataclasses import dataclass

import numpy as np

from configurator.domain.body.curves import arc_lengths
from configurator.domain.body.records import Points
from configurator.domain.body.vectors import unit

_PLAN_SAMPLES = 700
_NORMAL_WINDOW = 41
"""Samples (about 370 mm) over which the outline's normals are smoothed, so that insets don't crumple at tight bends."""


@dataclass(frozen=True, eq=False)
class Outline:
    """The plan outline sampled evenly: `s` (n,), `points` (n, 2), outward unit `normals` (n, 2).

    `marks` (m,): arc lengths of the authored spline's own steps. They are the same steps at every size, so that a place on the
    outline keeps its mark while its arc length changes.
    """

    s: Points
    points: Points
    normals: Points
    marks: Points

    @property
    def length(self) -> float:
        return float(self.s[-1])

    def at(self, s: Points) -> tuple[Points, Points, Points, Points]:
        """x, y, normal x, normal y at the arc lengths `s`."""
        x, y = (np.interp(s, self.s, self.points[:, axis]) for axis in (0, 1))
        normal_x, normal_y = (np.interp(s, self.s, self.normals[:, axis]) for axis in (0, 1))
        return x, y, normal_x, normal_y

    def mark_of(self, s: Points) -> Points:
        """Arc lengths as fractional steps of the authored outline; `s_of_mark` turns them back at any size."""
        return np.interp(s, self.marks, np.arange(len(self.marks)))

    def s_of_mark(self, mark: Points) -> Points:
        return np.interp(mark, np.arange(len(self.marks)), self.marks)

    def s_at_x(self, x: Points | float) -> Points:
        order = np.argsort(self.points[:, 0], kind="stable")
        return np.asarray(np.interp(x, self.points[order, 0], self.s[order]))


def outline_along(curve: Points) -> Outline:
    """The outline along a dense plan curve (n, 2), from the nose's middle round the right side to the tail's middle."""
    lengths = arc_lengths(curve)
    s = np.linspace(0.0, lengths[-1], _PLAN_SAMPLES)
    points = np.stack([np.interp(s, lengths, curve[:, 0]), np.interp(s, lengths, curve[:, 1])], axis=1)
    tangents = np.gradient(points, s, axis=0)
    normals = _smoothed(np.stack([-tangents[:, 1], tangents[:, 0]], axis=1))
    normals[0], normals[-1] = (-1.0, 0.0), (1.0, 0.0)
    return Outline(s, points, unit(normals), lengths)


def _smoothed(values: Points) -> Points:
    window = np.hanning(_NORMAL_WINDOW)
    window = window / window.sum()
    padded = np.pad(values, ((_NORMAL_WINDOW // 2,) * 2, (0, 0)), mode="edge")
    return np.stack([np.convolve(padded[:, axis], window, "valid") for axis in range(values.shape[1])], axis=1)

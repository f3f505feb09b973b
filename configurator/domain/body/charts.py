"""The two charts whose surfaces make the body: the top (x, y) and the side (s, z), closed along one shared border.

* The **top chart** carries hood, windshield, roof and rear lid: z falls from the centre profile to the roof edge line.
* The **side chart** wraps the right half of the car: s is the arc length along the plan outline from the nose's middle round the
  side to the tail's middle. A surface point is the outline's point, set in by d(s, z) against the outline's outward normal.

The top chart's outer border (hood front, roof edge, trailing edge) is the side chart's upper border, given as 3-D points, so the
two meet without wedges. Everything is computed for the right half (y >= 0); the left half is its mirror image. Lengths in mm.
`charting` makes them from a style.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from configurator.domain.body.outline import Outline
from configurator.domain.body.records import Points
from configurator.domain.body.scaling import Scaling
from configurator.domain.body.style import CrossLine, Section, View
from configurator.domain.body.vectors import cross, unit

_CROSS_SAMPLES = 19
_NORMAL_STEP_MM = 20.0
"""Half the span over which slopes are taken for normals: wide enough to pass over the tables' own steps."""
_ROUNDS = 9
_HALVED = (3, 6)
"""Rounds of the root search that halve the bracket, so that none of its ends can stick."""


@dataclass(frozen=True, eq=False)
class Graph:
    """A piecewise linear function of one variable."""

    at: Points
    value: Points

    def __call__(self, where: Points | float) -> Points:
        return np.asarray(np.interp(where, self.at, self.value))


@dataclass(frozen=True, eq=False)
class TopChart:
    """z = zc(x) - (zc - ze) (|y| / ye)^p between the centre profile zc and the edge line (ye, ze)."""

    centre: Graph
    edge_height: Graph
    half_width: Graph
    exponent: float

    def lift(self, x: Points, y: Points, raised: Points | float = 0.0) -> Points:
        """Chart points to space, (n, 3); `raised` lifts them straight up."""
        centre = self.centre(x)
        edge = np.minimum(self.edge_height(x), centre - 1.0)
        height = centre - (centre - edge) * (np.abs(y) / self.half_width(x)) ** self.exponent
        return np.stack([x, y, height + raised], axis=-1)

    def normals(self, x: Points, y: Points) -> Points:
        """Outward unit normals (n, 3)."""
        step = _NORMAL_STEP_MM
        lifted = self.lift(np.concatenate([x + step, x - step, x, x]), np.concatenate([y, y, y + step, y - step])).reshape(4, len(x), 3)
        along, across = lifted[0] - lifted[1], lifted[2] - lifted[3]
        return unit(cross(along, across))

    def cross_line(self, line: CrossLine, scaling: Scaling) -> Points:
        """(n, 2) chart points of a line from the middle to the edge, right half."""
        share = np.linspace(0.0, 1.0, _CROSS_SAMPLES)
        x = float(scaling.x(line.x_mm)) + line.bow_mm * share**2
        return np.stack([x, share * self.half_width(x)], axis=1)


@dataclass(frozen=True, eq=False)
class Border:
    """Where the charts meet, from the middle of the hood's front edge round the roof edge to the middle of the trailing edge.

    `top` (n, 2) in the top chart, which is where the points lie seen from above; `side` (n, 2) in the side chart; `inset` (n,): how far
    each point lies inside the plan outline.
    """

    top: Points
    side: Points
    inset: Points

    def s_at_x(self, x: float) -> float:
        """Arc length of the side chart at which the roof edge has this x."""
        return float(np.interp(x, self.top[:, 0], self.side[:, 0]))


@dataclass(frozen=True, eq=False)
class SideChart:
    """The surface from the underbody up to the border, right half; see `lift`."""

    outline: Outline
    border: Border
    shoulder: Graph
    sill: Graph
    nose: Graph
    tail: Graph
    section: Section
    scaling: Scaling

    def lift(self, s: Points, z: Points, raised: Points | float = 0.0) -> Points:
        """Chart points to space, (n, 3); `raised` stands them out along the plan outline's normal.

        Below the shoulder the inset follows nose, tail and side section. Above it the surface runs to the border with the exponent
        `section.upper_exponent`, from above in straight lines, so that it can't fold where the border turns a corner.
        """
        x, y, normal_x, normal_y = self.outline.at(s)
        border_s = self.border.side[:, 0]
        border_z = np.interp(s, border_s, self.border.side[:, 1])
        border_inset = np.interp(s, border_s, self.border.inset)
        highest = self.shoulder(x)
        shoulder = np.minimum(highest, border_z - 25.0)
        low = self._inset_below_shoulder(x, np.minimum(z, shoulder), normal_x, highest, border_inset)
        share = np.clip((z - shoulder) / (border_z - shoulder), 0.0, 1.08) ** self.section.upper_exponent
        border_x, border_y = (np.interp(s, border_s, self.border.top[:, axis]) for axis in (0, 1))
        low_x, low_y = x - normal_x * low, y - normal_y * low
        across = (low_x + (border_x - low_x) * share + normal_x * raised, low_y + (border_y - low_y) * share + normal_y * raised)
        return np.stack([*across, z + 0.0 * s], axis=-1)

    def _inset_below_shoulder(self, x: Points, z: Points, normal_x: Points, shoulder: Points, border_inset: Points) -> Points:
        """Blend of end profile and side section by how far the outline's normal points lengthwise."""
        endwise = normal_x**2
        end = np.where(normal_x < 0, self.nose(z), self.tail(z))
        return endwise * end + (1.0 - endwise) * self._side_inset(x, z, shoulder, border_inset)

    def _side_inset(self, x: Points, z: Points, shoulder: Points, border_inset: Points) -> Points:
        """The door section: widest at the waist, in at shoulder and sill, turned under below, bulged round the wheels."""
        section, up = self.section, self.scaling.up
        sill, waist = self.sill(x), section.waist_mm * up
        below = np.clip((waist - z) / np.maximum(waist - sill, 50.0), 0.0, 1.3)
        above = np.clip((z - waist) / np.maximum(shoulder - waist, 40.0), 0.0, 1.0)
        under = np.clip((sill + section.turn_under_height_mm - z) / section.turn_under_height_mm, 0.0, 1.3)
        shoulder_inset = np.minimum(section.shoulder_inset_mm, 0.5 * border_inset + 8.0)
        inset = section.sill_inset_mm * below**2 + shoulder_inset * above**2.2 + section.turn_under_mm * under**2
        inset += section.sculpt_mm * np.exp(-(((z - section.sculpt_height_mm * up) / 85.0) ** 2))
        for axle in self.scaling.axles:
            from_arch = np.hypot(x - axle, z - self.scaling.tyre_radius_mm) - self.scaling.tyre_radius_mm - 40.0
            inset -= section.flare_mm * np.exp(-((from_arch / 110.0) ** 2))
        return inset

    def normals(self, s: Points, z: Points) -> Points:
        """Outward unit normals (n, 3)."""
        behind, ahead = np.maximum(s - _NORMAL_STEP_MM, 0.0), np.minimum(s + _NORMAL_STEP_MM, self.outline.length)
        above, below = z + _NORMAL_STEP_MM, z - _NORMAL_STEP_MM
        lifted = self.lift(np.concatenate([ahead, behind, s, s]), np.concatenate([z, z, above, below])).reshape(4, len(s), 3)
        along, upward = lifted[0] - lifted[1], lifted[2] - lifted[3]
        return unit(cross(upward, along))

    def locate(self, views: np.ndarray, along: Points, z: Points) -> Points:
        """Arc lengths s of points drawn in a view: x given in the side view, y in the front or rear view.

        Bracketed false position (Illinois variant) on all points at once; a point that no s reaches is clamped to the
        nearer end of its bracket.
        """
        side, rear = views == View.SIDE, views == View.REAR
        wanted = np.where(rear, -along, along)
        guess = self.outline.s_at_x(along)
        ends = self.outline.s_at_x(np.array([0.16, 0.84]) * self.scaling.length_mm)
        low = np.where(side, np.clip(guess - 330.0, 0.0, self.outline.length), np.where(rear, ends[1], 0.0))
        high = np.where(side, np.clip(guess + 330.0, 0.0, self.outline.length), np.where(rear, self.outline.length, ends[0]))

        def miss(s: Points) -> Points:
            lifted = self.lift(s, z)
            return np.where(side, lifted[:, 0], np.where(rear, -lifted[:, 1], lifted[:, 1])) - wanted

        return _false_position(miss, low, high)


def _false_position(miss: Callable[[Points], Points], low: Points, high: Points) -> Points:
    """Roots of a rising function between `low` and `high`, elementwise; clamped where both ends lie on one side."""
    at_low, at_high = miss(low), miss(high)
    clamped = np.where((at_low < 0) & (at_high < 0), high, low)
    bracketed = (at_low < 0) != (at_high < 0)
    root = low
    for step in range(_ROUNDS):
        spread = np.where(np.abs(at_high - at_low) > 1e-9, at_high - at_low, 1.0)
        share = np.full_like(low, 0.5) if step in _HALVED else np.clip(-at_low / spread, 0.0, 1.0)
        root = low + share * (high - low)
        at_root = miss(root)
        rising = at_root < 0
        at_low, at_high = np.where(rising, at_root, at_low * 0.5), np.where(rising, at_high * 0.5, at_root)
        low, high = np.where(rising, root, low), np.where(rising, high, root)
    return np.where(bracketed, root, clamped)


@dataclass(frozen=True, eq=False)
class Charts:
    scaling: Scaling
    top: TopChart
    side: SideChart

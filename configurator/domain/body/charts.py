"""The two charts whose surfaces make the body: the top (x, y) and the side (s, z), closed along one shared border.

* The **top chart** carries hood, windshield, roof and rear lid: z falls from the centre profile to the roof edge line.
* The **side chart** wraps the right half of the car: s is the arc length along the plan outline from the nose's middle round the
  side to the tail's middle. A surface point is the outline's point, set in by d(s, z) against the outline's outward normal.

The top chart's outer border (hood front, roof edge, trailing edge) is the side chart's upper border, given as 3-D points, so the
two meet without wedges. Everything is computed for the right half (y >= 0); the left half is its mirror image. Lengths in mm.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from configurator.domain.body.curves import arc_lengths, smooth_curve
from configurator.domain.body.records import Points, Size
from configurator.domain.body.scaling import Scaling, scaling_of
from configurator.domain.body.style import BodyStyle, CrossLine, Profile, Section, View

_PLAN_SAMPLES = 700
_NORMAL_WINDOW = 41
"""Samples (about 370 mm) over which the outline's normals are smoothed, so that insets don't crumple at tight bends."""
_BORDER_SAMPLES = 110
_CROSS_SAMPLES = 19
_WIDTH_TOLERANCE = 4e-4


@dataclass(frozen=True, eq=False)
class Graph:
    """A piecewise linear function of one variable."""

    at: Points
    value: Points

    def __call__(self, where: Points | float) -> Points:
        return np.interp(where, self.at, self.value)


def _graph(profile: Profile, scaling: Scaling, *, factor: float) -> Graph:
    """The profile as a function of x, its values scaled by `factor`."""
    points = np.stack([scaling.x(profile.points[:, 0]), profile.points[:, 1] * factor], axis=1)
    curve = smooth_curve(points, profile.corners, per_span=20)
    return Graph(np.maximum.accumulate(curve[:, 0]), curve[:, 1])


def _setback(profile: Profile, up: float) -> Graph:
    """Nose or tail profile as a function of the height z."""
    curve = smooth_curve(profile.points * [1.0, up], profile.corners, per_span=20)
    return Graph(np.maximum.accumulate(curve[:, 1]), curve[:, 0])


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

    def cross_line(self, line: CrossLine, scaling: Scaling) -> Points:
        """(n, 2) chart points of a line from the middle to the edge, right half."""
        share = np.linspace(0.0, 1.0, _CROSS_SAMPLES)
        x = float(scaling.x(line.x_mm)) + line.bow_mm * share**2
        return np.stack([x, share * self.half_width(x)], axis=1)


@dataclass(frozen=True, eq=False)
class Border:
    """Where the charts meet, from the middle of the hood's front edge round the roof edge to the middle of the trailing edge.

    `top` (n, 2) in the top chart, `side` (n, 2) in the side chart, `inset` and `slide` (n,): how far each point lies inside the
    plan outline and along it, so that the side chart's upper end is this very point.
    """

    top: Points
    side: Points
    inset: Points
    slide: Points

    def s_at_x(self, x: float) -> float:
        """Arc length of the side chart at which the roof edge has this x."""
        return float(np.interp(x, self.top[:, 0], self.side[:, 0]))


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
        return np.interp(x, self.points[order, 0], self.s[order])


def _outline(curve: Points) -> Outline:
    """The outline along a dense plan curve (n, 2), from the nose's middle round the right side to the tail's middle."""
    lengths = arc_lengths(curve)
    s = np.linspace(0.0, lengths[-1], _PLAN_SAMPLES)
    points = np.stack([np.interp(s, lengths, curve[:, 0]), np.interp(s, lengths, curve[:, 1])], axis=1)
    tangents = np.gradient(points, s, axis=0)
    normals = _smoothed(np.stack([-tangents[:, 1], tangents[:, 0]], axis=1))
    normals[0], normals[-1] = (-1.0, 0.0), (1.0, 0.0)
    return Outline(s, points, normals / np.linalg.norm(normals, axis=1, keepdims=True), lengths)


def _smoothed(values: Points) -> Points:
    window = np.hanning(_NORMAL_WINDOW)
    window = window / window.sum()
    padded = np.pad(values, ((_NORMAL_WINDOW // 2,) * 2, (0, 0)), mode="edge")
    return np.stack([np.convolve(padded[:, axis], window, "valid") for axis in range(values.shape[1])], axis=1)


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

        Below the shoulder the inset follows nose, tail and side section; above it runs in to the border with the exponent
        `section.upper_exponent`.
        """
        x, y, normal_x, normal_y = self.outline.at(s)
        border_s = self.border.side[:, 0]
        border_z = np.interp(s, border_s, self.border.side[:, 1])
        border_inset = np.interp(s, border_s, self.border.inset)
        shoulder = np.minimum(self.shoulder(x), border_z - 25.0)
        low = self._inset_below_shoulder(x, np.minimum(z, shoulder), normal_x, border_inset)
        share = np.clip((z - shoulder) / (border_z - shoulder), 0.0, 1.08)
        inset = low + (border_inset - low) * share**self.section.upper_exponent - raised
        slide = np.interp(s, border_s, self.border.slide) * share**2
        return np.stack([x - normal_x * inset + normal_y * slide, y - normal_y * inset - normal_x * slide, z + 0.0 * s], axis=-1)

    def _inset_below_shoulder(self, x: Points, z: Points, normal_x: Points, border_inset: Points) -> Points:
        """Blend of end profile and side section by how far the outline's normal points lengthwise."""
        endwise = normal_x**2
        end = np.where(normal_x < 0, self.nose(z), self.tail(z))
        return endwise * end + (1.0 - endwise) * self._side_inset(x, z, border_inset)

    def _side_inset(self, x: Points, z: Points, border_inset: Points) -> Points:
        """The door section: widest at the waist, in at shoulder and sill, turned under below, bulged round the wheels."""
        section, up = self.section, self.scaling.up
        sill, shoulder, waist = self.sill(x), self.shoulder(x), section.waist_mm * up
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


def _false_position(miss, low: Points, high: Points) -> Points:  # type: ignore[no-untyped-def]
    """Roots of a rising function between `low` and `high`, elementwise; clamped where both ends lie on one side."""
    at_low, at_high = miss(low), miss(high)
    clamped = np.where((at_low < 0) & (at_high < 0), high, low)
    bracketed = (at_low < 0) != (at_high < 0)
    root = low
    for step in range(9):
        spread = np.where(np.abs(at_high - at_low) > 1e-9, at_high - at_low, 1.0)
        share = np.full_like(low, 0.5) if step in (3, 6) else np.clip(-at_low / spread, 0.0, 1.0)
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


def charts_of(style: BodyStyle, size: Size) -> Charts:
    """Both charts at this size, scaled across so that the flank's widest point has the wanted width."""
    curves = _scaled_curves(style, size)
    half = size.width_mm / 2
    across = (half + _flank_inset_mm(style)) / float(curves.plan[:, 1].max())
    return _charts_to_width(style, curves, half, across)


@lru_cache(maxsize=64)
def _flank_inset_mm(style: BodyStyle) -> float:
    """How far the flank's widest point lies inside the plan outline on the typical size; much the same on any other."""
    curves = _scaled_curves(style, style.typical_size)
    half = style.typical_size.width_mm / 2
    charts = _charts_to_width(style, curves, half, half / float(curves.plan[:, 1].max()))
    return float(charts.side.outline.points[:, 1].max()) - half


def _charts_to_width(style: BodyStyle, curves: "_Curves", half_mm: float, across: float) -> Charts:
    charts = _charts(style, curves, across)
    for _ in range(3):
        factor = half_mm / _half_width(charts)
        if abs(factor - 1.0) < _WIDTH_TOLERANCE:
            break
        across *= factor
        charts = _charts(style, curves, across)
    return charts


def _half_width(charts: Charts) -> float:
    """y of the widest point of the flanks, looked for round the wheels and between them."""
    front, rear = charts.scaling.axles
    round_wheel = np.linspace(-450.0, 450.0, 13)
    x = np.concatenate([front + round_wheel, np.linspace(front + 500.0, rear - 500.0, 5), rear + round_wheel])
    top = float(charts.top.centre.value.max())
    s, z = np.meshgrid(charts.side.outline.s_at_x(x), np.linspace(0.16 * top, 0.66 * top, 26), indexing="ij")
    return float(charts.side.lift(s.ravel(), z.ravel())[:, 1].max())


@dataclass(frozen=True, eq=False)
class _Curves:
    """A style's curves at one size, apart from how far they are spread across: `plan` and `half_width` as authored in y."""

    scaling: Scaling
    plan: Points
    half_width: Graph
    centre: Graph
    edge_height: Graph
    shoulder: Graph
    sill: Graph
    nose: Graph
    tail: Graph


def _scaled_curves(style: BodyStyle, size: Size) -> _Curves:
    """Lengthwise and upward scaling; the centre profile's highest point comes to the wanted height."""
    skin, scaling = style.skin, scaling_of(style, size)
    up = size.height_mm / float(_graph(skin.centre_height, scaling, factor=1.0).value.max())
    plan = smooth_curve(np.stack([scaling.x(skin.plan.points[:, 0]), skin.plan.points[:, 1]], axis=1), skin.plan.corners, per_span=24)
    plan[:, 1] = np.maximum(plan[:, 1], 0.0)
    return _Curves(
        scaling=replace(scaling, up=up),
        plan=plan,
        half_width=_graph(skin.edge_half_width, scaling, factor=1.0),
        centre=_graph(skin.centre_height, scaling, factor=up),
        edge_height=_graph(skin.edge_height, scaling, factor=up),
        shoulder=_graph(skin.shoulder, scaling, factor=up),
        sill=_graph(skin.sill, scaling, factor=up),
        nose=_setback(skin.nose, up),
        tail=_setback(skin.tail, up),
    )


def _charts(style: BodyStyle, curves: _Curves, across: float) -> Charts:
    scaling = replace(curves.scaling, across=across)
    half_width = Graph(curves.half_width.at, curves.half_width.value * across)
    top = TopChart(curves.centre, curves.edge_height, half_width, style.section.crown_exponent)
    outline = _outline(curves.plan * [1.0, across])
    side = SideChart(
        outline=outline,
        border=_border(style, scaling, top, outline),
        shoulder=curves.shoulder,
        sill=curves.sill,
        nose=curves.nose,
        tail=curves.tail,
        section=style.section,
        scaling=scaling,
    )
    return Charts(scaling, top, side)


def _border(style: BodyStyle, scaling: Scaling, top: TopChart, outline: Outline) -> Border:
    """The shared border; its points get the s of the nearest outline point, smoothed so that s rises along it."""
    chart_points = _border_in_top_chart(style, scaling, top)
    lifted = top.lift(chart_points[:, 0], chart_points[:, 1])
    s = _rising(outline.s[_nearest(lifted[:, :2], outline.points)], outline.length)
    x, y, normal_x, normal_y = outline.at(s)
    inset = np.maximum((x - lifted[:, 0]) * normal_x + (y - lifted[:, 1]) * normal_y, 0.0)
    slide = (lifted[:, 0] - x) * normal_y - (lifted[:, 1] - y) * normal_x
    return Border(chart_points, np.stack([s, lifted[:, 2]], axis=1), inset, slide)


def _border_in_top_chart(style: BodyStyle, scaling: Scaling, top: TopChart) -> Points:
    """Hood front edge, roof edge line, trailing edge; the ends of all cross lines are among the points."""
    lines = style.cross_lines
    front, rear = top.cross_line(lines.hood_front, scaling), top.cross_line(lines.trailing, scaling)
    between = [line for line in (lines.hood_rear, lines.cowl, lines.header, lines.rear_header, lines.deck_front) if line]
    ends = [float(scaling.x(line.x_mm)) + line.bow_mm for line in between]
    x = np.unique(np.concatenate([np.linspace(front[-1, 0], rear[-1, 0], _BORDER_SAMPLES + 2)[1:-1], ends]))
    x = x[(x > front[-1, 0] + 1.0) & (x < rear[-1, 0] - 1.0)]
    x = _without_crowding(x, np.array(ends), least=6.0)
    edge = np.stack([x, top.half_width(x)], axis=1)
    return np.vstack([front, edge, rear[::-1]])


def _without_crowding(values: Points, keep: Points, *, least: float) -> Points:
    """Sorted values without those nearer than `least` to a kept one (the kept ones themselves stay)."""
    distance = np.abs(values[:, None] - keep[None, :]).min(axis=1)
    return values[(distance < 1e-9) | (distance > least)]


def _nearest(points: Points, candidates: Points) -> np.ndarray:
    squared = (candidates**2).sum(axis=1)[None, :] - 2.0 * points @ candidates.T
    return squared.argmin(axis=1)


def _rising(s: Points, length: float) -> Points:
    s = s.copy()
    s[0], s[-1] = 0.0, length
    window = np.hanning(11)[1:-1]
    window = window / window.sum()
    smooth = np.convolve(np.pad(np.maximum.accumulate(s), 4, mode="edge"), window, "valid")
    smooth[0], smooth[-1] = 0.0, length
    return np.maximum.accumulate(smooth) + np.arange(len(s)) * 1e-6

"""A style's curves at one size, made into the two charts: scaled, brought to the wanted width and height, joined along a border."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from configurator.domain.body.charts import Border, Charts, Graph, SideChart, TopChart
from configurator.domain.body.curves import Flags, smooth_curve
from configurator.domain.body.outline import Outline, outline_along
from configurator.domain.body.records import Points, Size
from configurator.domain.body.scaling import Scaling, scaling_of
from configurator.domain.body.style import BodyStyle, Profile
from configurator.domain.body.vectors import dot, lengths

_BORDER_SAMPLES = 110
_LEAST_SLOPE = 0.3
"""Along the border the plan outline's arc length rises at least by this share of the way along the border."""
_WIDTH_TOLERANCE = 4e-4
_KEPT_STYLES = 64


def charts_of(style: BodyStyle, size: Size) -> Charts:
    """Both charts at this size, scaled across so that the flank's widest point has the wanted width."""
    curves = _scaled_curves(style, size)
    half = size.width_mm / 2
    across = (half + _flank_inset_mm(style)) / float(curves.plan[:, 1].max())
    return _charts_to_width(style, curves, half, across)


@lru_cache(maxsize=_KEPT_STYLES)
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
    outline = outline_along(curves.plan * [1.0, across])
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
    s = _rising(outline.s[_nearest(lifted[:, :2], outline.points)], lifted[:, :2], outline.length)
    x, y, normal_x, normal_y = outline.at(s)
    inset = np.maximum((x - lifted[:, 0]) * normal_x + (y - lifted[:, 1]) * normal_y, 0.0)
    return Border(chart_points, np.stack([s, lifted[:, 2]], axis=1), inset)


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
    wanted: Flags = (distance < 1e-9) | (distance > least)
    return values[wanted]


def _nearest(points: Points, candidates: Points) -> np.ndarray:
    squared = dot(candidates, candidates)[None, :] - 2.0 * points @ candidates.T
    return np.asarray(squared.argmin(axis=1))


def _rising(s: Points, along: Points, length: float) -> Points:
    """The s of points `along` (n, 2) a line, evened out so that none of its stretches is crowded into much less of the outline.

    Where the line turns a corner, nearest points stand still or turn back; the least slope keeps the surface below from folding.
    """
    steps = lengths(np.diff(along, axis=0, prepend=along[:1]))
    least = _LEAST_SLOPE * np.cumsum(steps)
    beyond = s - least
    beyond[0], beyond[-1] = 0.0, length - least[-1]
    beyond = np.clip(beyond, beyond[0], beyond[-1])
    even = (np.maximum.accumulate(beyond) + np.minimum.accumulate(beyond[::-1])[::-1]) / 2
    window = np.hanning(11)[1:-1]
    smooth = np.convolve(np.pad(even, 4, mode="edge"), window / window.sum(), "valid")
    smooth[0], smooth[-1] = beyond[0], beyond[-1]
    return np.asarray(np.maximum.accumulate(smooth) + least)


def _graph(profile: Profile, scaling: Scaling, *, factor: float) -> Graph:
    """The profile as a function of x, its values scaled by `factor`."""
    points = np.stack([scaling.x(profile.points[:, 0]), profile.points[:, 1] * factor], axis=1)
    curve = smooth_curve(points, profile.corners, per_span=20)
    return Graph(np.maximum.accumulate(curve[:, 0]), curve[:, 1])


def _setback(profile: Profile, up: float) -> Graph:
    """Nose or tail profile as a function of the height z."""
    curve = smooth_curve(profile.points * [1.0, up], profile.corners, per_span=20)
    return Graph(np.maximum.accumulate(curve[:, 1]), curve[:, 0])

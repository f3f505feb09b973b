"""The top chart's cut lines and claims: hood, cowl, windshield, roof, rear window, rear lid and what sits on them, right half.

Region names are chart polygons in (x, y) mm with y >= 0.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from configurator.domain.body.charts import Charts
from configurator.domain.body.curves import divided, ring_around
from configurator.domain.body.partition import TOP_GRID_MM, Claim, Faces, Rules, partition
from configurator.domain.body.records import Points
from configurator.domain.body.side_plan import rounded
from configurator.domain.body.style import BodyStyle, CrossLine, Feature, TopPatch

_FAR = 9_000.0
_COARSE_MM = 60.0
_FINE_MM = 36.0
_TRIM_MM = 14.0
"""Black edge between windshield or rear window and the roof edge line."""
_SOFT = 16.0


@dataclass(frozen=True, eq=False)
class TopPlan:
    """The labelled faces, and polygons that raised parts are made from, by label (right half)."""

    faces: Faces
    region: shapely.Polygon
    parts: dict[str, shapely.Polygon]


class _Planner:
    def __init__(self, style: BodyStyle, charts: Charts, features: frozenset[str], border: Points) -> None:
        self.style, self.charts, self.features, self.border = style, charts, features, border
        self.lines: list[shapely.Geometry] = []
        self.claims: list[Claim] = []
        self.parts: dict[str, shapely.Polygon] = {}

    def has(self, feature: Feature) -> bool:
        return str(feature) in self.features

    def line(self, line: CrossLine) -> Points:
        """A cross line that ends exactly on the border's nearest point."""
        points = self.charts.top.cross_line(line, self.charts.scaling)
        points[-1] = self.border[((self.border - points[-1]) ** 2).sum(axis=1).argmin()]
        return points

    def inset(self, label: str, polygon: shapely.Geometry, *, step_mm: float = _FINE_MM) -> None:
        self.lines.append(ring_around(shapely.get_coordinates(polygon.exterior), step_mm))
        self.claims.append(Claim(label, polygon))
        self.parts[label] = polygon

    def between(self, front: Points, rear: Points) -> shapely.Polygon:
        """The chart between two cross lines, right half."""
        x = np.linspace(front[-1, 0], rear[-1, 0], 40)[1:-1]
        edge = np.stack([x, self.charts.top.half_width(x)], axis=1)
        return shapely.Polygon(np.vstack([front, edge, rear[::-1]]))

    def patch(self, patch: TopPatch, *, soft: float = 0.0) -> shapely.Polygon:
        """The patch's right half (or its right-hand twin), its sides following the half width."""
        x = np.linspace(float(self.charts.scaling.x(patch.x_from_mm)), float(self.charts.scaling.x(patch.x_to_mm)), 16)
        width = self.charts.top.half_width(x)
        outer = np.stack([x, width * patch.share_to], axis=1)
        inner = np.stack([x, width * patch.share_from], axis=1)
        if patch.share_from > 0:
            return rounded(shapely.Polygon(np.vstack([outer, inner[::-1]])), soft)
        mirrored = outer[::-1] * [1.0, -1.0]
        whole = rounded(shapely.Polygon(np.vstack([outer, mirrored])), soft)
        return whole.intersection(shapely.box(-_FAR, 0.0, _FAR, _FAR))


def plan_top(style: BodyStyle, charts: Charts, features: frozenset[str], border: Points) -> TopPlan:
    """`border` (n, 2): the border in this chart with every point that the side chart has on it."""
    plan = _Planner(style, charts, features, border)
    region = _region(border)
    _claim_small_parts(plan)
    _claim_glass(plan)
    _claim_panels(plan)
    return TopPlan(partition(region, plan.lines, plan.claims, Rules("rear_lid", TOP_GRID_MM, frozenset(plan.parts))), region, plan.parts)


def _region(border: Points) -> shapely.Polygon:
    x = np.linspace(border[-1, 0], border[0, 0], int((border[-1, 0] - border[0, 0]) / _COARSE_MM) + 2)[1:-1]
    middle = np.stack([x, np.zeros_like(x)], axis=1)
    return shapely.Polygon(np.vstack([border, middle]))


def _claim_small_parts(plan: _Planner) -> None:
    patches = plan.style.top_patches
    wanted = (
        ("hood_vent", patches.hood_vent, Feature.HOOD_VENTS, 8.0),
        ("washer_jet", patches.washer_jet, Feature.WASHER_JETS, 6.0),
        ("badge_front", patches.hood_badge, Feature.BADGES, 24.0),
        ("roof_antenna", patches.antenna, Feature.ROOF_ANTENNA, 20.0),
        ("sunroof", patches.sunroof, Feature.SUNROOF, 40.0),
        ("roof_rail", patches.roof_rail, Feature.ROOF_RAILS, 12.0),
    )
    for label, patch, feature, soft in wanted:
        if patch and plan.has(feature):
            plan.inset(label, plan.patch(patch, soft=soft))
    if patches.bed:
        plan.inset("bed", plan.patch(patches.bed, soft=30.0), step_mm=_COARSE_MM)


def _claim_glass(plan: _Planner) -> None:
    lines = plan.style.cross_lines
    opening = plan.between(plan.line(lines.cowl), plan.line(lines.header))
    _claim_pane(plan, "windshield", opening)
    patches = plan.style.top_patches
    if patches.fabric_window is not None:
        plan.inset("rear_glass", _fabric_window(plan, patches.fabric_window.points))
    elif lines.deck_front and plan.style.outlines.rear_window is None:
        _claim_pane(plan, "rear_glass", plan.between(plan.line(lines.rear_header), plan.line(lines.deck_front)))


def _claim_pane(plan: _Planner, label: str, opening: shapely.Polygon) -> None:
    """Glass with a black trim round it; the trim runs beside the roof edge only, so that glass meets hood and roof."""
    whole = opening.union(shapely.transform(opening, lambda points: points * [1.0, -1.0]))
    half = shapely.box(-_FAR, 0.0, _FAR, _FAR)
    pane = rounded(whole.buffer(-_TRIM_MM, join_style="mitre"), _SOFT).intersection(half)
    plan.inset(label, pane)
    plan.claims.append(Claim(f"{label}_trim", opening))


def _fabric_window(plan: _Planner, authored: Points) -> shapely.Polygon:
    scaling = plan.charts.scaling
    side = np.stack([scaling.x(authored[:, 0]), authored[:, 1] * scaling.across], axis=1)
    whole = shapely.Polygon(np.vstack([side, side[::-1] * [1.0, -1.0]]))
    return rounded(whole, 22.0).intersection(shapely.box(-_FAR, 0.0, _FAR, _FAR))


def _claim_panels(plan: _Planner) -> None:
    """Hood, cowl, glass opening, roof and what follows it, parted by the cross lines."""
    lines = plan.style.cross_lines
    named = [(lines.hood_front, "hood"), (lines.hood_rear, "cowl"), (lines.cowl, None), (lines.header, "roof")]
    named += _rear_of_roof(plan.style)
    for (front, label), (rear, _) in pairwise([*named, (lines.trailing, None)]):
        if rear is not lines.trailing:
            plan.lines.append(divided(plan.line(rear), _COARSE_MM))
        if label:
            plan.claims.append(Claim(label, plan.between(plan.line(front), plan.line(rear))))


def _rear_of_roof(style: BodyStyle) -> list[tuple[CrossLine, str | None]]:
    """What starts behind the roof: glass and deck, deck alone, or (an estate's) lid top. The deck of a pickup is its bed's rim."""
    lines = style.cross_lines
    deck = "bed_cap" if style.top_patches.bed else "rear_lid"
    if lines.deck_front is None:
        return [(lines.rear_header, deck)]
    return [(lines.rear_header, None), (lines.deck_front, deck)] if not style.soft_roof else [(lines.deck_front, deck)]

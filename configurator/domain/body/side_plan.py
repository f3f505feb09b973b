"""The side chart's cut lines and claims: which part of the car's right half, from nose to tail, is which panel.

Claims are made from the small to the large: insets first, then windows, roof side, bumpers, rocker, fender, doors; what nothing
claims is the rear quarter. Region names are chart polygons in (s, z) mm.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity

from configurator.domain.body.charts import Charts
from configurator.domain.body.curves import divided, ring_around
from configurator.domain.body.partition import SIDE_GRID_MM, Claim, Faces, Rules, partition
from configurator.domain.body.placing import Placed
from configurator.domain.body.records import Points
from configurator.domain.body.style import BodyStyle, Feature, Patch

_FAR = 9_000.0
_COARSE_MM = 56.0
_FINE_MM = 34.0
_FRAME_MM = 13.0
"""Width of the seal or moulding round the side windows."""
_FLARE_MM = 58.0
"""Width of a wheel-arch flare where there is room for it."""
_SOFT = 12.0
"""Corner radius of window and grille outlines."""


_SPOT = {"handle_front": "front_handle", "handle_rear": "rear_handle", "badge_front": "front_badge", "badge_rear": "rear_badge"}
"""Label -> name of its patch in the data file, where they differ."""
_LARGE = frozenset({"rear_lid", "front_lip", "rear_lip", "flare_front", "flare_rear"})
"""Closed outlines that are panels all the same."""


@dataclass(frozen=True, eq=False)
class SidePlan:
    """The labelled faces, and polygons that raised parts and extra zones are made from, by label."""

    faces: Faces
    region: shapely.Polygon
    parts: dict[str, shapely.Polygon]


class _Planner:
    """Gathers lines and claims for one body; the order of the calls in `plan_side` is the order of the claims."""

    def __init__(self, style: BodyStyle, charts: Charts, placed: Placed, features: frozenset[str]) -> None:
        self.style, self.charts, self.placed, self.features = style, charts, placed, features
        self.lines: list[shapely.Geometry] = []
        self.claims: list[Claim] = []
        self.parts: dict[str, shapely.Polygon] = {}
        self.tail_s = charts.side.outline.length
        self.rest = "bed_side" if style.top_patches.bed else "quarter"

    def has(self, feature: Feature) -> bool:
        return str(feature) in self.features

    def claim(self, label: str, region: shapely.Geometry) -> None:
        self.claims.append(Claim(label, region))

    def cut(self, points: Points) -> None:
        self.lines.append(divided(points, _COARSE_MM))

    def inset(self, label: str, polygon: shapely.Geometry, *, step_mm: float = _FINE_MM) -> None:
        """A closed part: its ring is cut and its inside claimed."""
        for part in shapely.get_parts(polygon):
            self.lines.append(ring_around(shapely.get_coordinates(part.exterior), step_mm))
        self.claim(label, polygon)
        self.parts[label] = polygon

    def closed(self, name: str, *, soft: float = 0.0) -> shapely.Polygon:
        return rounded(shapely.Polygon(self.placed.curves[name]), soft)

    def half_closed(self, name: str, end_s: float, *, soft: float = 0.0) -> shapely.Polygon:
        """A half outline closed along the car's middle (s = 0 or the tail's), rounded as if both halves were there."""
        curve = self.placed.curves[name]
        half = shapely.Polygon(np.vstack([[end_s, curve[0, 1]], curve, [end_s, curve[-1, 1]]]))
        whole = half.union(affinity.scale(half, -1, 1, origin=(end_s, 0)))
        return self.on_half(rounded(whole, soft))

    def on_half(self, polygon: shapely.Geometry) -> shapely.Geometry:
        """What of a polygon lies on the right half of the car."""
        return polygon.intersection(shapely.box(0.0, -_FAR, self.tail_s, _FAR))

    def ahead_of(self, name: str) -> shapely.Polygon:
        """Everything in front of a cut line that runs from below upward."""
        curve = self.placed.curves[name]
        return shapely.Polygon(np.vstack([curve, [curve[-1, 0], _FAR], [-_FAR, _FAR], [-_FAR, -_FAR], [curve[0, 0], -_FAR]]))

    def below(self, name: str) -> shapely.Polygon:
        """Everything under a cut line that runs from front to rear."""
        curve = self.placed.curves[name]
        return shapely.Polygon(np.vstack([curve, [curve[-1, 0], -_FAR], [curve[0, 0], -_FAR]]))


def rounded(polygon: shapely.Geometry, radius: float) -> shapely.Polygon:
    """The polygon with its convex corners rounded; as it was where rounding would eat it."""
    if radius <= 0:
        return polygon
    soft = polygon.buffer(-radius, quad_segs=3).buffer(radius, quad_segs=3)
    return soft if isinstance(soft, shapely.Polygon) and soft.area > 0.8 * polygon.area else polygon


def patch_polygon(spot: tuple[float, float], patch: Patch) -> shapely.Polygon:
    """A rounded rectangle round a spot of the side chart."""
    long, tall = patch.long_mm / 2, patch.tall_mm / 2
    radius = 0.9 * min(long, tall)
    core = shapely.box(spot[0] - long + radius, spot[1] - tall + radius, spot[0] + long - radius, spot[1] + tall - radius)
    return core.buffer(radius, quad_segs=4)


def plan_side(style: BodyStyle, charts: Charts, placed: Placed, features: frozenset[str]) -> SidePlan:
    plan = _Planner(style, charts, placed, features)
    region = _region(plan)
    _claim_arches(plan)
    _claim_small_parts(plan)
    _claim_windows(plan)
    _claim_ends(plan)
    _claim_roof_side(plan)
    _claim_flares_and_cladding(plan)
    _claim_panels(plan)
    insets = frozenset(plan.parts) - _LARGE
    return SidePlan(partition(region, plan.lines, plan.claims, Rules(plan.rest, SIDE_GRID_MM, insets)), region, plan.parts)


def _region(plan: _Planner) -> shapely.Polygon:
    """The right half of the chart: bottom line, middle of the nose, border, middle of the tail."""
    bottom = shapely.get_coordinates(divided(plan.placed.curves["bottom"], _COARSE_MM))
    bottom[0, 0], bottom[-1, 0] = 0.0, plan.tail_s
    top = plan.charts.side.border.side
    ends = [_middle(plan.tail_s, bottom[-1, 1], top[-1, 1]), _middle(0.0, top[0, 1], bottom[0, 1])]
    return shapely.Polygon(np.vstack([bottom, ends[0], top[::-1], ends[1]]))


def _middle(s: float, start: float, end: float) -> Points:
    count = max(2, int(abs(end - start) / _COARSE_MM) + 1)
    z = np.linspace(start, end, count + 1)[1:-1]
    return np.stack([np.full_like(z, s), z], axis=1)


def _claim_arches(plan: _Planner) -> None:
    for label, ring in zip(("wheel_arch_front", "wheel_arch_rear"), plan.placed.arches, strict=True):
        plan.inset(label, shapely.Polygon(ring), step_mm=_COARSE_MM)


def _claim_small_parts(plan: _Planner) -> None:
    patches = plan.style.side_patches
    plan.inset("headlamp", plan.closed("headlamp", soft=6.0))
    plan.inset("tail_lamp", plan.closed("tail_lamp", soft=6.0))
    for label, patch, wanted in _small_patches(plan):
        if patch and wanted:
            spot = plan.placed.spots[_SPOT.get(label, label)]
            plan.inset(label, plan.on_half(patch_polygon(spot, patch)), step_mm=30.0)
    for end, sensors in (("front", patches.front_sensors), ("rear", patches.rear_sensors)):
        for number, sensor in enumerate(sensors if plan.has(Feature.PARKING_SENSORS) else (), 1):
            name = f"parking_sensor_{end}_{number}"
            plan.inset(name, patch_polygon(plan.placed.spots[name], sensor))
    if plan.has(Feature.FENDER_VENTS):
        plan.inset("fender_vent", plan.closed("fender_vent", soft=6.0))


def _small_patches(plan: _Planner) -> Iterator[tuple[str, Patch | None, bool]]:
    patches = plan.style.side_patches
    badges = plan.has(Feature.BADGES)
    yield "handle_front", patches.front_handle, True
    yield "handle_rear", patches.rear_handle, True
    yield "mirror_foot", patches.mirror_foot, True
    yield "fuel_door", patches.fuel_door, True
    yield "badge_front", patches.front_badge, badges
    yield "badge_rear", patches.rear_badge, badges
    yield "tailgate_handle", patches.tailgate_handle, True


def _claim_windows(plan: _Planner) -> None:
    """Side glass parted by the door cuts, the strip over the B-pillar, and the seal or moulding round all of it."""
    window = plan.closed("side_window", soft=_SOFT)
    frame = window.buffer(_FRAME_MM, quad_segs=3)
    rear_cut = plan.placed.curves["front_door_rear"]
    half = plan.style.cuts.pillar_width_mm / 2
    plan.inset("window_frame", frame)
    plan.claims.pop()
    if half:
        band = divided(rear_cut, _COARSE_MM).buffer(half, cap_style="flat").intersection(window)
        plan.inset("b_pillar", band)
    plan.lines.append(ring_around(shapely.get_coordinates(window.exterior), _FINE_MM))
    glass_front, glass_rear = window.intersection(plan.ahead_of("front_door_rear")), window.difference(plan.ahead_of("front_door_rear"))
    plan.claim("side_glass_front", glass_front)
    if "rear_door_rear" in plan.placed.curves:
        plan.claim("side_glass_rear", glass_rear.intersection(plan.ahead_of("rear_door_rear")))
    plan.claim("side_glass_quarter", glass_rear)
    plan.claim("window_moulding" if plan.has(Feature.WINDOW_MOULDINGS) else "window_frame", frame)


def _claim_ends(plan: _Planner) -> None:
    """Grille, intake, lips and fog lamps in the nose; rear window and lid face in the tail."""
    plan.inset("grille", plan.half_closed("grille", 0.0, soft=_SOFT))
    if "intake" in plan.placed.curves:
        plan.inset("intake", plan.half_closed("intake", 0.0, soft=_SOFT))
    if plan.has(Feature.FOG_LAMPS):
        plan.inset("fog_lamp", plan.closed("fog_lamp", soft=6.0))
    if plan.has(Feature.FRONT_LIP):
        plan.inset("front_lip", plan.half_closed("front_lip", 0.0), step_mm=_COARSE_MM)
    if plan.has(Feature.REAR_LIP):
        plan.inset("rear_lip", plan.half_closed("rear_lip", plan.tail_s), step_mm=_COARSE_MM)
    if "rear_window" in plan.placed.curves:
        window = plan.half_closed("rear_window", plan.tail_s, soft=_SOFT)
        trim = plan.on_half(window.buffer(_FRAME_MM, quad_segs=3))
        plan.inset("rear_glass", window)
        plan.inset("rear_glass_trim", trim)
    plan.inset("rear_lid", plan.half_closed("tail_face", plan.tail_s), step_mm=_COARSE_MM)


def _claim_roof_side(plan: _Planner) -> None:
    """A-pillar and roof side above the belt line: from the cowl to the split, where the rear quarter (or the fabric) takes over."""
    window = plan.placed.control["side_window"]
    corners = np.flatnonzero(plan.style.outlines.side_window.corners)
    front, rear = window[corners[0]], window[corners[1]]
    cowl, split = plan.placed.cowl_s, plan.placed.upper_split_s
    belt = np.array([[cowl, front[1]], front, rear, [plan.tail_s, rear[1]]])
    inside = window.mean(axis=0)
    plan.cut(np.array([[cowl, _FAR], [cowl, front[1]], front, inside]))
    plan.cut(
        np.array([[split, _FAR], [split, inside[1]]]) if split < rear[0] else np.array([[split, _FAR], [split, rear[1]], rear, inside])
    )
    above = shapely.Polygon(np.vstack([belt, [plan.tail_s, _FAR], [cowl, _FAR]]))
    plan.claim("a_pillar", above.intersection(shapely.box(0, -_FAR, split, _FAR)))
    if plan.style.soft_roof:
        deck = _deck_s(plan)
        plan.cut(np.array([[deck, _FAR], [deck, rear[1]], rear, inside]))
        plan.claim("roof", above.intersection(shapely.box(split, -_FAR, deck, _FAR)))
    plan.claim(plan.rest, above)


def _deck_s(plan: _Planner) -> float:
    line = plan.style.cross_lines.deck_front or plan.style.cross_lines.rear_header
    return plan.charts.side.border.s_at_x(float(plan.charts.scaling.x(line.x_mm)) + line.bow_mm)


def _claim_flares_and_cladding(plan: _Planner) -> None:
    if plan.has(Feature.FENDER_FLARES):
        for label, ring in zip(("flare_front", "flare_rear"), plan.placed.arches, strict=True):
            band = plan.on_half(shapely.Polygon(ring).buffer(_flare_width(plan, ring), quad_segs=8))
            plan.inset(label, band, step_mm=_COARSE_MM)
    if plan.has(Feature.SIDE_CLADDING):
        plan.cut(plan.placed.curves["cladding_top"])
        plan.cut(plan.placed.curves["rocker_top"])
        middle = shapely.box(plan.placed.arches[0][:, 0].mean(), -_FAR, plan.placed.arches[1][:, 0].mean(), _FAR)
        band = plan.below("cladding_top").difference(plan.below("rocker_top")).intersection(middle)
        plan.claim("cladding", band)


def _flare_width(plan: _Planner, ring: Points) -> float:
    """A flare leaves at least half of what lies between the arch and the hood's or roof's edge to its fender."""
    border = plan.charts.side.border.side
    above = float(np.interp(ring[:, 0].mean(), border[:, 0], border[:, 1])) - float(ring[:, 1].max())
    return min(_FLARE_MM, 0.5 * above)


def _claim_panels(plan: _Planner) -> None:
    """The large panels between the cut lines, from the bumpers inward."""
    for name in ("front_bumper", "rear_bumper", "rocker_top", "front_door_front", "front_door_rear"):
        plan.cut(plan.placed.curves[name])
    plan.claim("front_bumper", plan.ahead_of("front_bumper"))
    plan.claim("rear_bumper", _behind_rear_bumper_cut(plan))
    plan.claim("rocker", plan.below("rocker_top"))
    plan.claim("fender", plan.ahead_of("front_door_front"))
    plan.claim("door_front", plan.ahead_of("front_door_rear"))
    if "rear_door_rear" in plan.placed.curves:
        plan.cut(plan.placed.curves["rear_door_rear"])
        plan.claim("door_rear", plan.ahead_of("rear_door_rear"))


def _behind_rear_bumper_cut(plan: _Planner) -> shapely.Polygon:
    """The rear bumper's cut runs from below the arch up and back to the tail's middle: what lies under and behind it."""
    curve = plan.placed.curves["rear_bumper"]
    end = [plan.tail_s + 60.0, curve[-1, 1]]
    return shapely.Polygon(np.vstack([curve, end, [end[0], -_FAR], [curve[0, 0], -_FAR]]))

"""Parts that stand out from the skin: handles, badges, rails, antenna, washer jets, spoiler."""

import numpy as np
import shapely

from configurator.domain.body.charts import Charts
from configurator.domain.body.patches import Piece, Rise, domed, flush, level
from configurator.domain.body.placing import Placed
from configurator.domain.body.records import Points
from configurator.domain.body.side_plan import SidePlan
from configurator.domain.body.style import BodyStyle, Feature, Patch, TopPatch
from configurator.domain.body.top_plan import TopPlan

_BADGE_MM = 5.0
_JET_MM = 12.0
_PLATE_MM = 6.0
_CAMERA_MM = (110.0, 80.0)
"""Half width and depth of the camera's patch."""
_CAMERA_BELOW_HEADER_MM = 22.0
_FAR = 9_000.0


def side_pieces(style: BodyStyle, plan: SidePlan) -> list[Piece]:
    """Raised parts on the side chart; each sits in the hole that the plan has cut for it."""
    patches = style.side_patches
    rear_handle = patches.rear_handle.raised_mm if patches.rear_handle else 0.0
    handle_height = patches.tailgate_handle.raised_mm if patches.tailgate_handle else 0.0
    rises = {
        "handle_front": ("door_front", patches.front_handle.raised_mm),
        "handle_rear": ("door_rear", rear_handle),
        "badge_front": ("front_bumper", _BADGE_MM),
        "badge_rear": ("rear_lid", _BADGE_MM),
        "tailgate_handle": ("rear_lid", handle_height),
    }
    return [
        Piece(label, plan.parts[label], on, domed(_whole(plan.parts[label], label), height), 17.0, folded=False)
        for label, (on, height) in rises.items()
        if label in plan.parts
    ]


def plate_pieces(style: BodyStyle, placed: Placed, plan: SidePlan) -> list[Piece]:
    """Number plates on nose and tail: they hang before the panel and hide none of it for good, since they come off."""
    patches = style.side_patches
    return [
        _plate("front_plate", "front_bumper", patches.front_plate, placed, plan),
        _plate("rear_plate", "rear_lid", patches.rear_plate, placed, plan),
    ]


def _plate(label: str, on: str, patch: Patch, placed: Placed, plan: SidePlan) -> Piece:
    (s, z), long, tall = placed.spots[label], patch.long_mm / 2, patch.tall_mm / 2
    half = shapely.box(0.0, -_FAR, plan.region.bounds[2], _FAR)
    return Piece(label, shapely.box(s - long, z - tall, s + long, z + tall).intersection(half), on, level(_PLATE_MM), 70.0, folded=False)


def camera_piece(style: BodyStyle, charts: Charts, features: frozenset[str]) -> Piece | None:
    """The black patch at the top of the windshield behind which a driver-assistance camera looks out (right half)."""
    if str(Feature.WINDSHIELD_CAMERA) not in features:
        return None
    bottom = float(charts.scaling.x(style.cross_lines.header.x_mm)) - _CAMERA_MM[1] - _CAMERA_BELOW_HEADER_MM
    polygon = shapely.box(bottom, 0.0, bottom + _CAMERA_MM[1], _CAMERA_MM[0])
    return Piece("windshield_camera", polygon, "windshield", flush, 40.0, folded=True)


def _whole(polygon: shapely.Geometry, label: str) -> shapely.Geometry:
    """A centre part's polygon is a half: its dome must not fall toward the middle line."""
    if label.startswith("handle"):
        return polygon
    middle = polygon.bounds[0] if polygon.bounds[0] < 1.0 else polygon.bounds[2]
    return polygon.union(shapely.transform(polygon, lambda points: np.stack([2 * middle - points[:, 0], points[:, 1]], axis=1)))


def top_pieces(style: BodyStyle, plan: TopPlan) -> list[Piece]:
    """Raised parts on the top chart that sit in holes of their own (roof rails apart)."""
    patches = style.top_patches
    pieces = []
    if patches.antenna and "roof_antenna" in plan.parts:
        polygon = plan.parts["roof_antenna"]
        pieces.append(Piece("roof_antenna", polygon, "roof", _fin(polygon, patches.antenna.raised_mm), 24.0, folded=True, walled=True))
    for label, height in (("badge_front", _BADGE_MM), ("washer_jet", _JET_MM)):
        if label in plan.parts:
            polygon = plan.parts[label]
            both = polygon.union(shapely.transform(polygon, lambda points: points * [1.0, -1.0]))
            pieces.append(Piece(label, polygon, "hood", domed(both, height), 17.0, folded=True))
    return pieces


def _fin(polygon: shapely.Geometry, height_mm: float) -> Rise:
    """A shark fin: rises toward its rear, falls off to its sides."""
    x_from, _, x_to, half_width = polygon.bounds

    def rise(points: Points) -> Points:
        along = np.clip((points[:, 0] - x_from) / (x_to - x_from), 0.0, 1.0)
        return np.asarray(height_mm * along**1.3 * (1.0 - (points[:, 1] / half_width) ** 2))

    return rise


def spoiler_piece(style: BodyStyle, charts: Charts, features: frozenset[str]) -> Piece | None:
    """The spoiler over the rear edge of the lid (right half), following the trailing edge; it lies over the lid, not in a hole."""
    patch = style.top_patches.spoiler
    if patch is None or str(Feature.REAR_SPOILER) not in features:
        return None
    front, rear = (_parallel_to_trailing(style, charts, patch, x) for x in (patch.x_from_mm, patch.x_to_mm))
    polygon = shapely.Polygon(np.vstack([front, rear[::-1]]))
    return Piece("rear_spoiler", polygon, "rear_lid", _wing(style, charts, patch), 30.0, folded=True, walled=True)


def _parallel_to_trailing(style: BodyStyle, charts: Charts, patch: TopPatch, x_mm: float) -> Points:
    share = np.linspace(0.0, patch.share_to, 17)
    x = float(charts.scaling.x(x_mm)) + style.cross_lines.trailing.bow_mm * share**2
    return np.stack([x, share * charts.top.half_width(x)], axis=1)


def _wing(style: BodyStyle, charts: Charts, patch: TopPatch) -> Rise:
    """Rises toward the rear edge and sinks to the lid at its ends."""
    x_from, x_to = (float(charts.scaling.x(x)) for x in (patch.x_from_mm, patch.x_to_mm))
    bow = style.cross_lines.trailing.bow_mm

    def rise(points: Points) -> Points:
        share = np.abs(points[:, 1]) / charts.top.half_width(points[:, 0])
        along = np.clip((points[:, 0] - bow * share**2 - x_from) / (x_to - x_from), 0.0, 1.0)
        return patch.raised_mm * along**1.6 * np.clip((patch.share_to - share) / 0.06, 0.0, 1.0) ** 0.5

    return rise

"""Extra zones: small pieces of film that are sold by themselves on parts of a panel that get scratched (edges, cups, sills).

They are real surface: each is cut from the panel's own chart and lifted with it. A door sill lies behind the closed door.
"""

import numpy as np
import shapely
from shapely import affinity

from configurator.domain.body.patches import Piece, flush, level
from configurator.domain.body.placing import Placed
from configurator.domain.body.records import Points
from configurator.domain.body.side_plan import SidePlan, patch_polygon
from configurator.domain.body.style import BodyStyle, Patch

_EDGE_MM = 28.0
_CUP_MM = (46.0, 62.0)
"""How much longer and taller the cup behind a handle is than the handle."""
_SILL_MM = 76.0
_SILL_INWARD_MM = 62.0
_LOADING_MM = 82.0
_LOADING_HALF_MM = 560.0
_ZONE_SPACING_MM = 48.0


def zone_pieces(style: BodyStyle, placed: Placed, plan: SidePlan) -> list[Piece]:
    doors = [("front", "front_door_rear"), ("rear", "rear_door_rear")]
    doors = [(name, cut) for name, cut in doors if f"door_{name}" in plan.faces.labels]
    panels = {name: panel_polygon(plan, f"door_{name}") for name, _ in doors}
    edges = [_edge(name, panels[name], placed.curves[cut], placed) for name, cut in doors]
    cups = [_cup(name, panels[name], placed, _handle(style, name)) for name, _ in doors]
    sills = [_sill(name, panels[name], placed) for name, _ in doors]
    return [*edges, *cups, *sills, _loading_edge(plan)]


def panel_polygon(plan: SidePlan, label: str) -> shapely.Geometry:
    """A panel's outline in the chart, one geometry."""
    faces = [face for face, name in zip(plan.faces.polygons, plan.faces.labels, strict=True) if name == label]
    return shapely.union_all(faces)


def _piece(label: str, polygon: shapely.Geometry, on: str) -> Piece:
    return Piece(label, _largest(polygon), on, flush, _ZONE_SPACING_MM, folded=False)


def _largest(polygon: shapely.Geometry) -> shapely.Polygon:
    parts = [part for part in shapely.get_parts(polygon) if isinstance(part, shapely.Polygon)]
    return max(parts, key=lambda part: part.area)


def _edge(name: str, door: shapely.Geometry, cut: Points, placed: Placed) -> Piece:
    """The door's rear edge: along its cut line, and along the wheel arch where that bites into it."""
    near = shapely.LineString(cut).buffer(_EDGE_MM, cap_style="flat").union(shapely.Polygon(placed.arches[1]).buffer(_EDGE_MM))
    return _piece(f"door_edge_{name}", door.intersection(near), f"door_{name}")


def _handle(style: BodyStyle, name: str) -> Patch:
    handle = style.side_patches.front_handle if name == "front" else style.side_patches.rear_handle
    return handle or style.side_patches.front_handle


def _cup(name: str, door: shapely.Geometry, placed: Placed, handle: Patch) -> Piece:
    around = Patch(handle.view, 0.0, 0.0, handle.long_mm + _CUP_MM[0], handle.tall_mm + _CUP_MM[1])
    return _piece(f"door_cup_{name}", patch_polygon(placed.spots[f"{name}_handle"], around).intersection(door), f"door_{name}")


def _sill(name: str, door: shapely.Geometry, placed: Placed) -> Piece:
    """The step behind the door's lower edge, as long as the door is there."""
    rocker = placed.curves["rocker_top"]
    x_from, _, x_to, _ = door.intersection(shapely.box(-1e5, -1e5, 1e5, _door_foot(door, rocker))).bounds
    s = np.linspace(x_from + 12.0, x_to - 12.0, 14)
    top = np.interp(s, rocker[:, 0], rocker[:, 1]) + _SILL_MM / 2
    polygon = shapely.Polygon(np.vstack([np.stack([s, top], axis=1), np.stack([s, top - _SILL_MM], axis=1)[::-1]]))
    return Piece(f"door_sill_{name}", polygon, "rocker", level(-_SILL_INWARD_MM), _ZONE_SPACING_MM, folded=False)


def _door_foot(door: shapely.Geometry, rocker: Points) -> float:
    """A height in the lowest fifth of the door."""
    low, high = float(door.bounds[1]), float(door.bounds[3])
    return max(float(rocker[:, 1].max()), low) + 0.2 * (high - low)


def _loading_edge(plan: SidePlan) -> Piece:
    """The rear bumper's upper edge under the lid, where luggage is dragged over."""
    bumper = panel_polygon(plan, "rear_bumper")
    upper = bumper.difference(affinity.translate(bumper, 0.0, -_LOADING_MM))
    end = plan.region.bounds[2]
    return _piece("loading_edge", upper.intersection(shapely.box(end - _LOADING_HALF_MM, -1e5, end + 1.0, 1e5)), "rear_bumper")

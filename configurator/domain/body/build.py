"""Build a body: authored style + size + features -> panels, wheels, lines and the parts that come off."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.charting import charts_of
from configurator.domain.body.charts import Charts
from configurator.domain.body.fittings import fittings_of
from configurator.domain.body.lines import centre_profile, feature_lines
from configurator.domain.body.measure import surface_area_mm2
from configurator.domain.body.mirrors import mirror_halves
from configurator.domain.body.panels import Half, centre_panel, halves, left_panel, right_panel
from configurator.domain.body.parts import OPENINGS, PARTS, part_of
from configurator.domain.body.patches import Piece, piece_halves
from configurator.domain.body.placing import Placed, place
from configurator.domain.body.rails import rail_half
from configurator.domain.body.raised import camera_piece, plate_pieces, side_pieces, spoiler_piece, top_pieces
from configurator.domain.body.records import Body, Panel, Points, Side, Size, Surface, Wheel
from configurator.domain.body.scaling import check_size
from configurator.domain.body.shell import Shell, border_points, joined, side_mesh, top_mesh
from configurator.domain.body.side_plan import SidePlan, plan_side
from configurator.domain.body.style import BodyStyle, Feature
from configurator.domain.body.top_plan import TopPlan, plan_top
from configurator.domain.body.underside import underside_halves
from configurator.domain.body.zones import zone_pieces
from configurator.errors import Fault, InvalidInput

_KEPT_BODIES = 48
_TYRE_INSIDE_FLANK_MM = 26.0


def build_body(style: BodyStyle, *, size: Size, features: frozenset[str], fuel_door: Side) -> Body:
    """The body at this size with these features, the fuel door on the given side. The latest bodies are kept.

    `InvalidInput` names every implausible length with its range (`vehicle.size.length_mm`: min_mm, max_mm) and every feature
    that the style can't have.
    """
    check_size(style, size)
    check_features(style, features)
    return _built(style, size, features, fuel_door)


def check_features(style: BodyStyle, features: frozenset[str]) -> None:
    impossible = sorted(features - style.possible_features)
    if impossible:
        raise InvalidInput(
            [Fault("vehicle.features", "feature_not_on_this_body", {"feature": name, "body": style.id}) for name in impossible]
        )


@dataclass(frozen=True, eq=False)
class _Work:
    """What the steps of a build hand on."""

    style: BodyStyle
    features: frozenset[str]
    charts: Charts
    placed: Placed
    side: SidePlan
    top: TopPlan
    shell: Shell


@lru_cache(maxsize=_KEPT_BODIES)
def _built(style: BodyStyle, size: Size, features: frozenset[str], fuel_door: Side) -> Body:
    work = _meshed(style, size, features)
    panels = _panels(work, fuel_door)
    return Body(
        style=style.id,
        size=size,
        features=features,
        fuel_door=fuel_door,
        panels=panels,
        wheels=_wheels(work),
        lines=feature_lines(style, work.charts, work.placed),
        fittings=fittings_of(panels),
        centre_profile=centre_profile(work.shell),
        face=style.face,
    )


def _meshed(style: BodyStyle, size: Size, features: frozenset[str]) -> _Work:
    charts = charts_of(style, size)
    placed = place(style, charts)
    side = plan_side(style, charts, placed, features)
    around = side_mesh(charts, placed, side)
    border = border_points(charts, around)
    top = plan_top(style, charts, features, border.top)
    shell = joined(charts, (side, top), (around, top_mesh(charts, top)), border)
    return _Work(style, features, charts, placed, side, top, shell)


def _panels(work: _Work, fuel_door: Side) -> Mapping[str, Panel]:
    plain, pierced = _skin_halves(work.shell)
    found = plain | _own_halves(work)
    sensors = sorted(label for label in found if label.startswith("parking_sensor"))
    panels: dict[str, Panel] = {}
    for label in (*PARTS, *sensors):
        for panel in _panels_of(label, found, pierced, fuel_door):
            panels[panel.id] = _finished(panel, work.style)
    lid = panels["rear_lid"]
    panels["rear_lid"] = replace(lid, covered_share=_share_under_spoiler(lid, found.get("rear_spoiler"), work.charts))
    return panels


def _skin_halves(shell: Shell) -> tuple[dict[str, Half], dict[str, Half]]:
    """The skin's halves as on the side without a fuel door, and those as on the side with one: the door and all that it touches."""
    door = shell.labels.index("fuel_door")
    around = shell.sides.twins[np.repeat(shell.label == door, 3)]
    beyond = shell.label[around[around >= 0] // 3]
    beyond = beyond[beyond != door]
    whole = np.where(shell.label == door, np.bincount(beyond).argmax(), shell.label)
    return halves(shell, whole), halves(shell, only={"fuel_door", *(shell.labels[label] for label in np.unique(beyond).tolist())})


def _panels_of(label: str, found: Mapping[str, Half], pierced: Mapping[str, Half], fuel_door: Side) -> Iterator[Panel]:
    if label == "fuel_door":
        door = right_panel(label, pierced[label])
        yield door if fuel_door is Side.RIGHT else left_panel(label, door)
    elif label not in found or label in OPENINGS:
        return
    elif not part_of(label).paired:
        yield centre_panel(label, found[label])
    else:
        plain = right_panel(label, found[label])
        with_door = right_panel(label, pierced[label]) if label in pierced else plain
        yield left_panel(label, with_door if fuel_door is Side.LEFT else plain)
        yield with_door if fuel_door is Side.RIGHT else plain


def _own_halves(work: _Work) -> dict[str, Half]:
    """Everything that isn't a piece of the skin: raised parts, zones, mirrors, what lies under and inside."""
    style, charts = work.style, work.charts
    found = piece_halves(_pieces(work), charts)
    if "roof_rail" in work.top.parts and style.top_patches.roof_rail:
        found["roof_rail"] = rail_half(style.top_patches.roof_rail, charts)
    bed = style.top_patches.bed
    found |= underside_halves(work.shell, abs(bed.raised_mm) * charts.scaling.up if bed else None)
    camera = str(Feature.CAMERA_MIRRORS) in work.features
    return found | mirror_halves(style.mirror, charts.scaling, _mirror_foot(work), camera=camera)


def _pieces(work: _Work) -> list[Piece]:
    style, charts = work.style, work.charts
    single = (spoiler_piece(style, charts, work.features), camera_piece(style, charts, work.features))
    return [
        *side_pieces(style, work.side),
        *top_pieces(style, work.top),
        *plate_pieces(style, work.placed, work.side),
        *zone_pieces(style, work.placed, work.side),
        *(piece for piece in single if piece),
    ]


def _mirror_foot(work: _Work) -> Points:
    ring = shapely.get_coordinates(work.side.parts["mirror_foot"].exterior)[:-1]
    return work.charts.side.lift(ring[:, 0], ring[:, 1])


def _finished(panel: Panel, style: BodyStyle) -> Panel:
    """The panel with what the style itself says about it: recesses, a fabric roof."""
    label = panel.id.removesuffix("_left").removesuffix("_right")
    if label in style.recesses:
        panel = replace(panel, recesses=style.recesses[label])
    if label == "roof" and style.soft_roof:
        panel = replace(panel, surface=Surface.FABRIC)
    return panel


def _share_under_spoiler(lid: Panel, spoiler: Half | None, charts: Charts) -> float:
    """Share of the lid's area that the spoiler's footprint takes."""
    if spoiler is None:
        return 0.0
    footprint = charts.top.lift(spoiler.lay[:, 0], spoiler.lay[:, 1])
    return 2 * surface_area_mm2(footprint, spoiler.triangles) / surface_area_mm2(lid.mesh.vertices, lid.mesh.triangles)


def _wheels(work: _Work) -> tuple[Wheel, ...]:
    scaling, running = work.charts.scaling, work.style.running
    flank = float(work.shell.vertices[:, 1].max())
    return tuple(
        Wheel(
            x_mm=axle,
            tyre_radius_mm=scaling.tyre_radius_mm,
            rim_radius_mm=scaling.tyre_radius_mm * running.rim_share,
            width_mm=running.tyre_width_mm,
            outer_y_mm=flank - _TYRE_INSIDE_FLANK_MM,
            arch_radius_mm=scaling.arch_radius_mm,
        )
        for axle in scaling.axles
    )

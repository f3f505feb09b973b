"""Whether an authored style makes a body: what is wrong with its curves, point by point, before anyone asks for an estimate.

`style_faults` looks at the curves and is quick enough for every start; `build_faults` builds the body with all it can have, for those
who draw a style and for the tests.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from configurator.domain.body.build import build_body
from configurator.domain.body.placing import CLOSED, anchors_of, drawn_curves, side_patches
from configurator.domain.body.records import Points
from configurator.domain.body.scaling import size_faults
from configurator.domain.body.style import BodyStyle, Drawn
from configurator.errors import Fault

_OFF_OUTLINE_MM = 9.0
_OFF_CUT_MM = 120.0
"""Cut lines may run a little past the body, outlines of parts may not."""
_RUNS_PAST = ("tail_face", "front_lip", "rear_lip")
"""Half outlines that overshoot the body on purpose, so that nothing is left beside them."""
_EXPECTED = (
    *("front_bumper", "hood", "fender_left", "door_front_left", "rocker_left", "a_pillar_left", "roof", "rear_lid", "rear_bumper"),
    *("windshield", "headlamp_left", "tail_lamp_left", "grille", "mirror_left", "fuel_door"),
)


def style_faults(style: BodyStyle) -> Iterator[Fault]:
    """Everything that keeps the style from being drawn, each with the path of the curve or point in its data file."""
    yield from _size_faults(style)
    yield from _missing_parts(style)
    yield from _point_faults(style)
    yield from _outline_faults(style)


def _size_faults(style: BodyStyle) -> Iterator[Fault]:
    for fault in size_faults(style, style.typical_size):
        yield Fault(fault.path.replace("vehicle.size", "size.typical"), fault.code, fault.facts)


def _missing_parts(style: BodyStyle) -> Iterator[Fault]:
    if style.cuts.rear_door_rear is not None and style.side_patches.rear_handle is None:
        yield Fault("side_patches.rear_handle", "missing")
    if style.cross_lines.deck_front is None and style.outlines.rear_window is None:
        yield Fault("outlines.rear_window", "missing")


def _point_faults(style: BodyStyle) -> Iterator[Fault]:
    """Points that are set where the body isn't: inverted they would come to lie somewhere else."""
    paths, anchors = _paths(style), anchors_of(style)
    for name, misses in anchors.misses.items():
        allowed = _OFF_CUT_MM if paths[name].startswith(("cuts", "decor")) or name in _RUNS_PAST else _OFF_OUTLINE_MM
        if name in CLOSED or paths[name].startswith("side_patches"):
            misses = np.maximum(misses, anchors.above[name])
        for place in np.flatnonzero(misses > allowed).tolist():
            point = f"[{place}]" if len(misses) > 1 else ""
            yield Fault(paths[name] + point, "off_the_body", {"by_mm": round(float(misses[place]))})


def _paths(style: BodyStyle) -> dict[str, str]:
    """Where each drawn curve and patch stands in the data file."""
    cuts, tracks = set(style.cuts.__dataclass_fields__), len(style.decor.tracks)
    paths = {name: f"{'cuts' if name in cuts else 'outlines'}.{name}" for name, _ in drawn_curves(style)}
    paths |= {f"track_{number}": f"decor.tracks[{number}]" for number in range(tracks)}
    paths |= {name: f"side_patches.{name}" for name, _ in side_patches(style)}
    for end, sensors in (("front", style.side_patches.front_sensors), ("rear", style.side_patches.rear_sensors)):
        paths |= {f"parking_sensor_{end}_{number + 1}": f"side_patches.{end}_sensors[{number}]" for number in range(len(sensors))}
    return paths


def _outline_faults(style: BodyStyle) -> Iterator[Fault]:
    curves = anchors_of(style).curves
    for name, curve in drawn_curves(style):
        if name in CLOSED and not shapely.Polygon(curves[name]).is_valid:
            yield Fault(f"outlines.{name}", "crosses_itself")
        if hasattr(style.outlines, name) and name not in CLOSED:
            yield from _half_outline_faults(name, curve, curves[name])


def _half_outline_faults(name: str, curve: Drawn, points: Points) -> Iterator[Fault]:
    if curve.along[0] != 0 or curve.along[-1] != 0:
        yield Fault(f"outlines.{name}", "must_run_from_middle_to_middle")
    elif not shapely.LineString(points).is_simple:
        yield Fault(f"outlines.{name}", "crosses_itself")


def build_faults(style: BodyStyle) -> Iterator[Fault]:
    """The body with everything it can have must have its panels, and none of them may be empty or not finite."""
    try:
        body = build_body(style, size=style.typical_size, features=style.possible_features, fuel_door=style.fuel_door)
    except (ValueError, ArithmeticError, IndexError, KeyError, shapely.errors.GEOSException) as error:
        yield Fault("", "cannot_be_built", {"why": str(error)})
        return
    for panel_id in _EXPECTED:
        if panel_id not in body.panels:
            yield Fault("", "panel_missing", {"panel": panel_id})

"""Bring what was drawn in a view onto the side chart.

All control points of a style are inverted once, on its typical size. At other sizes each keeps its mark on the plan outline and
its share of the height, so that outlines never fold, however length and width change against each other. Wheel arches alone are
placed anew at each size: they stay true circles round the wheels.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np

from configurator.domain.body.charting import charts_of
from configurator.domain.body.charts import Charts
from configurator.domain.body.curves import smooth_curve, thinned
from configurator.domain.body.records import Points
from configurator.domain.body.style import BodyStyle, Drawn, Patch, View

_ARCH_POINTS = 60
_LOWEST_MM = 60.0
_KEPT_STYLES = 32


@dataclass(frozen=True, eq=False)
class Placed:
    """Everything of a style on its side chart at one size, in (s, z) mm.

    `curves`: smooth polylines by name. `control`: the authored points behind them. `arches`: rings of the two wheel arches.
    `spots`: (s, z) of each small patch's middle by name. `upper_split_s` and `cowl_s`: where the roof side is parted.
    """

    curves: Mapping[str, Points]
    control: Mapping[str, Points]
    arches: tuple[Points, Points]
    spots: Mapping[str, tuple[float, float]]
    upper_split_s: float
    cowl_s: float


@dataclass(frozen=True, eq=False)
class Anchors:
    """What a style's points and curves are at any size: (mark on the plan outline, share of the car's height), by name.

    `misses`: how far each authored point was from being on the chart (mm); `above`: how far over its upper end, where positive.
    """

    points: Mapping[str, Points]
    curves: Mapping[str, Points]
    misses: Mapping[str, Points]
    above: Mapping[str, Points]


CLOSED = frozenset({"side_window", "headlamp", "tail_lamp", "fog_lamp", "fender_vent"})
"""Outlines that close on themselves; the others are cut lines, or half outlines that the car's middle closes."""


def place(style: BodyStyle, charts: Charts) -> Placed:
    anchors = anchors_of(style)
    control = _at_size(anchors.points, charts)
    scaling, border = charts.scaling, charts.side.border
    cowl = style.cross_lines.cowl
    return Placed(
        curves=_at_size(anchors.curves, charts),
        control=control,
        arches=_arches(charts),
        spots={name: (float(control[name][0, 0]), float(control[name][0, 1])) for name, _ in side_patches(style)},
        upper_split_s=border.s_at_x(float(scaling.x(style.cuts.upper_split_mm))),
        cowl_s=border.s_at_x(float(scaling.x(cowl.x_mm)) + cowl.bow_mm),
    )


@lru_cache(maxsize=_KEPT_STYLES)
def anchors_of(style: BodyStyle) -> Anchors:
    """Invert every authored point of the side chart on the style's typical size and draw the curves through them there."""
    charts = charts_of(style, style.typical_size)
    drawn = drawn_curves(style)
    spots = [(name, (patch.view,), np.array([patch.along_mm]), np.array([patch.height_mm])) for name, patch in side_patches(style)]
    entries = [*((name, curve.views, curve.along, curve.heights) for name, curve in drawn), *spots]
    located, misses = _located(charts, *(np.concatenate([np.asarray(entry[part]) for entry in entries]) for part in (1, 2, 3)))
    stops = np.cumsum([len(entry[2]) for entry in entries])[:-1]
    names = [entry[0] for entry in entries]
    border = charts.side.border.side
    above = located[:, 1] - np.interp(located[:, 0], border[:, 0], border[:, 1])
    points = dict(zip(names, np.split(located, stops), strict=True))
    curves = {name: thinned(smooth_curve(points[name], curve.corners, closed=name in CLOSED)) for name, curve in drawn}
    return Anchors(
        points={name: _anchored(found, charts) for name, found in points.items()},
        curves={name: _anchored(found, charts) for name, found in curves.items()},
        misses=dict(zip(names, np.split(misses, stops), strict=True)),
        above=dict(zip(names, np.split(above, stops), strict=True)),
    )


def _located(charts: Charts, views: np.ndarray, along: Points, heights: Points) -> tuple[Points, Points]:
    """Chart points (n, 2) of authored points, and how far from each in its view the body lies there (mm)."""
    wanted = np.where(views == View.SIDE, charts.scaling.x(along), along * charts.scaling.across)
    z = heights * charts.scaling.up
    s = charts.side.locate(views, wanted, z)
    lifted = charts.side.lift(s, z)
    reached = np.where(views == View.SIDE, lifted[:, 0], lifted[:, 1])
    return np.stack([s, z], axis=1), np.abs(reached - wanted)


def _anchored(points: Points, charts: Charts) -> Points:
    return np.stack([charts.side.outline.mark_of(points[:, 0]), points[:, 1] / charts.scaling.up], axis=1)


def _at_size(anchored: Mapping[str, Points], charts: Charts) -> dict[str, Points]:
    every = np.concatenate(list(anchored.values()))
    points = np.stack([charts.side.outline.s_of_mark(every[:, 0]), every[:, 1] * charts.scaling.up], axis=1)
    return dict(zip(anchored, np.split(points, np.cumsum([len(found) for found in anchored.values()])[:-1]), strict=True))


def drawn_curves(style: BodyStyle) -> list[tuple[str, Drawn]]:
    """Every curve drawn on the side chart, by the name it has in the data file."""
    named = [(entry.name, getattr(group, entry.name)) for group in (style.cuts, style.outlines) for entry in fields(group)]
    tracks = [(f"track_{number}", track) for number, track in enumerate(style.decor.tracks)]
    return [(name, curve) for name, curve in (*named, *tracks) if isinstance(curve, Drawn)]


def side_patches(style: BodyStyle) -> list[tuple[str, Patch]]:
    """Every small part on the side chart by name; the sensors are numbered from the middle outward."""
    patches = style.side_patches
    single = [(entry.name, getattr(patches, entry.name)) for entry in fields(patches)]
    found = [(name, patch) for name, patch in single if isinstance(patch, Patch)]
    for end, sensors in (("front", patches.front_sensors), ("rear", patches.rear_sensors)):
        found += [(f"parking_sensor_{end}_{number}", sensor) for number, sensor in enumerate(sensors, 1)]
    return found


def _arches(charts: Charts) -> tuple[Points, Points]:
    """True circles in the side view round the wheels' centres, cut off a little above the ground."""
    scaling = charts.scaling
    angle = np.linspace(0.0, 2 * np.pi, _ARCH_POINTS, endpoint=False)
    axles = np.repeat(scaling.axles, _ARCH_POINTS)
    x = axles + scaling.arch_radius_mm * np.cos(np.tile(angle, 2))
    z = np.maximum(scaling.tyre_radius_mm + scaling.arch_radius_mm * np.sin(np.tile(angle, 2)), _LOWEST_MM)
    s = charts.side.locate(np.full(len(x), View.SIDE), x, z)
    rings = np.stack([s, z], axis=1)
    return rings[:_ARCH_POINTS], rings[_ARCH_POINTS:]

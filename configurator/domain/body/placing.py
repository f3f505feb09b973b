"""Bring what was drawn in a view onto the side chart: all control points of a style in one inversion, then splines through them."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np

from configurator.domain.body.charts import Charts
from configurator.domain.body.curves import smooth_curve
from configurator.domain.body.records import Points
from configurator.domain.body.style import BodyStyle, Drawn, Patch, View

_ARCH_POINTS = 72


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


class _Batch:
    """Collects points to invert, hands out slices, inverts once."""

    def __init__(self, charts: Charts) -> None:
        self._charts = charts
        self._views: list[np.ndarray] = []
        self._along: list[Points] = []
        self._heights: list[Points] = []
        self._slices: dict[str, slice] = {}
        self._count = 0

    def add(self, name: str, views: np.ndarray, along: Points, heights: Points) -> None:
        """`along` and `heights` in this car's mm."""
        self._slices[name] = slice(self._count, self._count + len(along))
        self._count += len(along)
        self._views.append(views)
        self._along.append(along)
        self._heights.append(heights)

    def add_authored(self, name: str, views: np.ndarray, along: Points, heights: Points) -> None:
        """`along` and `heights` as the style has them."""
        scaling = self._charts.scaling
        real = np.where(views == View.SIDE, scaling.x(along), along * scaling.across)
        self.add(name, views, real, heights * scaling.up)

    def located(self) -> dict[str, Points]:
        """(n, 2) chart points by name."""
        z = np.concatenate(self._heights)
        s = self._charts.side.locate(np.concatenate(self._views), np.concatenate(self._along), z)
        points = np.stack([s, z], axis=1)
        return {name: points[where] for name, where in self._slices.items()}


def place(style: BodyStyle, charts: Charts) -> Placed:
    batch = _Batch(charts)
    drawn = dict(drawn_curves(style))
    for name, curve in drawn.items():
        batch.add_authored(name, np.array(curve.views), curve.along, curve.heights)
    patches = dict(side_patches(style))
    for name, patch in patches.items():
        batch.add_authored(name, np.array([patch.view]), np.array([patch.along_mm]), np.array([patch.height_mm]))
    _add_arches(batch, charts)
    _add_splits(batch, style, charts)
    located = batch.located()
    return Placed(
        curves={name: smooth_curve(located[name], curve.corners, closed=name in CLOSED) for name, curve in drawn.items()},
        control={name: located[name] for name in drawn},
        arches=(located["arch_front"], located["arch_rear"]),
        spots={name: (float(located[name][0, 0]), float(located[name][0, 1])) for name in patches},
        upper_split_s=float(located["upper_split"][0, 0]),
        cowl_s=float(located["cowl"][0, 0]),
    )


CLOSED = frozenset({"side_window", "headlamp", "tail_lamp", "fog_lamp", "fender_vent"})
"""Outlines that close on themselves; the others are cut lines, or half outlines that the car's middle closes."""


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


def _add_arches(batch: _Batch, charts: Charts) -> None:
    """Wheel arches are true circles round the wheels, whatever the size."""
    scaling = charts.scaling
    angle = np.linspace(0.0, 2 * np.pi, _ARCH_POINTS, endpoint=False)
    for name, axle in zip(("arch_front", "arch_rear"), scaling.axles, strict=True):
        x = axle + scaling.arch_radius_mm * np.cos(angle)
        z = scaling.tyre_radius_mm + scaling.arch_radius_mm * np.sin(angle)
        batch.add(name, np.full(_ARCH_POINTS, View.SIDE), x, np.maximum(z, 60.0))


def _add_splits(batch: _Batch, style: BodyStyle, charts: Charts) -> None:
    """Where the roof side is cut: under the roof edge at the authored x, and at the cowl's end."""
    side = np.array([View.SIDE])
    split = charts.scaling.x(np.array([style.cuts.upper_split_mm]))
    batch.add("upper_split", side, split, charts.top.edge_height(split) - 20.0)
    cowl = style.cross_lines.cowl
    end = charts.scaling.x(np.array([cowl.x_mm])) + cowl.bow_mm
    batch.add("cowl", side, end, charts.top.edge_height(end) - 20.0)

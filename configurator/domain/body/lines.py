"""Lines on the body that bound no panel, and its silhouette in the middle plane."""

from collections.abc import Iterator

import numpy as np
import shapely

from configurator.domain.body.charts import Charts
from configurator.domain.body.curves import divided, smooth_curve
from configurator.domain.body.placing import Placed
from configurator.domain.body.records import FeatureLine, Points
from configurator.domain.body.shell import Shell
from configurator.domain.body.style import BodyStyle, Profile

_STEP_MM = 90.0
_MIRROR = np.array([1.0, -1.0, 1.0])


def feature_lines(style: BodyStyle, charts: Charts, placed: Placed) -> tuple[FeatureLine, ...]:
    """Creases and ribs of the top surface, slide tracks on the sides; each on both sides of the car."""
    found = []
    for kind, points in _right_lines(style, charts, placed):
        found += [FeatureLine(kind, points), FeatureLine(kind, points * _MIRROR)]
    return tuple(found)


def _right_lines(style: BodyStyle, charts: Charts, placed: Placed) -> Iterator[tuple[str, Points]]:
    for kind, profiles in (("crease", style.decor.creases), ("rib", style.decor.ribs)):
        for profile in profiles:
            yield kind, _on_top(profile, charts)
    for number, _ in enumerate(style.decor.tracks):
        curve = _divided(placed.curves[f"track_{number}"])
        yield "track", charts.side.lift(curve[:, 0], curve[:, 1])


def _on_top(profile: Profile, charts: Charts) -> Points:
    """x and share of the half width -> points on the top surface."""
    curve = _divided(smooth_curve(np.stack([charts.scaling.x(profile.points[:, 0]), profile.points[:, 1]], axis=1), profile.corners))
    return charts.top.lift(curve[:, 0], curve[:, 1] * charts.top.half_width(curve[:, 0]))


def _divided(curve: Points) -> Points:
    """With points near enough to follow the surface once they are lifted."""
    return np.asarray(shapely.get_coordinates(divided(curve, _STEP_MM)))


def centre_profile(shell: Shell) -> Points:
    """Points of the skin in the plane y = 0, from the underside of the nose over the roof to that of the tail."""
    middle = shell.vertices[(shell.vertices[:, 1] == 0.0) & np.isin(np.arange(len(shell.vertices)), shell.triangles)]
    nose = middle[:, 0] < middle[:, 0].mean()
    order = np.lexsort((np.where(nose, middle[:, 2], -middle[:, 2]), middle[:, 0]))
    return np.asarray(middle[order])

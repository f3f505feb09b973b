"""Seats and steering wheel in space, as dark shapes that a three-quarter view sees through its panes."""

from collections.abc import Iterator

import numpy as np
import shapely

from configurator.domain.body.records import Body, Points
from configurator.drawing.curves import TOLERANCE_MM, paths_of
from configurator.drawing.projection import Projection

_ABREAST = 0.44
"""Where the seats' middles stand, as a share of the half width at the belt."""
_ROWS = (("side_glass_front", 0.86), ("side_glass_rear", 0.74), ("side_glass_quarter", 0.55))
"""The pane beside a row of seats and how far back along it the backrests stand; a third row only where there is no second."""
_LEAST_PANE_MM = 420.0
_BACKREST = ((-0.26, -0.35), (-0.25, 0.30), (-0.19, 0.48), (-0.10, 0.53), (0.10, 0.53), (0.19, 0.48), (0.25, 0.30), (0.26, -0.35))
_HEADREST = ((-0.13, 0.58), (-0.14, 0.68), (-0.10, 0.77), (0.10, 0.77), (0.14, 0.68), (0.13, 0.58), (0.09, 0.55), (-0.09, 0.55))
"""Outlines seen from the front: shares of the half width at the belt, and of the glass's height above the belt."""
_THICK_MM = 110.0
_LEAN = 0.20
"""How far a backrest leans back for its height."""
_WHEEL_MM = 185.0
_WHEEL_ALONG = 0.30
_WHEEL_TILT = 0.45


def cabin_outlines(body: Body, view: Projection) -> tuple[list[str], str]:
    """Paths of the seats' shapes, from the farthest to the nearest, and of the steering wheel's rim; in mm of the view's plane."""
    beside = {name: pane.mesh.vertices for name, _ in _ROWS if (pane := body.panels.get(name + "_right"))}
    front = beside.get("side_glass_front")
    if front is None:
        return [], ""
    belt, tall, half = float(front[:, 2].min()), float(np.ptp(front[:, 2])), float(front[:, 1].max())
    seats = [solid for x in _row_places(beside) for side in (-1, 1) for solid in _seat(x, side * _ABREAST * half, belt, tall, half)]
    seats.sort(key=lambda solid: -float(view.depth(solid).mean()))
    hulls = shapely.convex_hull(shapely.linestrings([view.plane(solid) for solid in seats]))
    hub = np.array([front[:, 0].min() + _WHEEL_ALONG * np.ptp(front[:, 0]), -_ABREAST * half, belt - 0.02 * tall])
    rings = [*(shapely.get_coordinates(hull)[:-1] for hull in hulls), view.plane(hub + _rim())]
    *shapes, rim = paths_of(rings, (), tolerance_mm=[*[3.0] * len(hulls), TOLERANCE_MM])
    return shapes, rim


def _row_places(beside: dict[str, Points]) -> list[float]:
    places: list[float] = []
    for name, share in _ROWS:
        pane = beside.get(name)
        if pane is not None and len(places) < 2 and np.ptp(pane[:, 0]) > _LEAST_PANE_MM:
            places.append(float(pane[:, 0].min() + share * np.ptp(pane[:, 0])))
    return places


def _seat(x: float, y: float, belt: float, tall: float, half: float) -> Iterator[Points]:
    """Backrest and headrest, each as the points whose hull it is."""
    for outline in (_BACKREST, _HEADREST):
        across, up = (np.array(outline) * [half, tall]).T
        face = np.stack([x + _LEAN * up, y + across, belt + up], axis=1)
        yield np.vstack([face, face + np.array([_THICK_MM, 0.0, 0.0])])


def _rim() -> Points:
    """The steering wheel's rim about its hub, tilted back."""
    around = np.linspace(0.0, 2 * np.pi, 25)[:-1]
    across, up = _WHEEL_MM * np.cos(around), _WHEEL_MM * np.sin(around)
    return np.stack([_WHEEL_TILT * up, across, up], axis=1)

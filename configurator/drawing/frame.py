"""Where each view lies: boxes around the car, on one scale, and the sheet that holds four of them."""

from functools import lru_cache

import numpy as np

from configurator.domain.body.records import Body, Layer
from configurator.drawing.projection import THREE_QUARTER_VIEWS, projection

ViewBox = tuple[int, int, int, int]
SHEET = "sheet"
_MARGIN_MM = 300
_ABOVE_MM = 420
_BELOW_MM = 330


@lru_cache(maxsize=192)
def view_box(body: Body, view: str) -> ViewBox:
    """x, y, width, height of a view or of the sheet. Front and rear are exactly half as wide as left, right and top."""
    return _around(body, view) if view in THREE_QUARTER_VIEWS else _parallel_boxes(body)[view]


@lru_cache(maxsize=48)
def _parallel_boxes(body: Body) -> dict[str, ViewBox]:
    size = body.size
    reach = max(float(np.abs(panel.mesh.vertices[:, 1]).max()) for panel in body.panels.values())
    top = max(float(panel.mesh.vertices[:, 2].max()) for panel in body.panels.values())
    half = _even(max(size.length_mm + 2 * _MARGIN_MM, 2 * (2 * reach + 1.4 * _MARGIN_MM))) // 2
    tall = _even(top + _ABOVE_MM + _BELOW_MM)
    plan = _even(2 * reach + 2 * _MARGIN_MM)
    beside = round((2 * half - size.length_mm) / 2)
    up = -round(top) - _ABOVE_MM
    return {
        "left": (-beside, up, 2 * half, tall),
        "right": (-round(size.length_mm) - beside, up, 2 * half, tall),
        "front": (-half // 2, up, half, tall),
        "rear": (-half // 2, up, half, tall),
        "top": (-beside, -plan // 2, 2 * half, plan),
        SHEET: (0, 0, 3 * half, tall + max(plan, tall)),
    }


def _even(value: float) -> int:
    return 4 * round(value / 4)


def _around(body: Body, view: str) -> ViewBox:
    camera = projection(body, view)
    points = [panel.mesh.vertices for panel in body.panels.values() if panel.layer is not Layer.ZONE]
    for wheel in body.wheels:
        points.append(np.array([[wheel.x_mm, side * wheel.outer_y_mm, z] for side in (-1, 1) for z in (0, 2 * wheel.tyre_radius_mm)]))
    plane = camera.plane(np.vstack(points))
    low, high = plane.min(axis=0), plane.max(axis=0)
    return (
        round(low[0]) - _MARGIN_MM,
        round(low[1]) - _ABOVE_MM,
        round(high[0] - low[0]) + 2 * _MARGIN_MM,
        round(high[1] - low[1]) + _ABOVE_MM + _MARGIN_MM,
    )


def sheet_places(body: Body) -> dict[str, tuple[int, int]]:
    """Where each view's own origin lies on the sheet: left and front on one ground line, top and rear under them."""
    left, front, top, rear = (view_box(body, view) for view in ("left", "front", "top", "rear"))
    lower = max(top[3], rear[3])
    return {
        "left": (-left[0], -left[1]),
        "front": (left[2] - front[0], -front[1]),
        "top": (-top[0], left[3] - top[1] + (lower - top[3]) // 2),
        "rear": (left[2] - rear[0], left[3] - rear[1] + (lower - rear[3]) // 2),
    }

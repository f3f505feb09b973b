"""Where the car is looked at from. Five parallel views as on a general-arrangement sheet, four three-quarter views in perspective.

A view turns points of the body (x rearward, y to the vehicle's right, z up; mm) into a plane (x to the right, y down; mm at the
car's own scale). First-angle arrangement: left side above the plan, front beside it, nose to the left.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np

from configurator.domain.body.records import Body, Points
from configurator.domain.body.vectors import unit

SHEET_VIEWS = ("left", "front", "top", "rear")
PARALLEL_VIEWS = ("left", "right", "front", "top", "rear")
THREE_QUARTER_VIEWS = ("front_left", "front_right", "rear_left", "rear_right")
VIEWS = PARALLEL_VIEWS + THREE_QUARTER_VIEWS

_AZIMUTH_DEG = {"front": 36.0, "rear": 140.0}
"""Angle between the direction of travel and the eye, seen from above."""
_ELEVATION_DEG = 12.0
_DISTANCE_IN_LENGTHS = 3.4


class Projection(Protocol):
    """How one view sees the body."""

    @property
    def name(self) -> str: ...

    def plane(self, points: Points) -> Points:
        """(n, 3) mm -> (n, 2) mm, x right, y down."""
        ...

    def toward(self, points: Points) -> Points:
        """Unit vectors from the points to the eye, (n, 3) or (1, 3)."""
        ...

    def depth(self, points: Points) -> Points:
        """(n,) mm, smaller is nearer to the eye."""
        ...


@dataclass(frozen=True, eq=False)
class Parallel:
    name: str
    axes: Points
    """(3, 2): the plane's directions to the right and down."""
    eye: Points

    def plane(self, points: Points) -> Points:
        return points @ self.axes

    def toward(self, points: Points) -> Points:
        return self.eye[None, :]

    def depth(self, points: Points) -> Points:
        return -(points @ self.eye)


@dataclass(frozen=True, eq=False)
class Perspective:
    """A pinhole camera at `position`, looking at `target`; lengths in the target's plane are true."""

    name: str
    position: Points
    target: Points
    right: Points
    down: Points
    axis: Points
    """Unit vector from the target to the eye."""
    distance_mm: float

    def plane(self, points: Points) -> Points:
        from_target = points - self.target
        scale = self.distance_mm / (self.distance_mm - from_target @ self.axis)
        return (from_target @ np.stack([self.right, self.down], axis=1)) * scale[:, None]

    def toward(self, points: Points) -> Points:
        sight = self.position - points
        return unit(sight)

    def depth(self, points: Points) -> Points:
        return self.distance_mm - (points - self.target) @ self.axis


def _parallel(name: str, right: tuple[int, int, int], down: tuple[int, int, int], eye: tuple[int, int, int]) -> Parallel:
    return Parallel(name, np.array([right, down], dtype=float).T, np.array(eye, dtype=float))


_PARALLEL = {
    view.name: view
    for view in (
        _parallel("left", (1, 0, 0), (0, 0, -1), (0, -1, 0)),
        _parallel("right", (-1, 0, 0), (0, 0, -1), (0, 1, 0)),
        _parallel("front", (0, -1, 0), (0, 0, -1), (-1, 0, 0)),
        _parallel("rear", (0, 1, 0), (0, 0, -1), (1, 0, 0)),
        _parallel("top", (1, 0, 0), (0, -1, 0), (0, 0, 1)),
    )
}


def near_side(view: str) -> str | None:
    """The side of the car ('left', 'right') that a three-quarter view shows; None in the parallel views that show both or neither."""
    return view.rsplit("_", 1)[1] if view in THREE_QUARTER_VIEWS else view if view in ("left", "right") else None


@lru_cache(maxsize=64)
def _camera(view: str, length_mm: float, height_mm: float) -> Perspective:
    end, side = view.split("_")
    azimuth, elevation = math.radians(_AZIMUTH_DEG[end]), math.radians(_ELEVATION_DEG)
    across = 1.0 if side == "right" else -1.0
    axis = np.array([-math.cos(azimuth) * math.cos(elevation), across * math.sin(azimuth) * math.cos(elevation), math.sin(elevation)])
    right = np.cross([0.0, 0.0, 1.0], axis)
    right /= np.linalg.norm(right)
    target = np.array([0.47 * length_mm, 0.0, 0.40 * height_mm])
    distance = _DISTANCE_IN_LENGTHS * length_mm
    return Perspective(view, target + axis * distance, target, right, -np.cross(axis, right), axis, distance)


def projection(body: Body, view: str) -> Projection:
    """The projection of `view` (one of `VIEWS`); the three-quarter cameras stand off by the body's own size. Raises KeyError."""
    if view in THREE_QUARTER_VIEWS:
        return _camera(view, body.size.length_mm, body.size.height_mm)
    return _PARALLEL[view]

"""Light on the body: a studio (dark floor, bright horizon, soft boxes overhead) seen in the paint, as black and white over its colour.

The paint itself stays one flat `fill`, so that a film or a colour is one CSS rule; shade is laid over it with its own opacity.
"""

from dataclasses import dataclass

import numpy as np

from configurator.domain.body.records import Points
from configurator.drawing.projection import Projection, near_side
from configurator.drawing.surfaces import Surfaces

_BANDS = 14
_CONTRAST = 1.55
_STRONGEST = 0.60
_LIFT = 0.03
_FACING = 0.02
_LIGHT = (-0.40, -0.46, 0.79)
_MIRROR_HEIGHT = (-1.0, -0.6, -0.3, -0.12, 0.0, 0.10, 0.22, 0.40, 0.62, 0.85, 1.0)
_MIRROR_LIGHT = (0.14, 0.20, 0.28, 0.36, 0.50, 0.68, 0.74, 0.68, 0.63, 0.74, 0.84)
"""Brightness of the studio by the height (sine) at which the mirrored sight line meets it."""
_DIRECTIONS = np.array([(0.0, 1.0), (0.05, 1.0), (-0.05, 1.0), (0.12, 1.0), (-0.12, 1.0), (1.0, 0.0), (0.6, 1.0), (-0.6, 1.0)])
"""Directions that a panel's gradient may take: upright, a little slanted as shoulder lines are, across, diagonal."""
_CLEARLY_BETTER = 0.85


@dataclass(frozen=True)
class Stop:
    offset: float
    light: float
    """-1 black ... 0 the paint itself ... 1 white."""


@dataclass(frozen=True)
class Ramp:
    """A linear gradient over a panel from `start` to `end` (x, y in mm of the view's plane)."""

    start: tuple[int, int]
    end: tuple[int, int]
    stops: tuple[Stop, ...]


def studio_light(normals: Points, toward: Points, points: Points, *, height_mm: float, light_from_right: bool) -> Points:
    """(n,) brightness 0 ... 1 of paint with unit `normals` seen from `toward`: the studio in it, soft light, darker near the ground."""
    facing = (normals * toward).sum(axis=1)
    mirrored = 2 * facing[:, None] * normals - toward
    shine = np.interp(mirrored[:, 2], _MIRROR_HEIGHT, _MIRROR_LIGHT)
    lamp = np.array(_LIGHT) * ([1, -1, 1] if light_from_right else [1, 1, 1])
    diffuse = np.clip(normals @ lamp / np.linalg.norm(lamp) * 0.5 + 0.5, 0, 1) ** 1.2
    near_ground = np.clip(1 - (points[:, 2] - 0.10 * height_mm) / (0.42 * height_mm), 0, 1) ** 1.5
    clipped: Points = np.clip(0.50 * shine + 0.50 * diffuse - 0.15 * near_ground, 0, 1)
    return clipped


def ramps(meshes: Surfaces, view: Projection, height_mm: float) -> list[Ramp | None]:
    """For each panel the gradient that explains most of the light on it; None where it doesn't face the eye.

    The mean over all that is seen is the paint's own colour, so that every view of a car shows the same paint.
    """
    centres = meshes.vertices[meshes.triangles].mean(axis=1)
    toward = np.broadcast_to(view.toward(centres), centres.shape)
    facing = (meshes.facing * toward).sum(axis=1)
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_triangle))
    seen = np.flatnonzero(facing > _FACING)
    owner, weight = owner[seen], meshes.areas[seen] * facing[seen]
    light = studio_light(
        meshes.facing[seen], toward[seen], centres[seen], height_mm=height_mm, light_from_right=near_side(view.name) == "right"
    )
    light = (light - float((light * weight).sum() / weight.sum())) * _CONTRAST + _LIFT
    return _best_ramps(view.plane(centres[seen]), light, weight, owner, len(meshes.panels))


def _best_ramps(
    plane: Points, light: Points, weight: Points, owner: "np.ndarray[tuple[int], np.dtype[np.int64]]", count: int
) -> list[Ramp | None]:
    tried = [_profiles(plane @ direction, light, weight, owner, count) for direction in _DIRECTIONS]
    error = np.stack([profile[3] for profile in tried])
    best = error.argmin(axis=0)
    best = np.where(error.min(axis=0) < _CLEARLY_BETTER * error[0], best, 0)
    found: list[Ramp | None] = []
    for panel, choice in enumerate(best.tolist()):
        low, high, mean, _ = (values[panel] for values in tried[choice])
        found.append(_as_ramp(_DIRECTIONS[choice], float(low), float(high), mean) if np.isfinite(low) else None)
    return found


def _profiles(
    place: Points, light: Points, weight: Points, owner: "np.ndarray[tuple[int], np.dtype[np.int64]]", count: int
) -> tuple[Points, Points, Points, Points]:
    """For each panel: first and last place, mean light in each band between them (count, bands), light left unexplained."""
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(low, owner, place)
    np.maximum.at(high, owner, place)
    share = (place - low[owner]) / np.maximum(high - low, 1e-6)[owner]
    cell = owner * _BANDS + np.minimum((share * _BANDS).astype(int), _BANDS - 1)
    total = np.bincount(cell, weight, count * _BANDS)
    mean = np.bincount(cell, weight * light, count * _BANDS) / np.maximum(total, 1e-12)
    unexplained = np.bincount(owner, weight * (light - mean[cell]) ** 2, count)
    table = np.where(total > 0, mean, np.nan).reshape(count, _BANDS)
    return low, high, table, np.asarray(unexplained, dtype=np.float64)


def _as_ramp(direction: Points, low: float, high: float, means: Points) -> Ramp:
    filled = np.flatnonzero(np.isfinite(means))
    even = np.interp(np.arange(_BANDS), filled, means[filled])
    smooth = np.convolve(np.pad(even, 1, mode="edge"), [0.25, 0.5, 0.25], "valid")
    values = np.clip(smooth, -_STRONGEST, _STRONGEST)
    offsets = (np.arange(_BANDS) + 0.5) / _BANDS
    kept = _needed(offsets, values, 0.025)
    step = direction / (direction @ direction)
    start, end = (tuple(np.rint(value * step).astype(int).tolist()) for value in (low, high))
    return Ramp(start, end, tuple(Stop(round(float(offsets[i]), 2), round(float(values[i]), 2)) for i in kept))


def _needed(offsets: Points, values: Points, tolerance: float) -> list[int]:
    """Indices of the stops that a piecewise linear ramp needs to stay within `tolerance` (Douglas-Peucker in one dimension)."""
    kept = {0, len(values) - 1}
    spans = [(0, len(values) - 1)]
    while spans:
        first, last = spans.pop()
        if last - first < 2:
            continue
        line = np.interp(offsets[first:last], [offsets[first], offsets[last]], [values[first], values[last]])
        away = np.abs(values[first:last] - line)
        if away.max() > tolerance:
            worst = first + int(away.argmax())
            kept.add(worst)
            spans += [(first, worst), (worst, last)]
    return sorted(kept)

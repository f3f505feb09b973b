"""Light on the body: a studio (dark floor, bright horizon, soft boxes overhead) seen in the paint, as black and white over its colour.

The paint itself stays one flat `fill`, so that a film or a colour is one CSS rule; shade is laid over it with its own opacity.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from configurator.domain.body.records import Indices, Points, Surface
from configurator.domain.body.vectors import dot
from configurator.drawing.projection import Projection, near_side
from configurator.drawing.surfaces import Surfaces

SHADED = (Surface.PAINT, Surface.BRIGHT_TRIM, Surface.FABRIC, Surface.GLOSS_PLASTIC, Surface.TEXTURED_PLASTIC)
"""Surfaces that light is laid over; glass, lenses and black trim have colours of their own."""
_BANDS = 14
_OFFSETS = (np.arange(_BANDS) + 0.5) / _BANDS
_BEFORE, _AFTER = np.maximum(np.arange(_BANDS) - 1, 0), np.minimum(np.arange(_BANDS) + 1, _BANDS - 1)
_SPREAD = 0.26
_CONTRAST = (1.4, 3.4)
_STRONGEST = 0.54
_STOP_TOLERANCE = 0.035
_LIFT = 0.03
_LEAST_RANGE = 0.20
_MOST_STRETCH = 5.0
"""A nearly flat panel (hood, roof) has its own light stretched to this range, so that its crown shows."""
_FACING = 0.02
_LIGHT = (-0.40, -0.46, 0.79)
_MIRROR_HEIGHT = (-1.0, -0.6, -0.3, -0.12, 0.0, 0.10, 0.22, 0.40, 0.62, 0.85, 1.0)
_MIRROR_LIGHT = (0.14, 0.20, 0.28, 0.36, 0.50, 0.68, 0.74, 0.68, 0.63, 0.74, 0.84)
"""Brightness of the studio by the height (sine) at which the mirrored sight line meets it."""
_CLEARLY_BETTER = 0.80
_SHORTEST_IMAGE = 0.2


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


def _lamp(view_name: str) -> Points:
    """Direction of the soft light: from ahead, above, and the side that is seen; from the middle where both sides are."""
    forward, sideways, up = _LIGHT
    turn = {"right": -1.0, "left": 1.0, None: 0.0}[near_side(view_name)]
    lamp = np.array([-forward if view_name.startswith("rear") else forward, turn * sideways, up])
    return np.asarray(lamp / np.linalg.norm(lamp), dtype=np.float64)


def _evened(light: Points, weight: Points) -> Points:
    """Light about its mean, as -1 ... 1, with the same spread in every view (flat views get more contrast, within bounds)."""
    mean = float((light * weight).sum() / weight.sum())
    spread = float(np.sqrt(((light - mean) ** 2 * weight).sum() / weight.sum()))
    evened: Points = (light - mean) * np.clip(_SPREAD / max(spread, 1e-6), *_CONTRAST) + _LIFT
    return evened


def studio_light(normals: Points, toward: Points, points: Points, *, height_mm: float, lamp: Points) -> Points:
    """(n,) brightness 0 ... 1 of paint with unit `normals` seen from `toward`: the studio in it, soft light, darker near the ground."""
    facing = dot(normals, toward)
    mirrored = 2 * facing[:, None] * normals - toward
    shine = np.interp(mirrored[:, 2], _MIRROR_HEIGHT, _MIRROR_LIGHT)
    diffuse = np.clip(normals @ lamp * 0.5 + 0.5, 0, 1) ** 1.2
    near_ground = np.clip(1 - (points[:, 2] - 0.10 * height_mm) / (0.42 * height_mm), 0, 1) ** 1.5
    clipped: Points = np.clip(0.50 * shine + 0.50 * diffuse - 0.15 * near_ground, 0, 1)
    return clipped


def ramps(meshes: Surfaces, view: Projection, height_mm: float, wanted: Sequence[int]) -> dict[int, Ramp]:
    """For each of the `wanted` panels that faces the eye the gradient that explains most of the light on it.

    The mean over all of them is the paint's own colour, so that every view of a car shows the same paint.
    """
    wanted_panel = np.zeros(len(meshes.panels), dtype=bool)
    wanted_panel[list(wanted)] = True
    chosen = np.flatnonzero(wanted_panel[meshes.owner])
    toward = view.toward(meshes.centres[chosen])
    facing = dot(meshes.facing[chosen], toward)
    seen = facing > _FACING
    if not seen.any():
        return {}
    toward = toward if len(toward) == 1 else toward[seen]
    chosen, facing = chosen[seen], facing[seen]
    centres, owner = meshes.centres[chosen], meshes.owner[chosen]
    light = studio_light(meshes.facing[chosen], toward, centres, height_mm=height_mm, lamp=_lamp(view.name))
    weight = meshes.areas[chosen] * facing
    return _best_ramps(view.plane(centres), _evened(light, weight), weight, owner, len(meshes.panels), _directions(view, height_mm))


def _directions(view: Projection, height_mm: float) -> Points:
    """Directions that a gradient may take: across the images of the body's own axes, so that light runs along its flanks and ends."""
    middle = np.array([[2.5 * height_mm, 0.0, 0.5 * height_mm]])
    images = view.plane(middle + np.eye(3)) - view.plane(middle)
    found = []
    for x, y in images[np.linalg.norm(images, axis=1) > _SHORTEST_IMAGE]:
        across = np.array([-y, x]) / np.hypot(x, y)
        found.append(across if across[1] > 0.02 or (abs(across[1]) <= 0.02 and across[0] > 0) else -across)
    return np.array(found)


def _best_ramps(plane: Points, light: Points, weight: Points, owner: Indices, count: int, directions: Points) -> dict[int, Ramp]:
    tried = [_profiles(plane @ direction, light, weight, owner, count) for direction in directions]
    error = np.stack([profile[3] for profile in tried])
    best = np.where(error.min(axis=0) < _CLEARLY_BETTER * error[0], error.argmin(axis=0), 0)
    lit = np.unique(owner)
    low, high, means, _ = (np.stack([profile[part] for profile in tried])[best[lit], lit] for part in range(4))
    return dict(zip(lit.tolist(), _as_ramps(directions[best[lit]], low, high, means), strict=True))


def _profiles(place: Points, light: Points, weight: Points, owner: Indices, count: int) -> tuple[Points, Points, Points, Points]:
    """For each panel: first and last place, mean light in each band between them (count, bands), light left unexplained."""
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    first = np.flatnonzero(np.diff(owner, prepend=-1))
    low[owner[first]] = np.minimum.reduceat(place, first)
    high[owner[first]] = np.maximum.reduceat(place, first)
    share = (place - low[owner]) / np.maximum(high - low, 1e-6)[owner]
    cell = owner * _BANDS + np.minimum((share * _BANDS).astype(int), _BANDS - 1)
    total = np.bincount(cell, weight, count * _BANDS)
    mean = np.bincount(cell, weight * light, count * _BANDS) / np.maximum(total, 1e-12)
    unexplained = np.bincount(owner, weight * (light - mean[cell]) ** 2, count)
    table = np.where(total > 0, mean, np.nan).reshape(count, _BANDS)
    return low, high, table, np.asarray(unexplained, dtype=np.float64)


def _as_ramps(directions: Points, low: Points, high: Points, means: Points) -> list[Ramp]:
    """A ramp for each row: its direction (2,), its ends along it, and its mean lights by band (nan where a band is empty)."""
    even = means.copy()
    for row in np.flatnonzero(np.isnan(means).any(axis=1)).tolist():
        filled = np.flatnonzero(np.isfinite(means[row]))
        even[row] = np.interp(np.arange(_BANDS), filled, means[row, filled])
    smooth = (even[:, _BEFORE] + 2 * even + even[:, _AFTER]) / 4
    spread = smooth.max(axis=1, keepdims=True) - smooth.min(axis=1, keepdims=True)
    stretch = np.clip(_LEAST_RANGE / np.maximum(spread, 1e-6), 1.0, _MOST_STRETCH)
    middle = smooth.mean(axis=1, keepdims=True)
    smooth = np.where(stretch > 1, middle + (smooth - middle) * stretch, smooth)
    values = np.clip(smooth, -_STRONGEST, _STRONGEST)
    steps = directions / dot(directions, directions)[:, None]
    starts, ends = (np.rint(places[:, None] * steps).astype(int).tolist() for places in (low, high))
    return [_ramp(*ramp) for ramp in zip(starts, ends, values.tolist(), strict=True)]


def _ramp(start: tuple[int, int], end: tuple[int, int], lights: Sequence[float]) -> Ramp:
    kept = _needed(_OFFSETS.tolist(), lights, _STOP_TOLERANCE)
    return Ramp((start[0], start[1]), (end[0], end[1]), tuple(Stop(round(float(_OFFSETS[i]), 2), round(lights[i], 2)) for i in kept))


def _needed(offsets: Sequence[float], values: Sequence[float], tolerance: float) -> list[int]:
    """Indices of the stops that a piecewise linear ramp needs to stay within `tolerance` (Douglas-Peucker in one dimension)."""
    kept = {0, len(values) - 1}
    spans = [(0, len(values) - 1)]
    while spans:
        first, last = spans.pop()
        slope = (values[last] - values[first]) / (offsets[last] - offsets[first])
        away = [abs(values[place] - values[first] - slope * (offsets[place] - offsets[first])) for place in range(first, last)]
        if max(away) > tolerance:
            worst = first + away.index(max(away))
            kept.add(worst)
            spans += [(first, worst), (worst, last)]
    return sorted(kept)

"""Light on the body: a studio (dark floor, bright horizon, soft boxes overhead) seen in the paint, as black and white over its colour.

The paint itself stays one flat `fill`, so that a film or a colour is one CSS rule; shade is laid over it with its own opacity.
"""

from dataclasses import dataclass

import numpy as np

from configurator.domain.body.records import Points
from configurator.drawing.projection import Projection
from configurator.drawing.surfaces import Surfaces

_BANDS = 14
_STRONGEST = 0.62
_LIGHT = np.array([-0.40, -0.46, 0.79]) / np.linalg.norm([-0.40, -0.46, 0.79])
_MIRROR_HEIGHT = (-1.0, -0.6, -0.3, -0.12, 0.0, 0.10, 0.22, 0.40, 0.62, 0.85, 1.0)
_MIRROR_LIGHT = (0.14, 0.20, 0.28, 0.36, 0.50, 0.68, 0.74, 0.68, 0.63, 0.74, 0.84)
"""Brightness of the studio by the height (sine) at which the mirrored sight line meets it."""


@dataclass(frozen=True)
class Stop:
    offset: float
    light: float
    """-1 black ... 0 the paint itself ... 1 white."""


@dataclass(frozen=True)
class Ramp:
    """A linear gradient across a panel: along x (`upright` False) or y, from `start` to `end` mm in the view's plane."""

    upright: bool
    start: float
    end: float
    stops: tuple[Stop, ...]


def studio_light(normals: Points, toward: Points, points: Points, height_mm: float) -> Points:
    """(n,) brightness 0 ... 1 of paint with unit `normals` seen from `toward`; 0.5 is the paint's own colour."""
    facing = (normals * toward).sum(axis=1)
    mirrored = 2 * facing[:, None] * normals - toward
    shine = np.interp(mirrored[:, 2], _MIRROR_HEIGHT, _MIRROR_LIGHT)
    diffuse = np.clip(normals @ _LIGHT * 0.5 + 0.5, 0, 1) ** 1.2
    near_ground = np.clip(1 - (points[:, 2] - 0.10 * height_mm) / (0.42 * height_mm), 0, 1) ** 1.5
    light = 0.50 * shine + 0.50 * diffuse - 0.15 * near_ground + 0.02
    clipped: Points = np.clip(light, 0, 1)
    return clipped


def ramp(meshes: Surfaces, index: int, view: Projection, height_mm: float) -> Ramp | None:
    """The gradient that explains most of the light on one panel, along the better of the two axes; None where nothing shows."""
    span = meshes.triangle_span(index)
    centres = meshes.vertices[meshes.triangles[span]].mean(axis=1)
    toward = np.broadcast_to(view.toward(centres), centres.shape)
    facing = (meshes.facing[span] * toward).sum(axis=1)
    seen = facing > 0.02
    if not seen.any():
        return None
    light = studio_light(meshes.facing[span][seen], toward[seen], centres[seen], height_mm)
    weight = meshes.areas[span][seen] * (facing[seen] + 0.02)
    plane = view.plane(centres[seen])
    across, upright = (_profile(plane[:, axis], light, weight) for axis in (0, 1))
    return _as_ramp(across, False) if across[3] < 0.75 * upright[3] else _as_ramp(upright, True)


def _profile(place: Points, light: Points, weight: Points) -> tuple[float, float, Points, float]:
    low, high = float(place.min()), float(place.max())
    band = np.minimum(((place - low) / max(high - low, 1e-6) * _BANDS).astype(int), _BANDS - 1)
    total = np.bincount(band, weight, _BANDS)
    filled = np.flatnonzero(total > 0)
    mean = np.interp(np.arange(_BANDS), filled, (np.bincount(band, weight * light, _BANDS)[filled] / total[filled]))
    unexplained = float((weight * (light - mean[band]) ** 2).sum())
    smooth = np.convolve(np.pad(mean, 1, mode="edge"), [0.25, 0.5, 0.25], "valid")
    return low, high, smooth, unexplained


def _as_ramp(profile: tuple[float, float, Points, float], upright: bool) -> Ramp:
    low, high, light, _ = profile
    values = np.clip((light - 0.5) * 1.5, -_STRONGEST, _STRONGEST)
    offsets = (np.arange(_BANDS) + 0.5) / _BANDS
    kept = _needed(offsets, values, 0.025)
    return Ramp(upright, low, high, tuple(Stop(round(float(offsets[i]), 3), round(float(values[i]), 2)) for i in kept))


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
        worst = first + int(away.argmax())
        if away.max() > tolerance:
            kept.add(worst)
            spans += [(first, worst), (worst, last)]
    return sorted(kept)

"""Door mirrors: a painted cap (a superellipsoid open to the rear), the glass in its rim, and the foot on the door skin."""

import numpy as np

from configurator.domain.body.panels import Half
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.scaling import Scaling
from configurator.domain.body.sides import outline
from configurator.domain.body.style import MirrorShape

_AROUND = 28
_RINGS = 8
_CAMERA_POD = MirrorShape(middle_mm=(0.0, 0.0, 0.0), half_mm=(74.0, 84.0, 27.0), sweep=0.32, rise=0.05)
_CAMERA_INWARD_MM = 26.0
_GLASS_INSET_MM = 4.0
_GLASS_SHARE = 0.95
"""The glass stands a little inside the cap's rim and shares no points with it, so that neither shades the other."""


def mirror_halves(shape: MirrorShape, scaling: Scaling, foot: Points, *, camera: bool) -> dict[str, Half]:
    """`foot` (n, 3): the ring on the door skin that the foot stands on, in order."""
    x, y, z = shape.middle_mm
    middle = np.array([float(scaling.x(x)), y * scaling.across, z * scaling.up])
    if camera:
        middle[1] -= _CAMERA_INWARD_MM
        shape = _CAMERA_POD
    cap, lay = _cap(shape, middle)
    rim = cap[-_AROUND:]
    return {
        "mirror": _half(cap, lay, _fan_and_bands(_RINGS), "mirror_glass"),
        "mirror_glass": _half(*_glass(rim), _fan_and_bands(1)[:, ::-1], "mirror"),
        "mirror_foot": _foot(foot, middle, shape),
    }


def _power(value: Points, exponent: float) -> Points:
    return np.sign(value) * np.abs(value) ** exponent


def _cap(shape: MirrorShape, middle: Points) -> tuple[Points, Points]:
    """Vertices from the foremost point in rings back to the rim, and their lay: rings at their true distance from the tip."""
    deep, wide, tall = shape.half_mm
    around = np.linspace(0.0, 2 * np.pi, _AROUND, endpoint=False)
    polar = np.linspace(0.0, np.pi / 2, _RINGS + 1)[1:]
    width = np.sin(polar)[:, None] ** 0.9
    rings = np.stack(
        [
            np.repeat(-deep * np.cos(polar)[:, None] ** 0.9, _AROUND, axis=1),
            wide * width * _power(np.cos(around), 0.8),
            tall * width * _power(np.sin(around), 0.8),
        ],
        axis=-1,
    )
    points = np.vstack([[[-deep, 0.0, 0.0]], rings.reshape(-1, 3)])
    reach = np.linalg.norm(np.diff(np.concatenate([np.broadcast_to(points[0], (1, _AROUND, 3)), rings]), axis=0), axis=2).cumsum(axis=0)
    lay = np.stack([reach * np.cos(around), reach * np.sin(around)], axis=-1).reshape(-1, 2)
    points[:, 0] += shape.sweep * points[:, 1]
    points[:, 2] += shape.rise * points[:, 1]
    return points + middle, np.vstack([[[0.0, 0.0]], lay])


def _glass(rim: Points) -> tuple[Points, Points]:
    middle = rim.mean(axis=0)
    points = np.vstack([middle, middle + (rim - middle) * _GLASS_SHARE]) + np.array([_GLASS_INSET_MM, 0.0, 0.0])
    return points, points[:, 1:]


def _fan_and_bands(rings: int) -> Indices:
    """Triangles of a tip and `rings` rings around it, facing forward."""
    here = np.arange(_AROUND)
    after = (here + 1) % _AROUND
    triangles = [np.stack([np.zeros_like(here), 1 + after, 1 + here], axis=1)]
    for ring in range(rings - 1):
        inner, outer = 1 + ring * _AROUND, 1 + (ring + 1) * _AROUND
        triangles.append(np.stack([inner + here, outer + after, outer + here], axis=1))
        triangles.append(np.stack([inner + here, inner + after, outer + after], axis=1))
    return np.vstack(triangles)


def _foot(ring: Points, middle: Points, shape: MirrorShape) -> Half:
    """A tapering arm from the ring on the door to the housing's lower inner side."""
    deep, wide, tall = shape.half_mm
    inner = middle + np.array([0.25 * deep, -0.55 * wide, -0.62 * tall])
    end = inner + (ring - ring.mean(axis=0)) * [0.55, 0.0, 0.0]
    count = len(ring)
    here = np.arange(count)
    after = (here + 1) % count
    triangles = np.vstack([np.stack([here, after, after + count], axis=1), np.stack([here, after + count, here + count], axis=1)])
    points = np.vstack([ring, end])
    return _half(points, points[:, [0, 2]], triangles, "door_front")


def _half(points: Points, lay: Points, triangles: Indices, beyond: str) -> Half:
    ends = outline(triangles, len(points))
    return Half(points, lay, triangles, ends, (beyond,) * len(ends), folded=False)

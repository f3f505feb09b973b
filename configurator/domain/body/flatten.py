"""Lay a panel flat with the least distortion, as film has to lie before it is stretched on.

As-rigid-as-possible parametrisation, local and global steps in turn (Liu, Zhang, Xu, Gotsman, Gortler 2008, "A local/global approach
to mesh parameterization"; from memory), brought to rest by Anderson's mixing: left to themselves the steps come to rest after a
thousand rounds, and a panel stopped before that looks harder than it is. Lengths in mm; in here places in the plane are complex numbers.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from configurator.domain.body.laplacian import laplacian
from configurator.domain.body.mixing import Mixing
from configurator.domain.body.records import FlatOutline, Indices, Panel, Points
from configurator.domain.body.vectors import cross, dot, lengths, unit

_KEPT_PANELS = 2048
_ROUNDS = 150
_STILL_MM = 1e-2
"""A round that moves no point further ends the work."""
_DEPTH = 10
_SPAN = (0.05, 0.95)
_AFTER, _BEFORE = [1, 2, 0], [2, 0, 1]
"""Of each corner of a triangle the one after it and the one before it."""
Places = NDArray[np.complex128]


@lru_cache(maxsize=_KEPT_PANELS)
def flatten(panel: Panel) -> FlatOutline:
    """The panel laid flat, seen from its outside. A left panel is the mirror image of its right one."""
    if panel.mirror_of is not None:
        twin = flatten(panel.mirror_of)
        return FlatOutline(twin.points * [-1.0, 1.0], twin.strain, (-twin.nose[0], twin.nose[1]))
    triangles = panel.mesh.triangles
    true = _true_triangles(panel.mesh.vertices, triangles)
    points = _settled(_start(panel), triangles, true)
    stretch = _stretches(points, triangles, true)
    return FlatOutline(points, _strain(stretch, true.areas), _nose(panel, points, true))


@dataclass(frozen=True, eq=False)
class _True:
    """Each triangle laid in its own plane: `corners` (m, 3), `areas` (m,) mm2, cotangent `weights` (m, 3) of sides 01, 12, 20."""

    corners: Places
    areas: Points
    weights: Points

    @property
    def sides(self) -> Places:
        """(m, 3) from the end of each side to its start."""
        return self.corners - self.corners[:, _AFTER]


def _true_triangles(vertices: Points, triangles: Indices) -> _True:
    origin, first, second = (vertices[triangles[:, corner]] for corner in range(3))
    along, other = first - origin, second - origin
    length = np.maximum(lengths(along), 1e-9)
    foot = dot(along, other) / length
    height = np.sqrt(np.maximum(dot(other, other) - foot**2, 1e-12))
    corners = np.stack([np.zeros(len(triangles)), length, foot + 1j * height], axis=1)
    doubled = length * height
    sides = corners[:, _AFTER] - corners
    opposite = -(sides[:, _AFTER] * sides[:, _BEFORE].conj()).real / np.maximum(doubled, 1e-9)[:, None]
    return _True(corners, doubled / 2, np.clip(opposite, 0.02, 10.0))


def _start(panel: Panel) -> Points:
    """The mesh's rough lay, turned over where it is seen from the inside."""
    lay = panel.mesh.lay
    if lay is None:
        raise ValueError(f"{panel.id}: no lay to start from")
    corners = lay[panel.mesh.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    turn = first[:, 0] @ second[:, 1] - first[:, 1] @ second[:, 0]
    return lay * ([1.0, 1.0] if turn >= 0 else [-1.0, 1.0])


def _settled(start: Points, triangles: Indices, true: _True) -> Points:
    """Alternate: turn each true triangle to fit best, then move the points to fit all turned triangles best."""
    system = laplacian(len(start), triangles, true.weights)
    pulling = true.weights * true.sides
    mixing, points = Mixing(_DEPTH), np.ascontiguousarray(start, dtype=np.float64)
    for _ in range(_ROUNDS):
        moved = system.solve(_pull(_as_places(points), triangles, pulling))
        done = np.abs(moved - points).max() < _STILL_MM
        points = moved if done else mixing.next(points.ravel(), moved.ravel()).reshape(-1, 2)
        if done:
            break
    return points


def _as_places(points: Points) -> Places:
    return np.ascontiguousarray(points).view(np.complex128)[:, 0]


def _pull(places: Places, triangles: Indices, pulling: Places) -> Points:
    """Right-hand side (n, 2) of the global step: the weighted sides of the true triangles, each triangle's turned by its best rotation."""
    corners = places[triangles]
    together = ((corners - corners[:, _AFTER]) * pulling.conj()).sum(axis=1)
    turned = pulling * (together / np.maximum(np.abs(together), 1e-12))[:, None]
    pulls, at = (turned - turned[:, _BEFORE]).ravel(), triangles.ravel()
    pulled = [np.bincount(at, part, len(places)) for part in (pulls.real, pulls.imag)]
    target = np.stack(pulled, axis=1).astype(np.float64, copy=False)
    target[0] += places[0].real, places[0].imag
    return target


def _stretches(points: Points, triangles: Indices, true: _True) -> Points:
    """(m, 2): principal stretches from flat to true, larger first.

    A linear map of the plane is z -> a z + b z* for complex a and b; it stretches by |a| + |b| and |a| - |b|.
    """
    corners = _as_places(points)[triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = (first.conj() * second).imag
    area = np.where(np.abs(area) < 1e-9, 1e-9, area)
    to_first, to_second = true.corners[:, 1], true.corners[:, 2]
    turning = (to_second * first.conj() - to_first * second.conj()) / (2j * area)
    folding = (to_first * second - to_second * first) / (2j * area)
    a, b = np.abs(turning), np.abs(folding)
    return np.stack([a + b, np.abs(a - b)], axis=1)


def _strain(stretch: Points, areas: Points) -> float:
    """Span between the area-weighted 5 % quantile of the lesser and the 95 % quantile of the greater stretch."""
    least = _quantile(stretch[:, 1], areas, _SPAN[0])
    most = _quantile(stretch[:, 0], areas, _SPAN[1])
    return float(most / least - 1.0)


def _quantile(values: Points, weights: Points, share: float) -> float:
    order = np.argsort(values, kind="stable")
    cumulated = np.cumsum(weights[order]) / weights.sum()
    return float(values[order][np.searchsorted(cumulated, share)])


def _nose(panel: Panel, points: Points, true: _True) -> tuple[float, float]:
    """Unit vector in the flat plane along which the car's nose lies.

    On each triangle it is the direction forward along the profile (down over the nose, up over the tail; straight forward on
    the sides), carried to the plane by the triangle's own map; then the area-weighted mean.
    """
    corners = panel.mesh.vertices[panel.mesh.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    across = cross(first, second)
    normal = unit(across)
    upright = np.abs(normal[:, 1:2])
    along = np.stack([-normal[:, 2], np.zeros(len(normal)), normal[:, 0]], axis=1)
    sideways = np.array([-1.0, 0.0, 0.0]) + normal[:, :1] * normal
    direction = along + upright * sideways
    shares = np.stack([dot(cross(direction, second), across), dot(cross(first, direction), across)], axis=1)
    shares /= np.maximum(dot(across, across), 1e-9)[:, None]
    flat = points[panel.mesh.triangles]
    mapped = shares[:, :1] * (flat[:, 1] - flat[:, 0]) + shares[:, 1:] * (flat[:, 2] - flat[:, 0])
    mean = (mapped * true.areas[:, None]).sum(axis=0)
    mean = mean / max(float(np.linalg.norm(mean)), 1e-12)
    return float(mean[0]), float(mean[1])

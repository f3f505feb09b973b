"""Lay a panel flat with the least distortion, as film has to lie before it is stretched on.

As-rigid-as-possible parametrisation, local and global steps in turn (Liu, Zhang, Xu, Gotsman, Gortler 2008, "A local/global approach
to mesh parameterization"; from memory). Lengths in mm.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from configurator.domain.body.layered import LayeredLaplacian
from configurator.domain.body.records import FlatOutline, Indices, Panel, Points

_KEPT_PANELS = 2048
_ROUNDS = 60
_STILL_MM = 2e-2
"""A round that moves no point further ends the work."""
_SPAN = (0.05, 0.95)
_NEXT = ((0, 1), (1, 2), (2, 0))


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
    """Each triangle laid in its own plane: `corners` (m, 3, 2), `areas` (m,) mm2, cotangent `weights` (m, 3) of sides 01, 12, 20."""

    corners: Points
    areas: Points
    weights: Points


def _true_triangles(vertices: Points, triangles: Indices) -> _True:
    origin, first, second = (vertices[triangles[:, corner]] for corner in range(3))
    along, other = first - origin, second - origin
    length = np.maximum(np.linalg.norm(along, axis=1), 1e-9)
    foot = (along * other).sum(axis=1) / length
    height = np.sqrt(np.maximum((other**2).sum(axis=1) - foot**2, 1e-12))
    corners = np.zeros((len(triangles), 3, 2))
    corners[:, 1, 0], corners[:, 2, 0], corners[:, 2, 1] = length, foot, height
    doubled = length * height
    sides = [corners[:, b] - corners[:, a] for a, b in _NEXT]
    cotangents = [-(sides[(k + 1) % 3] * sides[(k + 2) % 3]).sum(axis=1) / np.maximum(doubled, 1e-9) for k in range(3)]
    return _True(corners, doubled / 2, np.clip(np.stack(cotangents, axis=1), 0.02, 10.0))


def _start(panel: Panel) -> Points:
    """The mesh's rough lay, turned over where it is seen from the inside."""
    lay = panel.mesh.lay
    if lay is None:
        raise ValueError(f"{panel.id}: no lay to start from")
    corners = lay[panel.mesh.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    turn = first[:, 0] @ second[:, 1] - first[:, 1] @ second[:, 0]
    return lay * ([1.0, 1.0] if turn >= 0 else [-1.0, 1.0])


def _settled(points: Points, triangles: Indices, true: _True) -> Points:
    """Alternate: turn each true triangle to fit best, then move the points to fit all turned triangles best."""
    laplacian = LayeredLaplacian(len(points), triangles, true.weights)
    for _ in range(_ROUNDS):
        moved = laplacian.solve(_pull(points, triangles, true))
        done = np.abs(moved - points).max() < _STILL_MM
        points = moved
        if done:
            break
    return points


def _pull(points: Points, triangles: Indices, true: _True) -> Points:
    """Right-hand side of the global step: the sides of the true triangles, each turned by its best rotation."""
    cosine, sine = _rotations(points, triangles, true)
    target = np.zeros_like(points)
    for side, (a, b) in enumerate(_NEXT):
        span = true.corners[:, a] - true.corners[:, b]
        turned = np.stack([cosine * span[:, 0] - sine * span[:, 1], sine * span[:, 0] + cosine * span[:, 1]], axis=1)
        turned *= true.weights[:, side, None]
        for axis in (0, 1):
            target[:, axis] += np.bincount(triangles[:, a], turned[:, axis], len(points))
            target[:, axis] -= np.bincount(triangles[:, b], turned[:, axis], len(points))
    target[0] += points[0]
    return target


def _rotations(points: Points, triangles: Indices, true: _True) -> tuple[Points, Points]:
    """Cosine and sine of the rotation that best carries each true triangle to where it lies now."""
    together, across = np.zeros(len(triangles)), np.zeros(len(triangles))
    for side, (a, b) in enumerate(_NEXT):
        now, span = points[triangles[:, a]] - points[triangles[:, b]], true.corners[:, a] - true.corners[:, b]
        together += true.weights[:, side] * (now * span).sum(axis=1)
        across += true.weights[:, side] * (span[:, 0] * now[:, 1] - span[:, 1] * now[:, 0])
    length = np.maximum(np.hypot(together, across), 1e-12)
    return together / length, across / length


def _stretches(points: Points, triangles: Indices, true: _True) -> Points:
    """(m, 2): principal stretches from flat to true, larger first."""
    flat = points[triangles]
    now = np.stack([flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]], axis=-1)
    then = np.stack([true.corners[:, 1], true.corners[:, 2]], axis=-1)
    return np.linalg.svd(then @ np.linalg.inv(now + 1e-9 * np.eye(2)), compute_uv=False)


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
    normal = np.cross(first, second)
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-12)
    forward = np.array([-1.0, 0.0, 0.0])
    along = np.cross(normal, [0.0, 1.0, 0.0])
    sideways = forward - (normal @ forward)[:, None] * normal
    direction = along + np.abs(normal[:, 1:2]) * sideways
    frame = np.stack([first, second], axis=-1)
    shares = (np.linalg.pinv(frame) @ direction[:, :, None])[:, :, 0]
    flat = points[panel.mesh.triangles]
    mapped = shares[:, :1] * (flat[:, 1] - flat[:, 0]) + shares[:, 1:] * (flat[:, 2] - flat[:, 0])
    mean = (mapped * true.areas[:, None]).sum(axis=0)
    mean = mean / max(float(np.linalg.norm(mean)), 1e-12)
    return float(mean[0]), float(mean[1])

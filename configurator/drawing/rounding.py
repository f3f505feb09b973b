"""Finer triangles for curved panels: so that the horizon of a coarse mesh is drawn as the smooth line that it stands for.

Each triangle becomes four. A side's new middle is drawn onto the planes that touch the surface in its two ends (Phong tessellation:
Boubekeur and Alexa 2008, "Phong Tessellation"; from memory).
"""

import numpy as np

from configurator.domain.body.records import Indices, Points
from configurator.domain.body.vectors import dot, unit

_ROUNDNESS = 0.5
"""How far a middle is drawn toward the touching planes: halfway, which is right on a sphere. (A chord's middle lies R t^2 / 2 inside, its
images on the planes as much outside.)"""


def rounded_once(vertices: Points, normals: Points, triangles: Indices) -> tuple[Points, Points, Indices]:
    """Vertices (n, 3) mm, unit normals (n, 3) and triangles (m, 3) -> the same surface in 4m triangles; old vertices keep their numbers."""
    sides = np.sort(np.stack([triangles, np.roll(triangles, -1, axis=1)], axis=2).reshape(-1, 2), axis=1)
    keys, place = np.unique(sides[:, 0] * len(vertices) + sides[:, 1], return_inverse=True)
    start, end = keys // len(vertices), keys % len(vertices)
    middle = (vertices[start] + vertices[end]) / 2
    drawn = [_onto_plane(middle, vertices[tip], normals[tip]) for tip in (start, end)]
    middle = (1 - _ROUNDNESS) * middle + _ROUNDNESS * (drawn[0] + drawn[1]) / 2
    turned = unit(normals[start] + normals[end])
    a, b, c = triangles.T
    ab, bc, ca = (len(vertices) + place).reshape(-1, 3).T
    finer = [np.stack(corners, axis=1) for corners in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
    return np.vstack([vertices, middle]), np.vstack([normals, turned]), np.stack(finer, axis=1).reshape(-1, 3)


def _onto_plane(points: Points, foot: Points, normal: Points) -> Points:
    return np.asarray(points - dot(points - foot, normal)[:, None] * normal)

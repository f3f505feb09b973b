"""A second method for hidden surfaces: what a sight line meets first, triangle by triangle, without any painter's order."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from configurator.domain.body.records import Body, Layer
from configurator.drawing.projection import Projection


class Met(NamedTuple):
    """The panel that is nearest to the eye, or None; and the cosine between its outside and the sight line (negative: met from inside)."""

    panel: str | None
    facing: float


def first_met(body: Body, view: Projection, places: NDArray[np.float64]) -> list[Met]:
    """For each place (n, 2) in the view's plane what a sight line through it meets first.

    Underside and extra zones are left out: the first is drawn apart, the second lie on their panels.
    """
    panels = [panel for panel in body.panels.values() if panel.layer not in (Layer.UNDER, Layer.ZONE)]
    corners = np.vstack([panel.mesh.vertices[panel.mesh.triangles] for panel in panels])
    owner = np.repeat(np.arange(len(panels)), [len(panel.mesh.triangles) for panel in panels])
    plane = view.plane(corners.reshape(-1, 3)).reshape(-1, 3, 2)
    depth = view.depth(corners.reshape(-1, 3)).reshape(-1, 3)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing = (normal * view.toward(corners[:, 0])).sum(axis=1) / np.maximum(np.linalg.norm(normal, axis=1), 1e-9)
    first, second = plane[:, 1] - plane[:, 0], plane[:, 2] - plane[:, 0]
    cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    usable = np.abs(cross) > 1e-6
    safe = np.where(usable, cross, 1.0)
    met: list[Met] = []
    for place in places:
        offset = place - plane[:, 0]
        s = (offset[:, 0] * second[:, 1] - offset[:, 1] * second[:, 0]) / safe
        t = (first[:, 0] * offset[:, 1] - first[:, 1] * offset[:, 0]) / safe
        hit = np.flatnonzero(usable & (s >= 0) & (t >= 0) & (s + t <= 1))
        if not len(hit):
            met.append(Met(None, 1.0))
            continue
        away = depth[hit, 0] * (1 - s[hit] - t[hit]) + depth[hit, 1] * s[hit] + depth[hit, 2] * t[hit]
        nearest = hit[away.argmin()]
        met.append(Met(panels[owner[nearest]].id, float(facing[nearest])))
    return met

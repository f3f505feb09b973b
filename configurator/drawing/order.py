"""Painter's order: which panel is laid over which in a view.

A panel takes its place by its distance from the eye. What sits in or on a body panel (lamps, grille, handles, vents, spoiler, rails)
takes its host's place, just after it: its own few millimetres of height say nothing about what lies between it and the eye.
"""

from functools import lru_cache

import numpy as np

from configurator.domain.body.records import Body, Layer, Points, Side
from configurator.drawing.projection import Projection, near_side
from configurator.drawing.surfaces import Surfaces, surfaces

_GUESTS = (Layer.INSET, Layer.FITTING, Layer.ZONE)
_RANK = {layer: rank for rank, layer in enumerate(Layer)}


@lru_cache(maxsize=48)
def hosts(body: Body) -> tuple[int, ...]:
    """For each panel the index of the panel whose place it takes: its nearest body panel, or itself."""
    meshes = surfaces(body)
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_vertex))
    bodywork = np.array([panel.layer is Layer.BODY for panel in meshes.panels])[owner]
    standing, owners = meshes.vertices[bodywork], owner[bodywork]
    places = list(range(len(meshes.panels)))
    for index, panel in enumerate(meshes.panels):
        if panel.layer in _GUESTS:
            middle = panel.mesh.vertices.mean(axis=0)
            places[index] = int(owners[((standing - middle) ** 2).sum(axis=1).argmin()])
    return tuple(places)


def painters_order(body: Body, view: Projection) -> list[int]:
    """Indices of all panels from the farthest to the nearest."""
    meshes = surfaces(body)
    depth = _mean_depths(meshes, view)
    place = hosts(body)

    def key(index: int) -> tuple[int, float, int, float]:
        panel = meshes.panels[index]
        return _stage(panel.layer, panel.side, view.name), -round(depth[place[index]], 3), _RANK[panel.layer], -round(depth[index], 3)

    return sorted(range(len(meshes.panels)), key=key)


def _stage(layer: Layer, side: Side, view: str) -> int:
    """Window frames behind all else; a mirror that nothing can hide (the near one, both from above) before all else."""
    if layer is Layer.UNDER:
        return 0
    return 2 if layer is Layer.MIRROR and (view == "top" or side.value == near_side(view)) else 1


def _mean_depths(meshes: Surfaces, view: Projection) -> Points:
    """(panels,) mean distance of each panel's facing triangles; of all of them where none faces the eye."""
    centres = meshes.vertices[meshes.triangles].mean(axis=1)
    facing = np.maximum((meshes.facing * view.toward(centres)).sum(axis=1), 1e-6) * meshes.areas
    starts = meshes.first_triangle[:-1]
    return np.add.reduceat(facing * view.depth(centres), starts) / np.add.reduceat(facing, starts)

"""Painter's order: which panel is laid over which in a view.

A panel takes its place by its distance from the eye. What sits in or on a body panel (lamps, grille, handles, vents, spoiler, rails)
takes its host's place, just after it: its own few millimetres of height say nothing about what lies between it and the eye.
"""

from functools import lru_cache

import numpy as np

from configurator.domain.body.records import Body, Layer, Panel, Points, Side, Surface
from configurator.drawing.projection import Projection, near_side
from configurator.drawing.surfaces import nearest_rows, surfaces

_HOST_LAYERS = {"inset": (Layer.BODY, Layer.GLASS), "fitting": (Layer.BODY,), "zone": (Layer.BODY,), "mirror": (Layer.MIRROR,)}
"""What a panel of a layer may sit in or on."""
_RANK = {layer: rank for rank, layer in enumerate(Layer)}
_ON_SKIN_MM = 24.0


@lru_cache(maxsize=48)
def hosts(body: Body) -> tuple[int, ...]:
    """For each panel the index of the panel whose place it takes: its nearest body panel (a mirror's glass: its housing), or itself."""
    meshes = surfaces(body)
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_vertex))
    places = list(range(len(meshes.panels)))
    for wanted in _HOST_LAYERS.values():
        guests = [index for index, panel in enumerate(meshes.panels) if _host_layers(panel) is wanted]
        able = np.array([panel.layer in wanted and _host_layers(panel) is None for panel in meshes.panels])
        standing = np.flatnonzero(able[owner])
        if guests and len(standing):
            middles = np.array([meshes.panels[index].mesh.vertices.mean(axis=0) for index in guests])
            for guest, nearest in zip(guests, nearest_rows(middles, meshes.vertices[standing]).tolist(), strict=True):
                places[guest] = int(owner[standing[nearest]])
    return tuple(places)


def _host_layers(panel: Panel) -> tuple[Layer, ...] | None:
    """The layers among whose panels the host is looked for; None for a panel that stands for itself."""
    if panel.layer is Layer.MIRROR:
        return _HOST_LAYERS["mirror"] if panel.surface is Surface.OTHER_GLASS else None
    return _HOST_LAYERS.get(panel.layer.value)


def lies_on_skin(body: Body, index: int) -> bool:
    """Whether a zone lies on the outside of its host; a door sill lies behind the closed door."""
    meshes = surfaces(body)
    host = hosts(body)[index]
    skin, zone = meshes.vertices[meshes.vertex_span(host)], meshes.vertices[meshes.vertex_span(index)]
    nearest = ((skin - zone.mean(axis=0)) ** 2).sum(axis=1).argmin()
    depth = (skin[nearest] - zone.mean(axis=0)) @ meshes.normals[meshes.vertex_span(host)][nearest]
    return bool(depth < _ON_SKIN_MM)


def painters_order(body: Body, view: Projection) -> list[int]:
    """Indices of all panels from the farthest to the nearest."""
    meshes = surfaces(body)
    depth = view.depth(_middles(body))
    place = hosts(body)

    def key(index: int) -> tuple[int, float, int, int, float]:
        panel = meshes.panels[index]
        stage = _stage(panel.layer, panel.side, view.name)
        is_guest = int(place[index] != index)
        return stage, -round(depth[place[index]], 3), is_guest, _RANK[panel.layer], -round(depth[index], 3)

    return sorted(range(len(meshes.panels)), key=key)


def _stage(layer: Layer, side: Side, view: str) -> int:
    """The underside behind all else; before all else what nothing can hide: the near mirror, and from above every mirror and fitting."""
    if layer is Layer.UNDER:
        return 0
    unhidden = layer in (Layer.MIRROR, Layer.FITTING) if view == "top" else layer is Layer.MIRROR and side.value == near_side(view)
    return 2 if unhidden else 1


@lru_cache(maxsize=48)
def _middles(body: Body) -> Points:
    """(panels, 3) the middle of each panel's surface."""
    meshes = surfaces(body)
    weighted = meshes.vertices[meshes.triangles].mean(axis=1) * meshes.areas[:, None]
    starts = meshes.first_triangle[:-1]
    return np.asarray(np.add.reduceat(weighted, starts) / np.add.reduceat(meshes.areas, starts)[:, None], dtype=np.float64)

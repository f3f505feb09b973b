"""Painter's order: which panel is laid over which in a view.

A panel takes its place by its distance from the eye. What sits in or on a body panel (lamps, grille, handles, vents, spoiler, rails)
takes its host's place, just after it: its own few millimetres of height say nothing about what lies between it and the eye.
"""

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from configurator.domain.body.records import Body, Layer, Panel, Points, Side, Surface
from configurator.domain.body.vectors import lengths
from configurator.drawing.projection import Projection, near_side
from configurator.drawing.surfaces import SYMMETRIC_VIEWS, nearest_rows, surfaces_for, twins

_HOST_LAYERS = {"inset": (Layer.BODY, Layer.GLASS), "fitting": (Layer.BODY,), "zone": (Layer.BODY,), "mirror": (Layer.MIRROR,)}
"""What a panel of a layer may sit in or on."""
_RANK = {layer: rank for rank, layer in enumerate(Layer)}
_HANGING = frozenset({"front_plate", "rear_plate"})
"""Insets that hang before their host and before what else lies in it."""
_ON_SKIN_MM = 48.0


@lru_cache(maxsize=48)
def hosts(body: Body) -> Mapping[str, str]:
    """For each panel the panel whose place it takes: its nearest body panel (a mirror's glass: its housing), or itself.

    Looked for among the panels that have no twin; the host of a left-hand mirror image is its twin's host on the left.
    """
    meshes = surfaces_for(body, SYMMETRIC_VIEWS[0])
    vertex_owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_vertex))
    places = {panel.id: panel.id for panel in body.panels.values()}
    for wanted in _HOST_LAYERS.values():
        guests = [panel for panel in meshes.panels if _host_layers(panel) is wanted]
        able = np.array([panel.layer in wanted and _host_layers(panel) is None for panel in meshes.panels])
        standing = np.flatnonzero(able[vertex_owner])
        if guests and len(standing):
            nearest = nearest_rows(np.array([_middle(panel) for panel in guests]), meshes.vertices[standing])
            places |= {guest.id: meshes.panels[vertex_owner[standing[row]]].id for guest, row in zip(guests, nearest.tolist(), strict=True)}
    for panel_id, twin in twins(body).items():
        if _host_layers(body.panels[panel_id]) is not None:
            across = f"{places[twin].removesuffix('_right')}_left"
            places[panel_id] = across if across in body.panels else places[twin]
    return places


def _host_layers(panel: Panel) -> tuple[Layer, ...] | None:
    """The layers among whose panels the host is looked for; None for a panel that stands for itself."""
    if panel.layer is Layer.MIRROR:
        return _HOST_LAYERS["mirror"] if panel.surface is Surface.OTHER_GLASS else None
    return _HOST_LAYERS.get(panel.layer.value)


def _middle(panel: Panel) -> Points:
    return np.asarray(panel.mesh.vertices.mean(axis=0), dtype=np.float64)


@lru_cache(maxsize=48)
def _middles(body: Body) -> Points:
    """(panels, 3) the middle of each panel."""
    return np.array([_middle(panel) for panel in body.panels.values()])


@lru_cache(maxsize=1024)
def lies_on_skin(zone: Panel, host: Panel) -> bool:
    """Whether a zone lies on its host; a door sill lies behind the closed door. Measured between vertices, so to the mesh's spacing."""
    nearest = host.mesh.vertices[nearest_rows(zone.mesh.vertices, host.mesh.vertices)]
    return bool(np.median(lengths(zone.mesh.vertices - nearest)) < _ON_SKIN_MM)


def painters_order(body: Body, view: Projection) -> list[str]:
    """Ids of all panels from the farthest to the nearest."""
    panels = body.panels
    depth = dict(zip(panels, view.depth(_middles(body)).round(3).tolist(), strict=True))
    place = hosts(body)

    def key(panel: str) -> tuple[int, float, int, int, bool, float]:
        layer, host = panels[panel].layer, place[panel]
        stage = _stage(layer, panels[panel].side, view.name)
        return stage, -depth[host], int(host != panel), _RANK[layer], panel in _HANGING, -depth[panel]

    return sorted(panels, key=key)


def _stage(layer: Layer, side: Side, view: str) -> int:
    """The underside behind all else; before all else what nothing can hide: the near mirror, and from above every mirror and fitting."""
    if layer is Layer.UNDER:
        return 0
    unhidden = layer in (Layer.MIRROR, Layer.FITTING) if view == "top" else layer is Layer.MIRROR and side.value == near_side(view)
    return 2 if unhidden else 1

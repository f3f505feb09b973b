"""Small things on the body: feature lines, mirror feet and mirror glass, lamp and grille ornaments."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Layer, Panel, Points
from configurator.drawing.colour import darkened
from configurator.drawing.curves import line_data, path_data, polygon_data
from configurator.drawing.ornaments import LOOKS, Look, ornaments
from configurator.drawing.rings import Rings
from configurator.drawing.scene import Scene, Shape
from configurator.drawing.surfaces import surfaces
from configurator.drawing.svg import Element, group, path

_SEEN = 0.12
"""A feature line shows where the surface under it faces the eye by more than this cosine."""
_STROKES = ((17, 0.07), (10, 0.11), (4, 0.20))
"""Width in mm and opacity of nested strokes: a soft line without a blur filter."""


@dataclass(frozen=True, eq=False)
class SurfaceLine:
    kind: str
    points: Points
    normals: Points


@lru_cache(maxsize=48)
def surface_lines(body: Body) -> Mapping[int, tuple[SurfaceLine, ...]]:
    """The body's feature lines by the index of the panel that they run on, with the panel's normals along them."""
    meshes = surfaces(body)
    owner = np.repeat(np.arange(len(meshes.panels)), np.diff(meshes.first_vertex))
    bodywork = np.flatnonzero(np.array([panel.layer is Layer.BODY for panel in meshes.panels])[owner])
    standing = meshes.vertices[bodywork]
    found: dict[int, list[SurfaceLine]] = {}
    for line in body.lines:
        away = ((line.points[:, None] - standing[None]) ** 2).sum(axis=2)
        nearest = bodywork[away.argmin(axis=1)]
        panel = int(np.bincount(owner[nearest]).argmax())
        found.setdefault(panel, []).append(SurfaceLine(line.kind, line.points, meshes.normals[nearest]))
    return {panel: tuple(lines) for panel, lines in found.items()}


def feature_lines(scene: Scene, shape: Shape) -> list[Element]:
    marks = []
    for line in surface_lines(scene.body).get(shape.index, ()):
        seen = (line.normals * scene.view.toward(line.points)).sum(axis=1) > _SEEN
        if seen.sum() < 3:
            continue
        data = line_data([scene.view.plane(line.points[seen])])
        if line.kind == "track":
            marks.append(path(data, fill="none", stroke="#0b1418", stroke_opacity=0.75, stroke_width=9))
        else:
            marks += _soft(data, "#0b1418", 0) + _soft(data, "#ffffff", -9)
    return marks


def _soft(data: str, colour: str, lifted: int) -> list[Element]:
    return [
        group(
            *(path(data, stroke_width=width, stroke_opacity=opacity) for width, opacity in _STROKES),
            fill="none",
            stroke=colour,
            stroke_linecap="round",
            transform=f"translate(0 {lifted})" if lifted else None,
        )
    ]


def ornament_marks(scene: Scene, panel: Panel, transmission: float) -> list[Element]:
    """A panel's ornaments in this view; what is light in them is darkened by the film over the lamp."""
    marks = []
    for ornament in ornaments(scene.body).get(panel.id, ()):
        plane = scene.view.plane(ornament.points)
        look = LOOKS[ornament.look]
        if not ornament.closed:
            marks.append(path(line_data([plane], tolerance_mm=0.8), **_painted(look, transmission)))
        elif abs(float(Rings.of([plane]).areas[0])) > 80:
            marks.append(path(path_data([plane], tolerance_mm=0.8), **_painted(look, transmission)))
    return marks


def _painted(look: Look, transmission: float) -> dict[str, str | float | None]:
    def seen(colour: str | None) -> str | None:
        return darkened(colour, transmission) if colour and look.lit and transmission < 1 else colour

    return {
        "fill": seen(look.fill) or "none",
        "stroke": seen(look.stroke),
        "stroke_width": look.width_mm or None,
        "opacity": look.opacity if look.opacity < 1 else None,
    }


_FOOT_GAP_MM = 25.0


@lru_cache(maxsize=48)
def mirror_feet(body: Body) -> Mapping[str, Points]:
    """Panel id of each mirror that stands off the body -> corner points (n, 3) of the foot that carries it."""
    feet = {}
    for mirror in (panel for panel in body.panels.values() if panel.layer is Layer.MIRROR):
        vertices = mirror.mesh.vertices
        inner = vertices[np.argsort(np.abs(vertices[:, 1]))[: max(4, len(vertices) // 12)]].mean(axis=0)
        near = [
            panel.mesh.vertices for panel in body.panels.values() if panel.side is mirror.side and panel.layer in (Layer.BODY, Layer.UNDER)
        ]
        if not near:
            continue
        skin = np.vstack(near)
        at = skin[((skin - inner) ** 2).sum(axis=1).argmin()]
        if np.linalg.norm(at - inner) > _FOOT_GAP_MM:
            outer = inner + np.array([8.0, 0.35 * (inner[1] - at[1]), -6.0])
            root = at + np.array([-6.0, 0.0, -4.0])
            feet[mirror.id] = np.vstack([_box(outer, (26, 4, 24)), _box(root, (40, 8, 28))])
    return feet


def _box(middle: Points, half: tuple[float, float, float]) -> Points:
    signs = np.array(np.meshgrid([-1, 1], [-1, 1], [-1, 1])).reshape(3, -1).T
    corners: Points = middle + signs * np.array(half)
    return corners


def mirror_foot(scene: Scene, mirror_id: str) -> list[Element]:
    corners = mirror_feet(scene.body).get(mirror_id)
    if corners is None:
        return []
    hull = shapely.buffer(shapely.MultiPoint(scene.view.plane(corners)).convex_hull, 8, quad_segs=3)
    return [path(polygon_data(hull, tolerance_mm=1), fill="#1b2023", stroke="#0b0e10", stroke_width=3)]


def mirror_glass(scene: Scene, panel: Panel, ids: str) -> list[Element]:
    """The mirror's own glass, where the rim of its housing is open toward the eye."""
    marks = []
    for loop in panel.loops:
        ring = panel.mesh.vertices[loop.indices]
        plane = scene.view.plane(ring)
        if _newell(ring) @ scene.view.toward(ring).mean(axis=0) < -0.2 * np.linalg.norm(_newell(ring)):
            area = shapely.Polygon(plane)
            glass = shapely.buffer(shapely.buffer(area, 0), -10)
            marks.append(path(polygon_data(area, tolerance_mm=1), fill="#18232a"))
            marks.append(path(polygon_data(glass, tolerance_mm=1), fill=f"url(#{ids}glass-{scene.view.name})"))
    return marks


def _newell(ring: Points) -> Points:
    """Twice the vector area of a ring in space; it points out of a mesh that the ring bounds counter-clockwise."""
    vector: Points = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
    return vector

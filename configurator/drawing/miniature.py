"""The car as a card shows it: a few flat shapes that stay legible at 100 px, with what is covered filled in."""

from collections.abc import Callable, Collection, Mapping

import numpy as np
import shapely

from configurator.domain.body.records import Body, Layer, Surface
from configurator.drawing.curves import path_data, polygon_rings
from configurator.drawing.frame import ViewBox
from configurator.drawing.mending import grown, joined
from configurator.drawing.patterns import coarse
from configurator.drawing.scene import Scene, Shape, scene
from configurator.drawing.svg import Element, document, group, path, use

_TOLERANCE_MM = 9.0
_DARK = (Surface.OTHER_GLASS, Surface.WINDSHIELD_GLASS, Surface.TEXTURED_PLASTIC, Surface.FABRIC)
_MARGIN_MM = 130
_CLOSED_MM = 9.0
_LEAST_LINED_MM2 = 120_000.0


def miniature(body: Body, covered: Collection[str], parts: Mapping[str, ViewBox], *, label: str, ids: str, width_px: int) -> str:
    """The left side. `parts`: panel id -> the box (x, y, width, height, mm in the view) that its film keeps to.

    An empty `label` hides it from screen readers: the card's own text says it all.
    """
    drawn = scene(body, "left")
    film = _outline(_covered(drawn, covered, parts))
    shell = _outline([drawn.silhouette])
    marks = [
        Element("defs", coarse(f"{ids}film"), _wheel(body, ids)),
        path(shell, class_="skin", fill="#cdd6d8"),
        path(film, class_="mini-film", fill="#00656b"),
        path(film, fill=f"url(#{ids}film)"),
        path(_outline(_areas(drawn, lambda shape: shape.panel.surface in _DARK)), fill="#2b3840"),
        path(_outline(_areas(drawn, lambda shape: shape.panel.surface is Surface.LENS)), fill="#8c969b"),
        path(_shut_lines(drawn), class_="mini-line", fill="none", stroke="#16242c", stroke_width=12, stroke_opacity=0.55),
        path(shell, class_="mini-rim", fill="none", stroke="#16242c", stroke_width=24),
        *(use(f"{ids}wheel", x=round(wheel.x_mm), y=round(-wheel.tyre_radius_mm)) for wheel in body.wheels),
    ]
    box = _box(drawn)
    height = round(width_px * box[3] / box[2], 1)
    named: dict[str, str] = {"role": "img", "aria_label": label} if label else {"aria_hidden": "true"}
    shown = [mark for mark in marks if mark.attribs.get("d") != ""]
    return document(*shown, view_box=box, width=width_px, height=height, class_="car-drawing miniature", **named).to_string()


def _box(drawn: Scene) -> ViewBox:
    length, height = drawn.body.size.length_mm, -drawn.silhouette.bounds[1]
    return -_MARGIN_MM, -round(height) - _MARGIN_MM, round(length) + 2 * _MARGIN_MM, round(height) + 2 * _MARGIN_MM


def _areas(drawn: Scene, wanted: Callable[[Shape], bool]) -> list[shapely.Geometry]:
    return [drawn.visible[shape.panel.id] for shape in drawn.shapes if shape.panel.id in drawn.visible and wanted(shape)]


def _covered(drawn: Scene, covered: Collection[str], parts: Mapping[str, ViewBox]) -> list[shapely.Geometry]:
    whole = _areas(drawn, lambda shape: shape.panel.id in covered and shape.panel.id not in parts)
    seen = [(drawn.visible[id], parts[id]) for id in parts if id in covered and id in drawn.visible]
    return whole + [shapely.intersection(area, shapely.box(x, y, x + width, y + height)) for area, (x, y, width, height) in seen]


def _outline(areas: list[shapely.Geometry]) -> str:
    """Neighbouring areas as one, their shut lines closed."""
    area = grown([joined(grown(areas, _CLOSED_MM))], -_CLOSED_MM)[0] if areas else shapely.Polygon()
    return path_data(polygon_rings(area, least_area_mm2=2500), tolerance_mm=_TOLERANCE_MM)


def _shut_lines(drawn: Scene) -> str:
    doors = [shape.region for shape in drawn.shapes if shape.panel.layer is Layer.BODY and shape.region.area > _LEAST_LINED_MM2]
    return path_data([ring for door in doors for ring in polygon_rings(door)], tolerance_mm=_TOLERANCE_MM)


def _wheel(body: Body, ids: str) -> Element:
    """Tyre, rim and spokes, as much as is seen at a few pixels."""
    wheel = body.wheels[0]
    tyre, rim = round(wheel.tyre_radius_mm), round(wheel.rim_radius_mm)
    spokes = "".join(f"M0 0L{round(rim * np.sin(turn))} {round(-rim * np.cos(turn))}" for turn in np.arange(5) * 2 * np.pi / 5)
    return group(
        Element("circle", r=tyre + 26, fill="#16242c"),
        Element("circle", r=tyre, fill="#23292c"),
        Element("circle", r=rim, fill="#4a5359"),
        path(spokes, stroke="#c6ced2", stroke_width=44),
        Element("circle", r=rim, fill="none", stroke="#c6ced2", stroke_width=30),
        id=f"{ids}wheel",
    )

"""What carries the body: ground and its shadow, underside, wheel housings, wheels."""

import numpy as np
import shapely

from configurator.domain.body.records import Body, Points, Wheel
from configurator.drawing.curves import path_data, polygon_data
from configurator.drawing.projection import THREE_QUARTER_VIEWS, near_side
from configurator.drawing.scene import Scene
from configurator.drawing.svg import Element, group, number, path, use

_DARK = "#0c0f11"
_UNDERSIDE = "#14181a"


def sill_height_mm(body: Body) -> float:
    """Height of the body's lower edge between the wheels."""
    rockers = [panel.mesh.vertices[:, 2].min() for panel in body.panels.values() if panel.id.startswith("rocker")]
    return float(min(rockers, default=0.15 * body.size.height_mm))


def shadow_gradient(ids: str) -> Element:
    stops = ((0, 0.50), (0.7, 0.26), (1, 0))
    return Element(
        "radialGradient",
        *(Element("stop", offset=at, stop_color="#0b1418", stop_opacity=opacity) for at, opacity in stops),
        id=ids + "shadow",
    )


def tyre_gradient(ids: str) -> Element:
    stops = ((0, "#0f1112"), (0.5, "#2b2f31"), (1, "#0f1112"))
    return Element("linearGradient", *(Element("stop", offset=at, stop_color=colour) for at, colour in stops), id=ids + "tyre")


def ground_shadow(scene: Scene, ids: str) -> list[Element]:
    """A soft ellipse under the car; in the plan a soft rim around it; in perspective the plan laid on the ground."""
    if scene.view.name in THREE_QUARTER_VIEWS:
        return _cast_shadow(scene)
    left, _, right, _ = scene.silhouette.bounds
    if scene.view.name == "top":
        rims = [shapely.buffer(scene.silhouette, grow, quad_segs=4) for grow in (64, 42, 20)]
        shade = [path(polygon_data(rim, tolerance_mm=4), transform="translate(10 14)") for rim in rims]
        return [group(*shade, fill="#0b1418", fill_opacity=0.10)]
    return [Element("ellipse", cx=round((left + right) / 2), cy=4, rx=round((right - left) * 0.54), ry=48, fill=f"url(#{ids}shadow)")]


def _cast_shadow(scene: Scene) -> list[Element]:
    plan = shapely.MultiPoint(scene.meshes.vertices[::7, :2]).convex_hull
    marks = []
    for grow, opacity in ((90, 0.05), (40, 0.06), (-10, 0.07), (-60, 0.09), (-110, 0.11), (-170, 0.16), (-240, 0.26)):
        ring = shapely.get_coordinates(shapely.segmentize(shapely.buffer(plan, grow), 150).exterior)[:-1]
        marks.append(
            path(path_data([scene.view.plane(np.column_stack([ring, np.zeros(len(ring))]))], tolerance_mm=4), fill_opacity=opacity)
        )
    return [group(*marks, fill="#0b1418")]


def side_running_gear(scene: Scene, ids: str) -> list[Element]:
    """Left and right views: underside, wheel housings, wheels (the wheel itself is `#{ids}wheel`)."""
    body = scene.body
    sign = -1 if scene.view.name == "right" else 1
    front, rear = body.wheels[0], body.wheels[-1]
    sill = sill_height_mm(body)
    radius = front.tyre_radius_mm
    start, end = round(sign * front.x_mm), round(sign * rear.x_mm)
    under = f"M{start} {round(-sill - radius)}H{end}V{round(-sill + 24)}H{start}z"
    parts = [path(under, fill=_UNDERSIDE)]
    for wheel in body.wheels:
        x, y = round(sign * wheel.x_mm), round(-wheel.tyre_radius_mm)
        parts.append(path(_housing(wheel, x, y), fill=_DARK))
        turn = f"translate({x} {y})" + (" scale(-1 1)" if sign < 0 else "")
        parts.append(use(ids + "wheel", transform=turn))
    return parts


def _housing(wheel: Wheel, x: int, y: int) -> str:
    """The opening's upper half and a little below the axle; the tyre hides the rest."""
    radius = round(wheel.arch_radius_mm + 4)
    below = round(0.42 * wheel.tyre_radius_mm)
    return f"M{x - radius} {y + below}V{y}A{radius} {radius} 0 0 1 {x + radius} {y}V{y + below}z"


def end_running_gear(scene: Scene, ids: str) -> list[Element]:
    """Front and rear views: underside and the treads of the two wheels at that end."""
    body = scene.body
    wheel = body.wheels[0] if scene.view.name == "front" else body.wheels[-1]
    radius, width = wheel.tyre_radius_mm, wheel.width_mm
    half = round(0.86 * body.size.width_mm / 2)
    parts = [Element("rect", x=-half, y=round(-1.35 * radius), width=2 * half, height=round(0.72 * radius), fill=_UNDERSIDE)]
    for sign in (-1, 1):
        middle = sign * (wheel.outer_y_mm - width / 2)
        parts.append(
            Element(
                "rect", x=round(middle - width / 2), y=round(-2 * radius - 36), width=round(width), height=round(1.3 * radius), fill=_DARK
            )
        )
        tread = {"x": round(middle - width / 2), "y": round(-2 * radius), "width": round(width), "height": round(2 * radius)}
        parts.append(Element("rect", rx=34, fill=f"url(#{ids}tyre)", **tread))
        grooves = "".join(f"M{round(middle + share * width)} {round(-1.2 * radius)}V-12" for share in (-0.28, 0, 0.28))
        parts.append(path(grooves, stroke="#0c0e0f", stroke_width=7))
    return parts


_AROUND = np.linspace(0, 2 * np.pi, 49)[:-1]


def perspective_running_gear(scene: Scene, ids: str) -> list[Element]:
    """Three-quarter views: far wheels as treads under the car, near wheels with their faces (`#{ids}wheel` laid into their plane)."""
    near = 1.0 if near_side(scene.view.name) == "right" else -1.0
    by_depth = sorted(scene.body.wheels, key=lambda wheel: -float(scene.view.depth(_middle(wheel, near))[0]))
    marks = [mark for wheel in by_depth for mark in _tread(scene, wheel, -near)]
    for wheel in by_depth:
        marks += [*_tread(scene, wheel, near), _face(scene, wheel, near, ids)]
    return marks


def _middle(wheel: Wheel, side: float) -> Points:
    return np.array([[wheel.x_mm, side * wheel.outer_y_mm, wheel.tyre_radius_mm]])


def _circle(wheel: Wheel, y: float, radius: float) -> Points:
    return np.stack([wheel.x_mm + radius * np.cos(_AROUND), np.full(48, y), wheel.tyre_radius_mm + radius * np.sin(_AROUND)], axis=1)


def _tread(scene: Scene, wheel: Wheel, side: float) -> list[Element]:
    outer, radius = side * wheel.outer_y_mm, wheel.tyre_radius_mm
    inner = side * (wheel.outer_y_mm - wheel.width_mm)
    shoulder = side * 18
    rims = [_circle(wheel, outer - shoulder, radius), _circle(wheel, inner, radius), _circle(wheel, outer, 0.94 * radius)]
    hull = shapely.MultiPoint(scene.view.plane(np.vstack(rims))).convex_hull
    grooves = [scene.view.plane(_circle(wheel, outer + share * (inner - outer), 0.992 * radius)) for share in (0.3, 0.55, 0.8)]
    return [
        path(polygon_data(hull, tolerance_mm=1), fill="#17191b"),
        path(path_data(grooves, tolerance_mm=1.5), fill="none", stroke="#0b0d0e", stroke_width=6),
        path(path_data([scene.view.plane(rims[0])], tolerance_mm=1), fill="#1f2325"),
    ]


def _face(scene: Scene, wheel: Wheel, side: float, ids: str) -> Element:
    """The flat wheel under the affine map that the camera makes of its plane (perspective inside one wheel is too slight to see)."""
    middle = _middle(wheel, side)
    radius = wheel.tyre_radius_mm
    steps = np.array([[0, 0, 0], [radius, 0, 0], [0, 0, radius]])
    origin, along, up = scene.view.plane(middle + steps)
    right, down = (along - origin) / radius, -(up - origin) / radius
    terms = [f"{value:.3f}" for value in (*right, *down)] + [number(round(float(value), 1)) for value in origin]
    return use(ids + "wheel", transform=f"matrix({' '.join(terms)}) scale(.985)")

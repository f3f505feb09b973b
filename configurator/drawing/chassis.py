"""What carries the body: ground and its shadow, underside, wheel housings, wheels."""

import shapely

from configurator.domain.body.records import Body, Wheel
from configurator.drawing.curves import polygon_data
from configurator.drawing.scene import Scene
from configurator.drawing.svg import Element, group, path, use

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
    """A soft ellipse under the car; in the plan a soft rim around it."""
    left, _, right, _ = scene.silhouette.bounds
    if scene.view.name == "top":
        rims = [shapely.buffer(scene.silhouette, grow, quad_segs=4) for grow in (64, 42, 20)]
        shade = [path(polygon_data(rim, tolerance_mm=4), transform="translate(10 14)") for rim in rims]
        return [group(*shade, fill="#0b1418", fill_opacity=0.10)]
    return [Element("ellipse", cx=round((left + right) / 2), cy=4, rx=round((right - left) * 0.54), ry=48, fill=f"url(#{ids}shadow)")]


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

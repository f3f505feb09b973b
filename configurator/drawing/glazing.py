"""Depth behind and on the glass: seats and wheel as dark shapes, streaks of reflected light."""

from configurator.domain.body.records import Layer, Surface
from configurator.drawing.cabin import cabin_outlines
from configurator.drawing.projection import near_side
from configurator.drawing.scene import Scene, Shape
from configurator.drawing.svg import Element, group, path, use

_DEEP = "#0a1014"
_GRADIENTS = {
    "side": ("#3c4c57", "#26323a", "#56707c"),
    "end": ("#2a3740", "#3d5260", "#7d98a5"),
    "top": ("#2b3943", "#4a606d", "#2b3943"),
}
_KIND = {"left": "side", "right": "side", "front": "end", "rear": "end", "top": "top"}


def glass_gradient(view_name: str, ids: str) -> Element:
    colours = _GRADIENTS[_KIND.get(view_name, "side")]
    stops = [Element("stop", offset=share, stop_color=colour) for share, colour in zip((0, 0.5, 1), colours, strict=True)]
    return Element("linearGradient", *stops, id=f"{ids}glass-{view_name}", x2=0, y2=1)


def is_glass(shape: Shape) -> bool:
    """A pane or a mirror's glass."""
    return shape.panel.surface in (Surface.OTHER_GLASS, Surface.WINDSHIELD_GLASS)


def is_pane(shape: Shape) -> bool:
    return is_glass(shape) and shape.panel.layer is not Layer.MIRROR


def main_panes(scene: Scene) -> list[Shape]:
    """The panes through which a view looks into the car, in the order in which they are painted: the near side's from a side,
    windshield or rear window from an end, both from a corner."""
    name, near = scene.view.name, near_side(scene.view.name)
    through = {"left", "right", "centre"} if name == "top" else {near} if name in ("left", "right") else {near, "centre"}
    return [shape for part in scene.by_wheels for shape in part if is_pane(shape) and shape.panel.side.value in through]


def behind_glass(scene: Scene, ids: str) -> tuple[list[Element], list[Element]]:
    """Clip paths for the defs, and what is seen through and on the panes."""
    name = scene.view.name
    panes = main_panes(scene)
    if name in ("left", "right"):
        mirrored = name == "right"
        return _clipped(panes, scene, ids, _side_cabin(panes, mirrored=mirrored) + _streaks(panes, mirrored=mirrored))
    if name in ("front", "rear"):
        return _clipped(panes, scene, ids, _end_cabin(panes, with_mirror=name == "front") + _streaks(panes, mirrored=False))
    if name == "top":
        return _clipped(panes, scene, ids, _plan_streaks(panes))
    return _clipped(panes, scene, ids, _corner_cabin(scene) + _plan_streaks(panes))


def _clipped(panes: list[Shape], scene: Scene, ids: str, marks: list[Element]) -> tuple[list[Element], list[Element]]:
    if not panes or not marks:
        return [], []
    name = f"{ids}{scene.view.name}-panes"
    clip = Element("clipPath", *(use(f"{ids}{scene.view.name}-{pane.outline}", transform=pane.flip) for pane in panes), id=name)
    return [clip], [group(*marks, clip_path=f"url(#{name})")]


def _bounds(panes: list[Shape]) -> tuple[float, float, float, float]:
    boxes = [pane.region.bounds for pane in panes]
    return min(box[0] for box in boxes), min(box[1] for box in boxes), max(box[2] for box in boxes), max(box[3] for box in boxes)


def _side_cabin(panes: list[Shape], *, mirrored: bool) -> list[Element]:
    """A seat behind the first pane and one behind the next large one, and the steering wheel; nose to the left unless mirrored."""
    if not panes:
        return []
    ordered = sorted(panes, key=lambda pane: pane.region.bounds[0] if not mirrored else -pane.region.bounds[2])
    largest = max(pane.region.area for pane in ordered)
    rows = [pane for pane in ordered if pane.region.area > 0.25 * largest][:2]
    flip = -1 if mirrored else 1
    _, top, _, bottom = _bounds(panes)
    tall = bottom - top
    shapes = []
    for pane, share in zip(rows, (0.80, 0.72), strict=False):
        left, _, right, _ = pane.region.bounds
        x = left + share * (right - left) if not mirrored else right - share * (right - left)
        shapes.append(_side_seat(x, bottom, tall, flip))
    first = rows[0].region.bounds
    wheel_x = first[0] + 0.40 * (first[2] - first[0]) if not mirrored else first[2] - 0.40 * (first[2] - first[0])
    steering = Element(
        "ellipse",
        rx=22,
        ry=150,
        fill="none",
        stroke=_DEEP,
        stroke_width=20,
        transform=f"translate({round(wheel_x)} {round(bottom + 10)}) rotate({-22 * flip})",
    )
    return [group(path("".join(shapes)), steering, fill=_DEEP, opacity=0.55)]


_SEAT_BACK = ((-86, -0.3), (-110, 0.1), (-60, 0.32), (-44, 0.44), (-20, 0.52), (40, 0.52), (56, 0.42), (90, 0.2), (110, 0), (120, -0.3))
_HEAD_REST = ((-32, 0.5), (-44, 0.6), (-34, 0.74), (-8, 0.76), (40, 0.78), (76, 0.74), (74, 0.62), (72, 0.5), (0, 0.44), (-32, 0.5))
"""Outlines as one start and Bezier triples: mm rearward, shares of the glass's height upward."""


def _side_seat(x: float, bottom: float, tall: float, flip: int) -> str:
    def outline(corners: tuple[tuple[float, float], ...]) -> str:
        placed = [f"{round(x + flip * across)} {round(bottom - up * tall)}" for across, up in corners]
        return f"M{placed[0]}C{' '.join(placed[1:])}z"

    return outline(_SEAT_BACK) + outline(_HEAD_REST)


def _end_cabin(panes: list[Shape], *, with_mirror: bool) -> list[Element]:
    if not panes:
        return []
    left, top, right, bottom = _bounds(panes)
    tall, half = bottom - top, (right - left) / 2
    marks = []
    for sign in (-1, 1):
        x = sign * 0.52 * half
        marks.append(
            Element(
                "rect", x=round(x - 0.16 * half), y=round(top + 0.36 * tall), width=round(0.32 * half), height=round(0.30 * tall), rx=52
            )
        )
        marks.append(path(_shoulders(x, half, bottom, tall)))
    if with_mirror:
        marks.append(Element("rect", x=-115, y=round(top + 0.06 * tall), width=230, height=58, rx=20))
    return [group(*marks, fill=_DEEP, opacity=0.34)]


def _corner_cabin(scene: Scene) -> list[Element]:
    seats, rim = cabin_outlines(scene.body, scene.view)
    wheel = path(rim, fill="none", stroke=_DEEP, stroke_width=22)
    return [group(*(path(seat, stroke="#3a4a54", stroke_width=5) for seat in seats), wheel, fill=_DEEP, opacity=0.45)] if seats else []


def _shoulders(x: float, half: float, bottom: float, tall: float) -> str:
    """A seat seen from its front or back: up one side, over, down the other."""
    corners = ((-0.31, 0), (-0.28, 0.30), (-0.20, 0.36), (0, 0.36), (0.20, 0.36), (0.28, 0.30), (0.31, 0))
    placed = [f"{round(x + across * half)} {round(bottom - up * tall)}" for across, up in corners]
    return f"M{placed[0]}C{' '.join(placed[1:])}z"


def _streaks(panes: list[Shape], *, mirrored: bool) -> list[Element]:
    """Slanted bands of light across all panes."""
    left, top, right, bottom = _bounds(panes) if panes else (0, 0, 0, 0)
    tall, long = bottom - top, right - left
    lean = 0.95 * tall
    marks = []
    for start, width, opacity in ((0.20, 0.115, 0.11), (0.345, 0.034, 0.09), (0.66, 0.15, 0.07)):
        x, w = left + start * long, width * long
        points = [(x, bottom), (x + lean, top), (x + lean + w, top), (x + w, bottom)]
        if mirrored:
            points = [(left + right - px, py) for px, py in points]
        marks.append(path("M" + "L".join(f"{round(px)} {round(py)}" for px, py in points) + "z", fill="#fff", fill_opacity=opacity))
    return marks


def _plan_streaks(panes: list[Shape]) -> list[Element]:
    marks = []
    for pane in panes:
        if pane.panel.side.value != "centre":
            continue
        left, top, right, bottom = pane.region.bounds
        wide = right - left
        points = [(left - 0.2 * wide, bottom), (left + 0.6 * wide, top), (left + 1.2 * wide, top), (left + 0.4 * wide, bottom)]
        marks.append(path("M" + "L".join(f"{round(x)} {round(y)}" for x, y in points) + "z", fill="#fff", fill_opacity=0.09))
    return marks

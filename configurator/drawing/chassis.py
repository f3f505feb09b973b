"""What carries the body: ground and its shadow, underside, wheel housings, wheels."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from configurator.domain.body.records import Body, Layer, Points, Wheel
from configurator.drawing.curves import TOLERANCE_MM, paths_of, polygon_data
from configurator.drawing.projection import PARALLEL_VIEWS, THREE_QUARTER_VIEWS, near_side, projection
from configurator.drawing.scene import Scene
from configurator.drawing.svg import Element, group, number, path, use

_DARK = "#0c0f11"
_OTHER = {"left": "right", "right": "left"}
_UNDERSIDE = "#14181a"
_PLAN_SHADES_MM = np.array([60.0, 40.0, 18.0])
"""How far each rim of the shadow in the plan reaches beyond the car."""
_ARCHES = frozenset({"wheel_arch_front", "wheel_arch_rear"})


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
    left, right = scene.reach
    if scene.view.name == "top":
        shade = [path(data) for data in _outlines(scene.body).plan_shades]
        return [group(*shade, fill="#0b1418", fill_opacity=0.10, transform="translate(10 14)")]
    return [Element("ellipse", cx=round((left + right) / 2), cy=4, rx=round((right - left) * 0.54), ry=48, fill=f"url(#{ids}shadow)")]


@dataclass(frozen=True, eq=False)
class _Outlines:
    """Path data for the parallel views: of the floor by view, of the left side's wheel openings, of the rims of the plan's shadow."""

    floors: Mapping[str, str]
    openings: str
    plan_shades: Sequence[str]


@lru_cache(maxsize=48)
def _outlines(body: Body) -> _Outlines:
    """For all parallel views together: a path has few points here, so that what counts is how often paths are asked for."""
    floor = body.panels.get("underbody")
    views = [projection(body, name) for name in PARALLEL_VIEWS if name != "top"] if floor else []
    hulls = shapely.convex_hull(shapely.linestrings([view.plane(floor.mesh.vertices) for view in views])) if floor else []
    floors = [shapely.get_coordinates(hull)[:-1] for hull in hulls]
    openings = [_hull_of_opening(body, wheel) for wheel in body.wheels]
    grown = shapely.buffer(_hull(_plan_points(body)), _PLAN_SHADES_MM, quad_segs=4)
    shades = [shapely.get_coordinates(shade)[:-1] for shade in grown]
    tolerances = [3.0] * len(floors) + [TOLERANCE_MM] * len(openings) + [4.0] * len(shades)
    paths = iter(paths_of([*floors, *openings, *shades], (), tolerance_mm=tolerances))
    return _Outlines(
        floors={view.name: next(paths) for view in views},
        openings="".join([next(paths) for _ in openings]),
        plan_shades=list(paths),
    )


def _hull(points: Points) -> shapely.Geometry:
    """The convex hull of points (n, 2), as those of a line: no point is made an object of its own."""
    return shapely.convex_hull(shapely.linestrings(points))


def _cast_shadow(scene: Scene) -> list[Element]:
    plan = _hull(_plan_points(scene.body) * [1.0, -1.0])
    steps = np.arange(100, -260, -24)
    rims = [shapely.get_coordinates(shapely.segmentize(shapely.buffer(plan, grow), 150).exterior)[:-1] for grow in steps.tolist()]
    rings = [scene.view.plane(np.column_stack([rim, np.zeros(len(rim))])) for rim in rims]
    darker = np.linspace(0.02, 0.10, len(steps)).round(3).tolist()
    marks = [path(data, fill_opacity=opacity) for data, opacity in zip(paths_of(rings, (), tolerance_mm=4), darker, strict=True)]
    return [group(*marks, fill="#0b1418")]


def _plan_points(body: Body) -> Points:
    """Some points of the skin as the plan shows them (y downward), mirrors left out."""
    skin = [panel.mesh.vertices[::5, :2] for panel in body.panels.values() if panel.layer is Layer.BODY]
    return np.vstack(skin) * [1.0, -1.0]


def underside(scene: Scene) -> list[Element]:
    """The floor, as far as it shows under the body's lower edge."""
    floor = scene.body.panels.get("underbody")
    if floor is None:
        return []
    if scene.view.name in THREE_QUARTER_VIEWS:
        return [path(polygon_data(_hull(scene.view.plane(floor.mesh.vertices)), tolerance_mm=3), fill=_UNDERSIDE)]
    return [path(_outlines(scene.body).floors[scene.view.name], fill=_UNDERSIDE)]


def side_running_gear(scene: Scene, ids: str) -> list[Element]:
    """Left and right views: underside, wheel housings, wheels (the wheel itself is `#{ids}wheel`)."""
    body = scene.body
    sign = -1 if scene.view.name == "right" else 1
    front, rear = body.wheels[0], body.wheels[-1]
    sill = sill_height_mm(body)
    radius = front.tyre_radius_mm
    start, end = round(sign * front.x_mm), round(sign * rear.x_mm)
    under = f"M{start} {round(-sill - radius)}H{end}V{round(-sill + 24)}H{start}z"
    openings = path(_outlines(body).openings, fill=_DARK, transform="scale(-1 1)" if sign < 0 else None)
    parts = [path(under, fill=_UNDERSIDE), openings]
    for wheel in body.wheels:
        x, y = round(sign * wheel.x_mm), round(-wheel.tyre_radius_mm)
        turn = f"translate({x} {y})" + (" scale(-1 1)" if sign < 0 else "")
        parts.append(use(ids + "wheel", transform=turn))
    return parts


def _hull_of_opening(body: Body, wheel: Wheel) -> Points:
    """Around the wheel opening and the floor between its ends, as the left side shows it: nothing is to be seen through beside the tyre."""
    opening, floor = arch_opening(body, wheel, "left"), body.panels.get("underbody")
    if floor is not None:
        within = np.abs(floor.mesh.vertices[:, 0] - wheel.x_mm) < wheel.arch_radius_mm
        opening = np.vstack([opening, floor.mesh.vertices[within]])
    ring: Points = shapely.get_coordinates(_hull(projection(body, "left").plane(opening)))[:-1]
    return ring


def arch_opening(body: Body, wheel: Wheel, side: str | None) -> Points:
    """The ring (n, 3) of the wheel opening on one side: what of the bodywork ends at the opening itself, by angle round the wheel."""
    points = _arch_edges(body, side)
    around = points - [wheel.x_mm, 0, wheel.tyre_radius_mm]
    near = np.hypot(around[:, 0], around[:, 2]) < 1.4 * wheel.arch_radius_mm
    points, around = points[near], around[near]
    # From straight down round the front, over the top and down behind: the gap at the bottom is closed by a straight line.
    ring: Points = points[np.argsort(np.arctan2(-around[:, 0], -around[:, 2]))]
    return ring


@lru_cache(maxsize=96)
def _arch_edges(body: Body, side: str | None) -> Points:
    """(n, 3) where the bodywork of one side ends at wheel openings."""
    found = []
    for panel in body.panels.values():
        if panel.layer not in (Layer.BODY, Layer.INSET) or panel.side.value == _OTHER[side or "left"]:
            continue
        for loop in panel.loops:
            if not _ARCHES.isdisjoint(loop.neighbours):
                edge = loop.indices[[neighbour in _ARCHES for neighbour in loop.neighbours]]
                found.append(panel.mesh.vertices[edge])
    points = np.vstack(found)
    return np.asarray(points[(points[:, 1] > 0) == (side == "right")])


def end_running_gear(scene: Scene, ids: str) -> list[Element]:
    """Front and rear views: underside and the treads of the two wheels at that end."""
    body = scene.body
    wheel = body.wheels[0] if scene.view.name == "front" else body.wheels[-1]
    radius, width = wheel.tyre_radius_mm, wheel.width_mm
    parts: list[Element] = []
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
_GROOVES = (0.3, 0.55, 0.8)
"""Where a tread's grooves run, as shares of its width."""
_TREAD_MM = 1.2
"""Tolerance of a tread's lines: they lie close together."""


def far_running_gear(scene: Scene) -> list[Element]:
    """Three-quarter views: the far side's wheels as treads under the car."""
    wheels = _by_depth(scene)
    paths = iter(paths_of([ring for wheel in wheels for ring in _tread(scene, wheel, -_near(scene))], (), tolerance_mm=_TREAD_MM))
    return [mark for _ in wheels for mark in _tread_marks(paths)]


def near_running_gear(scene: Scene, ids: str) -> list[list[Element]]:
    """Three-quarter views: the near side's wheels, the farther one first, each in its housing and with its face (`#{ids}wheel`)."""
    near, wheels = _near(scene), _by_depth(scene)
    rings: list[Points] = []
    for wheel in wheels:
        opening = arch_opening(scene.body, wheel, near_side(scene.view.name))
        rings += [scene.view.plane(opening), *_tread(scene, wheel, near)]
    tolerances = [TOLERANCE_MM, *[_TREAD_MM] * (len(_GROOVES) + 2)] * len(wheels)
    paths = iter(paths_of(rings, (), tolerance_mm=tolerances))
    return [[path(next(paths), fill=_DARK), *_tread_marks(paths), _face(scene, wheel, near, ids)] for wheel in wheels]


def _near(scene: Scene) -> float:
    return 1.0 if near_side(scene.view.name) == "right" else -1.0


def _by_depth(scene: Scene) -> list[Wheel]:
    return sorted(scene.body.wheels, key=lambda wheel: -float(scene.view.depth(_middle(wheel, _near(scene)))[0]))


def _middle(wheel: Wheel, side: float) -> Points:
    return np.array([[wheel.x_mm, side * wheel.outer_y_mm, wheel.tyre_radius_mm]])


def _circle(wheel: Wheel, y: float, radius: float) -> Points:
    return np.stack([wheel.x_mm + radius * np.cos(_AROUND), np.full(48, y), wheel.tyre_radius_mm + radius * np.sin(_AROUND)], axis=1)


def _tread(scene: Scene, wheel: Wheel, side: float) -> list[Points]:
    """The rubber's outline, its grooves, and the edge of the wall, in the view's plane."""
    outer, radius = side * wheel.outer_y_mm, wheel.tyre_radius_mm
    inner = side * (wheel.outer_y_mm - wheel.width_mm)
    shoulder = side * 18
    rims = [_circle(wheel, outer - shoulder, radius), _circle(wheel, inner, radius), _circle(wheel, outer, 0.94 * radius)]
    hull = _hull(scene.view.plane(np.vstack(rims)))
    grooves = [scene.view.plane(_circle(wheel, outer + share * (inner - outer), 0.992 * radius)) for share in _GROOVES]
    return [shapely.get_coordinates(hull)[:-1], *grooves, scene.view.plane(rims[0])]


def _tread_marks(paths: Iterator[str]) -> list[Element]:
    rubber, *grooves, wall = (next(paths) for _ in range(len(_GROOVES) + 2))
    return [
        path(rubber, fill="#17191b"),
        path("".join(grooves), fill="none", stroke="#0b0d0e", stroke_width=6),
        path(wall, fill="#1f2325"),
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

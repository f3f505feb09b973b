"""Wheels: tyre, brake, rim, spokes by pattern. Drawn once around (0, 0) and placed by the views."""

import math
from dataclasses import dataclass

from configurator.drawing.svg import Element, group, number, path


@dataclass(frozen=True)
class Spoke:
    """From the hub to the rim: angles in degrees, half widths as shares of the rim's radius, inside and outside."""

    inner_deg: float
    outer_deg: float
    inner_half: float
    outer_half: float


@dataclass(frozen=True)
class WheelPattern:
    """`count` times round: the spokes, and dark slots cut into them. A disc wheel has holes instead of spokes."""

    count: int
    spokes: tuple[Spoke, ...] = ()
    slots: tuple[Spoke, ...] = ()
    is_disc: bool = False


PATTERNS = {
    "twin5": WheelPattern(5, (Spoke(4, 16, 0.050, 0.050), Spoke(-4, -16, 0.050, 0.050))),
    "blade5": WheelPattern(5, (Spoke(0, 6, 0.12, 0.15),), (Spoke(0, 14, 0.03, 0.05),)),
    "multi10": WheelPattern(10, (Spoke(0, 0, 0.045, 0.05),)),
    "turbine": WheelPattern(9, (Spoke(-6, 16, 0.065, 0.10),)),
    "block6": WheelPattern(6, (Spoke(0, 0, 0.13, 0.19),), (Spoke(0, 0, 0.045, 0.07),)),
    "star7": WheelPattern(7, (Spoke(0, 0, 0.06, 0.085),)),
    "mesh": WheelPattern(10, (Spoke(0, 17, 0.035, 0.035), Spoke(0, -17, 0.035, 0.035))),
    "steel": WheelPattern(8, is_disc=True),
    "aero": WheelPattern(5, (Spoke(0, 0, 0.16, 0.30),), (Spoke(0, 0, 0.02, 0.035),)),
}


def wheel(tyre_radius_mm: float, rim_radius_mm: float, pattern: str, *, dark: bool, ids: str) -> list[Element]:
    """The wheel's parts around (0, 0). `ids` prefixes the gradients that `wheel_gradients` defines."""
    design = PATTERNS.get(pattern, PATTERNS["twin5"])
    face = f"url(#{ids}{'rim-dark' if dark else 'rim'})"
    edge = "#0d1012" if dark else "#5d666b"
    parts = [*_tyre(tyre_radius_mm, rim_radius_mm), *_brake(rim_radius_mm)]
    parts += _disc(rim_radius_mm, design, face, edge) if design.is_disc else _spokes(rim_radius_mm, design, face, edge)
    return parts + _rim_and_hub(rim_radius_mm, design.count, face, edge, dark)


def wheel_gradients(ids: str) -> list[Element]:
    def diagonal(name: str, *colours: str) -> Element:
        stops = [Element("stop", offset=i / (len(colours) - 1), stop_color=colour) for i, colour in enumerate(colours)]
        return Element("linearGradient", *stops, id=ids + name, x2=1, y2=1)

    return [diagonal("rim", "#f2f5f6", "#bcc5c9", "#8b959a"), diagonal("rim-dark", "#626b70", "#343b3f", "#1d2225")]


def _circle(radius: float, fill: str = "none", **attributes: str | float | None) -> Element:
    return Element("circle", r=round(radius, 1), fill=fill, **attributes)


def _tyre(radius: float, rim: float) -> list[Element]:
    wall = (radius + rim) / 2
    return [
        _circle(radius, "#1b1e20"),
        _circle(radius * 0.975, stroke="#2a2f32", stroke_width=4),
        _circle(wall + (radius - wall) * 0.35, stroke="#34393c", stroke_width=4),
        _circle(rim * 1.06, stroke="#0e1011", stroke_width=3),
        _circle(rim * 1.02, "#0c0e0f"),
    ]


def _brake(rim: float) -> list[Element]:
    caliper = path(_arc_band(0.42 * rim, 0.70 * rim, 22, 74), fill="#7c858a", stroke="#30373b", stroke_width=3)
    return [
        _circle(rim * 0.70, "#3a4145"),
        _circle(rim * 0.66, "#626b70"),
        _circle(rim * 0.54, stroke="#50585d", stroke_width=3),
        _circle(rim * 0.32, "#262b2e"),
        caliper,
    ]


def _arc_band(inner: float, outer: float, from_deg: float, to_deg: float) -> str:
    """A stretch of a ring; angles clockwise from straight up."""

    def at(radius: float, degrees: float) -> str:
        angle = math.radians(degrees)
        return f"{number(round(radius * math.sin(angle), 1))} {number(round(-radius * math.cos(angle), 1))}"

    r, s = number(round(outer, 1)), number(round(inner, 1))
    return f"M{at(outer, from_deg)}A{r} {r} 0 0 1 {at(outer, to_deg)}L{at(inner, to_deg)}A{s} {s} 0 0 0 {at(inner, from_deg)}z"


def _spoke_path(rim: float, spoke: Spoke, scale: float = 1.0) -> str:
    sides = []
    for sign in (-1, 1):
        side = []
        for share in (0.0, 0.35, 0.7, 1.0):
            radius = 0.13 + (0.965 - 0.13) * share
            angle = math.radians(spoke.inner_deg + (spoke.outer_deg - spoke.inner_deg) * share**1.2)
            half = spoke.inner_half + (spoke.outer_half - spoke.inner_half) * share**1.6 - 0.018 * math.sin(share * math.pi)
            x = rim * scale * (radius * math.sin(angle) + sign * half * math.cos(angle))
            y = -rim * scale * (radius * math.cos(angle) - sign * half * math.sin(angle))
            side.append(f"{round(x)} {round(y)}")
        sides.append(side)
    a, b = sides
    return f"M{a[0]}C{a[1]} {a[2]} {a[3]}L{b[3]}C{b[2]} {b[1]} {b[0]}z"


def _around(count: int, shapes: str) -> list[Element]:
    return [path(shapes, transform=f"rotate({number(turn * 360 / count)})" if turn else None) for turn in range(count)]


def _spokes(rim: float, design: WheelPattern, face: str, edge: str) -> list[Element]:
    shapes = "".join(_spoke_path(rim, spoke) for spoke in design.spokes)
    parts = [group(*_around(design.count, shapes), fill=face, stroke=edge, stroke_width=2.5)]
    if design.slots:
        slots = "".join(_spoke_path(rim, slot, 0.94) for slot in design.slots)
        parts.append(group(*_around(design.count, slots), fill="#15191b"))
    return parts


def _disc(rim: float, design: WheelPattern, face: str, edge: str) -> list[Element]:
    hole = {"cy": round(-rim * 0.68, 1), "rx": round(rim * 0.115, 1), "ry": round(rim * 0.09, 1)}
    holes = [Element("ellipse", transform=f"rotate({number(turn * 360 / design.count)})", **hole) for turn in range(design.count)]
    return [
        _circle(rim * 0.93, face),
        _circle(rim * 0.90, stroke=edge, stroke_width=5),
        group(*holes, fill="#14181a", stroke=edge, stroke_width=3),
        _circle(rim * 0.42, stroke="#7a848a", stroke_width=8),
    ]


def _rim_and_hub(rim: float, count: int, face: str, edge: str, dark: bool) -> list[Element]:
    nuts = 5 if count % 5 == 0 else 6
    at = [(math.sin(2 * math.pi * i / nuts), -math.cos(2 * math.pi * i / nuts)) for i in range(nuts)]
    bolts = [Element("circle", cx=round(0.145 * rim * x, 1), cy=round(0.145 * rim * y, 1), r=round(rim * 0.022, 1)) for x, y in at]
    return [
        _circle(rim * 0.965, stroke="#7f898e" if dark else face, stroke_width=round(rim * (0.035 if dark else 0.075), 1)),
        _circle(rim * 0.925, stroke="#8d979c", stroke_width=2),
        _circle(rim * 0.185, face, stroke=edge, stroke_width=2),
        _circle(rim * 0.1, "#22272a"),
        group(*bolts, fill="#1c2123"),
    ]

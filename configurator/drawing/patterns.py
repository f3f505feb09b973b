"""Film is a hatch, as a drawing office marks material: every state of a panel has a pattern of its own.

Gloss film: 45 degree lines. Matte: dots. Colour film: its colour with a counter-hatch. What can't take film: a brown weave.
Smoke on a lamp: level lines, closer the darker. Patterns are in the car's own millimetres, so that all views share one measure.
"""

from configurator.drawing.colour import ink_on
from configurator.drawing.states import Coat
from configurator.drawing.svg import Element, path

PITCH_MM = 84
"""From line to line of a hatch: about six pixels where a whole car is 320 px wide."""


def pattern(name: str, size: tuple[int, int], *marks: Element, turned: int = 0) -> Element:
    return Element(
        "pattern",
        *marks,
        id=name,
        width=size[0],
        height=size[1],
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({turned})" if turned else None,
    )


def _tint(width: int, height: int, opacity: float) -> Element:
    return Element("rect", width=width, height=height, class_="film-tint", fill="#00656b", fill_opacity=opacity)


def gloss(name: str, *, turned: bool = False) -> Element:
    line = path(f"M0 {PITCH_MM // 2}H40", class_="film-ink", stroke="#00454a", stroke_width=15)
    return pattern(name, (40, PITCH_MM), _tint(40, PITCH_MM, 0.36), line, turned=45 if turned else -45)


def matte(name: str) -> Element:
    step = PITCH_MM * 3 // 4
    near, far = step // 4, 3 * step // 4
    dots = [Element("circle", cx=place, cy=place, r=12, class_="film-dot", fill="#00454a") for place in (near, far)]
    return pattern(name, (step, step), _tint(step, step, 0.36), *dots)


def counter(name: str, colour: str, *, turned: bool = False) -> Element:
    """The counter-hatch of a colour film, in the ink that stands out on it; `colour` is #rrggbb."""
    line = path(f"M0 {PITCH_MM // 2}H40", stroke=ink_on(colour), stroke_width=11, stroke_opacity=0.62)
    return pattern(name, (40, PITCH_MM), line, turned=-45 if turned else 45)


def weave(name: str) -> Element:
    """Grained plastic and whatever else takes no film."""
    marks = path("M0 14h24M40 0v24M14 56v-24M32 42h24", class_="grain-ink", stroke="#6a4a2c", stroke_width=9)
    return pattern(name, (56, 56), marks)


def waiting(name: str) -> Element:
    """Can take film, but not yet."""
    dash = path(f"M0 {PITCH_MM // 2}h44", class_="wait-ink", stroke="#44555e", stroke_width=11)
    return pattern(name, (88, PITCH_MM), dash, turned=-45)


_SMOKE_PITCH_MM = {Coat.SMOKE_LIGHT: 40, Coat.SMOKE_MEDIUM: 28, Coat.SMOKE_DARK: 19}


def smoke(name: str, coat: Coat) -> Element:
    pitch = _SMOKE_PITCH_MM[coat]
    return pattern(name, (40, pitch), path(f"M0 {pitch // 2}H40", stroke="#e8eef0", stroke_width=5, stroke_opacity=0.75))


def coarse(name: str) -> Element:
    """Film on a drawing the size of a thumbnail: a wide hatch over a flat colour."""
    return pattern(name, (60, 170), path("M0 85H60", class_="mini-ink", stroke="#ffffff", stroke_width=40, stroke_opacity=0.34), turned=-45)


def hatch(name: str, coat: Coat, colour: str | None = None, *, turned: bool = False) -> Element:
    """The pattern of a coat; `turned` for an outline that is turned over, so that lines lean the same way on both sides of the car."""
    if coat is Coat.GLOSS:
        return gloss(name, turned=turned)
    if coat is Coat.MATTE:
        return matte(name)
    return counter(name, colour or "#2b3236", turned=turned) if coat is Coat.COLOUR else smoke(name, coat)

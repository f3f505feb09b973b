"""Bodies and drawings, cold and kept: milliseconds of processor time, and as ratios to sorting a million numbers with numpy."""

from collections.abc import Callable, Iterator
from statistics import median

from configurator.domain.body.build import build_body
from configurator.domain.body.measure import area_m2, edges
from configurator.domain.body.records import Body, Size
from configurator.domain.body.style import BodyStyle
from configurator.drawing.car import draw_sheet, draw_view
from configurator.drawing.options import Labels
from configurator.loading.body_styles import load_body_styles
from tests.bench.timing import Figures, cpu_ms, numpy_ms

_TIMES = 5


def bench_body() -> Figures:
    """Medians over the eight styles, each at sizes that nobody asked for before, with the features it usually has."""
    base = numpy_ms()
    styles = load_body_styles()
    figures: Figures = {}
    for name, measure in (
        ("body for a price, cold", _cold_price),
        ("sheet, cold", _cold_sheet),
        ("three-quarter view, cold", _cold_corner),
        ("body, kept", _kept_body),
        ("sheet, kept", _kept_sheet),
    ):
        spent = [measure(style) for style in styles.values()]
        figures[f"{name}, ms"] = median(spent)
        figures[f"{name}, slowest style, ms"] = max(spent)
        figures[f"{name}, to numpy's sort"] = median(spent) / base
    return figures


def _fresh(style: BodyStyle) -> Iterator[Size]:
    """Sizes a tenth of a millimetre apart: alike in work, each asked for once."""
    typical = style.typical_size
    for step in range(1, 1000):
        yield Size(typical.length_mm - 0.1 * step, typical.width_mm, typical.height_mm, typical.wheelbase_mm)


def _built(style: BodyStyle, size: Size) -> Body:
    return build_body(style, size=size, features=style.usual_features, fuel_door=style.fuel_door)


def _measured(style: BodyStyle, size: Size) -> None:
    """What a price asks of a body: areas and edges of all its panels."""
    for panel in _built(style, size).panels.values():
        area_m2(panel)
        edges(panel)


def _cold_price(style: BodyStyle) -> float:
    sizes = _fresh(style)
    _measured(style, next(sizes))
    return cpu_ms(lambda: _measured(style, next(sizes)), times=_TIMES)


def _cold_drawing(style: BodyStyle, draw: Callable[[Body], str]) -> float:
    """Without the body itself, which a price has built before anyone looks at the drawing."""
    bodies = iter([_built(style, size) for size, _ in zip(_fresh(style), range(_TIMES + 1), strict=False)])
    draw(next(bodies))
    return cpu_ms(lambda: draw(next(bodies)), times=_TIMES)


def _cold_sheet(style: BodyStyle) -> float:
    return _cold_drawing(style, lambda body: draw_sheet(body, None, labels=Labels()))


def _cold_corner(style: BodyStyle) -> float:
    return _cold_drawing(style, lambda body: draw_view(body, None, "front_left", labels=Labels()))


def _kept_body(style: BodyStyle) -> float:
    return cpu_ms(lambda: _built(style, style.typical_size), times=40)


def _kept_sheet(style: BodyStyle) -> float:
    body = _built(style, style.typical_size)
    draw_sheet(body, None, labels=Labels())
    return cpu_ms(lambda: draw_sheet(body, None, labels=Labels()), times=40)

"""From a style's authored lengths to one car's: piecewise along x, linear across and up; and which sizes are plausible."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from configurator.domain.body.records import Points, Size
from configurator.domain.body.style import BodyStyle, Range
from configurator.errors import Fault, InvalidInput

_SIZE_PATH = "vehicle.size"
_TYRE_FOLLOWS = 0.5
"""Exponent with which the tyre follows the body's mean scale: big cars have bigger wheels, but not in proportion."""


def size_faults(style: BodyStyle, size: Size) -> Iterator[Fault]:
    """What is implausible about a size for this style, each with the range it must lie in."""
    plausible = style.plausible
    ranges = {name: getattr(plausible, name) for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm")}
    outside = False
    for name, allowed in ranges.items():
        fault = _outside(f"{_SIZE_PATH}.{name}", getattr(size, name), allowed)
        if fault:
            outside = True
            yield fault
    if not outside:
        yield from _wheelbase_fault(style, size)


def _outside(path: str, value: float, allowed: Range) -> Fault | None:
    facts = {"min_mm": allowed.least, "max_mm": allowed.most}
    if not np.isfinite(value) or value < allowed.least:
        return Fault(path, "too_small", facts)
    return Fault(path, "too_large", facts) if value > allowed.most else None


def _wheelbase_fault(style: BodyStyle, size: Size) -> Iterator[Fault]:
    share = style.plausible.wheelbase_share
    allowed = style.plausible.wheelbase_mm
    least = max(allowed.least, np.ceil(share.least * size.length_mm))
    most = min(allowed.most, np.floor(share.most * size.length_mm))
    if not least <= size.wheelbase_mm <= most:
        facts = {"min_mm": float(least), "max_mm": float(most), "length_mm": size.length_mm}
        yield Fault(f"{_SIZE_PATH}.wheelbase_mm", "wheelbase_does_not_fit_length", facts)


def check_size(style: BodyStyle, size: Size) -> None:
    """`InvalidInput` with every implausible length of `size`."""
    faults = tuple(size_faults(style, size))
    if faults:
        raise InvalidInput(faults)


@dataclass(frozen=True, eq=False)
class Scaling:
    """Turns authored lengths into this car's.

    The overhangs share what the wheelbase leaves of the length as they do in the style (SAE J1100: L103 = L104 + L101 + L105).
    """

    authored_x: Points
    real_x: Points
    across: float
    up: float
    tyre_radius_mm: float
    arch_radius_mm: float

    def x(self, authored: Points | float) -> Points:
        """Lengthwise: piecewise linear through nose, front axle, rear axle and tail."""
        return np.asarray(np.interp(authored, self.authored_x, self.real_x))

    @property
    def axles(self) -> tuple[float, float]:
        return float(self.real_x[1]), float(self.real_x[2])

    @property
    def length_mm(self) -> float:
        return float(self.real_x[-1])


def scaling_of(style: BodyStyle, size: Size) -> Scaling:
    """The plain ratios of this size to the typical one."""
    typical, running = style.typical_size, style.running
    share = running.front_overhang_mm / (typical.length_mm - typical.wheelbase_mm)
    front = share * (size.length_mm - size.wheelbase_mm)
    radius = running.tyre_diameter_mm / 2 * _tyre_factor(typical, size)
    return Scaling(
        authored_x=np.array([0.0, running.front_overhang_mm, running.front_overhang_mm + typical.wheelbase_mm, typical.length_mm]),
        real_x=np.array([0.0, front, front + size.wheelbase_mm, size.length_mm]),
        across=size.width_mm / typical.width_mm,
        up=size.height_mm / typical.height_mm,
        tyre_radius_mm=radius,
        arch_radius_mm=radius + running.arch_gap_mm,
    )


def _tyre_factor(typical: Size, size: Size) -> float:
    mean = (size.length_mm / typical.length_mm * size.height_mm / typical.height_mm) ** 0.5
    return float(mean**_TYRE_FOLLOWS)

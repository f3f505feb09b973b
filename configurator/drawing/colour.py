"""Colours as light: what a smoke film does to a lamp's colours, and which ink stands out on a film's colour."""

import numpy as np

_LINEAR_LIMIT = 0.04045
_ENCODED_LIMIT = 0.0031308
_SLOPE = 12.92
_OFFSET = 0.055
_POWER = 2.4
"""The transfer function of IEC 61966-2-1 (sRGB)."""


def to_light(encoded: float) -> float:
    """sRGB value 0 ... 1 -> linear light 0 ... 1 (IEC 61966-2-1)."""
    if encoded <= _LINEAR_LIMIT:
        return encoded / _SLOPE
    return float(((encoded + _OFFSET) / (1 + _OFFSET)) ** _POWER)


def from_light(light: float) -> float:
    """Linear light 0 ... 1 -> sRGB value 0 ... 1 (IEC 61966-2-1)."""
    if light <= _ENCODED_LIMIT:
        return light * _SLOPE
    return float((1 + _OFFSET) * light ** (1 / _POWER) - _OFFSET)


def channels(colour: str) -> tuple[float, float, float]:
    """`#rrggbb` or `#rgb` -> sRGB values 0 ... 1. Raises ValueError for anything else."""
    digits = colour.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    if not colour.startswith("#") or len(digits) != 6:
        raise ValueError(f"not a colour: {colour!r}")
    red, green, blue = (int(digits[start : start + 2], 16) / 255 for start in (0, 2, 4))
    return red, green, blue


def hexadecimal(red: float, green: float, blue: float) -> str:
    return "#" + "".join(f"{round(np.clip(value, 0, 1) * 255):02x}" for value in (red, green, blue))


def darkened(colour: str, transmission: float) -> str:
    """`colour` behind a neutral film that lets `transmission` (0 ... 1) of the light through: light is multiplied, not the sRGB value."""
    if not 0 <= transmission <= 1:
        raise ValueError(f"not a transmission: {transmission}")
    return hexadecimal(*(from_light(to_light(value) * transmission) for value in channels(colour)))


def luminance(colour: str) -> float:
    """Relative luminance 0 ... 1 (WCAG 2.2, definition of relative luminance; the weights of IEC 61966-2-1)."""
    red, green, blue = (to_light(value) for value in channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def ink_on(colour: str) -> str:
    """Black or white, whichever stands out more on `colour` (WCAG contrast ratio)."""
    light = luminance(colour)
    return "#ffffff" if 1.05 / (light + 0.05) > (light + 0.05) / 0.05 else "#000000"

"""Smoked lamps darken as light does: the sRGB transfer function against the standard's constants.

Source: IEC 61966-2-1:1999 (sRGB) 5.2, constants 0.04045, 0.0031308, 12.92, 0.055, 2.4; the round trip and the mid-grey values are
computed here from the standard's formula by itself.
"""

import pytest

from configurator.drawing.colour import darkened, from_light, to_light


def standard_to_light(encoded: float) -> float:
    """IEC 61966-2-1 equations, written out once more."""
    return encoded / 12.92 if encoded <= 0.04045 else ((encoded + 0.055) / 1.055) ** 2.4


@pytest.mark.parametrize("code", range(256))
def test_every_eight_bit_value_agrees_with_the_standard_and_comes_back(code: int) -> None:
    encoded = code / 255

    assert to_light(encoded) == pytest.approx(standard_to_light(encoded), abs=1e-12)
    assert round(from_light(to_light(encoded)) * 255) == code


def test_the_two_branches_meet() -> None:
    assert pytest.approx(0.04045, abs=1e-5) == 0.0031308 * 12.92
    assert to_light(0.04045) == pytest.approx(0.0031308, abs=1e-7)


def test_half_the_light_is_not_half_the_code() -> None:
    """White at half its light is 188 in eight bits, not 128."""
    assert from_light(0.5) == pytest.approx(0.7354, abs=0.0001)
    assert darkened("#ffffff", 0.5) == "#bcbcbc"


@pytest.mark.parametrize("transmission", [1.0, 0.92, 0.70, 0.35, 0.18])
def test_a_lamps_colour_keeps_its_transmission_of_light(transmission: float) -> None:
    colour = darkened("#ff8040", transmission)
    for start, whole in ((1, 255), (3, 128), (5, 64)):
        left = standard_to_light(int(colour[start : start + 2], 16) / 255)
        assert left / standard_to_light(whole / 255) == pytest.approx(transmission, abs=0.02)

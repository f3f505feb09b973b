"""Colours as light.

Source of the constants: IEC 61966-2-1:1999 (sRGB), clause 5.2: linear below 0.0031308, slope 12.92, offset 0.055, exponent 2.4.
Source of the luminance and contrast formulas: WCAG 2.2, "relative luminance" and "contrast ratio".
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.drawing.colour import channels, darkened, from_light, hexadecimal, ink_on, luminance, to_light

SHARES = st.floats(0, 1)
CHANNELS = st.integers(0, 255)


@pytest.mark.parametrize(
    ("light", "encoded"),
    [
        (0.0, 0.0),
        (0.0031308, 12.92 * 0.0031308),
        (0.001, 0.01292),
        (0.5, 1.055 * 0.5 ** (1 / 2.4) - 0.055),
        (1.0, 1.0),
    ],
)
def test_light_is_encoded_by_the_standards_formula(light: float, encoded: float) -> None:
    assert from_light(light) == pytest.approx(encoded, abs=1e-12)


def test_both_branches_of_the_standard_meet() -> None:
    linear, power = 12.92 * 0.0031308, 1.055 * 0.0031308 ** (1 / 2.4) - 0.055

    assert from_light(0.0031308) == pytest.approx(power, abs=1e-7)
    assert linear == pytest.approx(power, abs=1e-7)


@pytest.mark.parametrize(("encoded", "light"), [(0.04045, 0.04045 / 12.92), (0.5, 0.214041140482), (0.2, 0.033104766571)])
def test_decoding_agrees_with_values_worked_out_from_the_standard(encoded: float, light: float) -> None:
    assert to_light(encoded) == pytest.approx(light, abs=1e-9)


@given(SHARES)
def test_decoding_undoes_encoding(light: float) -> None:
    assert to_light(from_light(light)) == pytest.approx(light, abs=2e-6)


def test_half_the_light_is_not_half_the_value() -> None:
    """50 % of white is 188 in 8-bit sRGB (round(255 * (1.055 * 0.5 ** (1 / 2.4) - 0.055))), not 128."""
    assert darkened("#ffffff", 0.5) == "#bcbcbc"


@given(CHANNELS, CHANNELS, CHANNELS)
def test_a_film_that_takes_no_light_changes_nothing(red: int, green: int, blue: int) -> None:
    colour = hexadecimal(red / 255, green / 255, blue / 255)

    assert darkened(colour, 1.0) == colour
    assert darkened(colour, 0.0) == "#000000"


@given(CHANNELS, SHARES, SHARES)
def test_two_films_multiply(value: int, first: float, second: float) -> None:
    colour = hexadecimal(value / 255, value / 255, value / 255)
    both, once = channels(darkened(darkened(colour, first), second))[0], channels(darkened(colour, first * second))[0]

    assert from_light(to_light(both)) == pytest.approx(from_light(to_light(once)), abs=14 / 255)


def test_less_light_is_never_brighter() -> None:
    shades = [luminance(darkened("#ff7a6b", share / 20)) for share in range(21)]

    assert shades == sorted(shades)


@pytest.mark.parametrize("wrong", ["red", "#12345", "123456", "#12345g"])
def test_what_is_no_colour_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match=r"colour|base 16"):
        channels(wrong)


@pytest.mark.parametrize("wrong", [-0.1, 1.2])
def test_what_is_no_transmission_is_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="transmission"):
        darkened("#ffffff", wrong)


@pytest.mark.parametrize(
    ("colour", "light"), [("#ffffff", 1.0), ("#000000", 0.0), ("#ff0000", 0.2126), ("#00ff00", 0.7152), ("#0000ff", 0.0722)]
)
def test_luminance_has_the_standards_weights(colour: str, light: float) -> None:
    assert luminance(colour) == pytest.approx(light, abs=1e-12)


@given(CHANNELS, CHANNELS, CHANNELS)
def test_the_ink_on_any_colour_reaches_the_contrast_of_large_text(red: int, green: int, blue: int) -> None:
    colour = hexadecimal(red / 255, green / 255, blue / 255)
    lights = sorted((luminance(colour), luminance(ink_on(colour))))

    assert (lights[1] + 0.05) / (lights[0] + 0.05) >= 4.5

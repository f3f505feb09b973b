"""Currencies, rounding and tax: ISO 4217 and CLDR, and worked cases of half-up rounding."""

from decimal import Decimal

import pytest
from babel import Locale
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.money import CURRENCIES, decimals, down_to_step, rounded, smallest_unit, tax_inside, to_money, to_step, up_to_step

CLDR_DIFFERS = {"AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"}
"""Currencies whose subunit exists in ISO 4217 but is out of use, so that CLDR gives them no decimals."""


@pytest.mark.parametrize(
    ("digits", "codes"),
    [
        (0, "JPY KRW CLP VND ISK XAF"),
        (2, "USD EUR GBP CHF SEK INR CZK TWD HUF MGA"),
        (3, "KWD BHD OMR TND"),
        (4, "CLF UYW"),
    ],
)
def test_minor_units_of_iso_4217(digits: int, codes: str) -> None:
    """ISO 4217 List One, column 'Minor unit'; from memory."""
    assert {decimals(code) for code in codes.split()} == {digits}


def test_minor_units_agree_with_cldr() -> None:
    """CLDR's currency data through babel; where CLDR gives fewer decimals, it is for a subunit out of use."""
    differing = {code for code, digits in CURRENCIES.items() if get_currency_precision(code) != digits}
    assert differing == CLDR_DIFFERS
    assert {get_currency_precision(code) for code in differing} == {0}


def test_every_currency_is_known_to_cldr() -> None:
    assert set(CURRENCIES) <= set(Locale.parse("en").currencies)


@pytest.mark.parametrize(
    ("amount", "currency", "expected"),
    [
        ("2.675", "USD", "2.68"),
        ("1.005", "USD", "1.01"),
        ("2.5", "JPY", "3"),
        ("-2.5", "JPY", "-3"),
        ("1.0005", "KWD", "1.001"),
    ],
)
def test_rounding_is_half_away_from_zero(amount: str, currency: str, expected: str) -> None:
    """Python's decimal documentation, ROUND_HALF_UP; binary floats would give 2.67 and 1.0 for the first two."""
    assert str(rounded(Decimal(amount), currency)) == expected


def test_float_dust_decides_no_half() -> None:
    """0.1 + 0.2 + 2.375 is 2.6749999999999998 in binary; as money it is 2.675 and rounds up."""
    assert to_money(0.1 + 0.2 + 2.375, "USD") == Decimal("2.68")


def test_tax_inside_a_gross_price() -> None:
    """1200.00 at 20 % holds 200.00; 999.99 at 19 % holds 159.66, and net 840.33 adds up to it to the cent (by hand)."""
    assert tax_inside(Decimal("1200.00"), Decimal("0.20"), "EUR") == Decimal("200.00")
    tax = tax_inside(Decimal("999.99"), Decimal("0.19"), "EUR")
    assert (tax, Decimal("999.99") - tax) == (Decimal("159.66"), Decimal("840.33"))


def test_swiss_cash_rounding() -> None:
    """12.33 and 12.325 to 0.05 are 12.35 (Swiss cash rounding; by hand)."""
    assert to_step(Decimal("12.33"), Decimal("0.05")) == Decimal("12.35")
    assert to_step(Decimal("12.325"), Decimal("0.05")) == Decimal("12.35")


@given(st.decimals("0", "1e6", places=2), st.sampled_from([Decimal(1), Decimal("0.05"), Decimal(25), Decimal(1000)]))
def test_steps_hold_the_amount_between_them(amount: Decimal, step: Decimal) -> None:
    low, near, high = down_to_step(amount, step), to_step(amount, step), up_to_step(amount, step)
    assert low <= amount <= high
    assert low <= near <= high
    assert high - low in (0, step)
    assert abs(near - amount) <= step / 2


@given(st.sampled_from(sorted(CURRENCIES)))
def test_smallest_unit_has_the_decimals(currency: str) -> None:
    assert -smallest_unit(currency).as_tuple().exponent == decimals(currency)

"""Decimals of currencies and the rules of rounding.

Sources: ISO 4217 minor units (List One; from memory, compared with CLDR's currency data through Babel), Python's `decimal`
(General Decimal Arithmetic) for the rounding modes.
"""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest
from babel import Locale
from babel.numbers import get_currency_precision

from configurator.domain.money import CURRENCIES, rounded, tax_inside
from configurator.wording import figures

MINOR_UNITS = [
    *((code, 0) for code in ("JPY", "KRW", "CLP", "VND", "ISK", "XAF")),
    *((code, 2) for code in ("USD", "EUR", "GBP", "CHF", "SEK", "INR", "CZK", "TWD", "HUF", "MGA")),
    *((code, 3) for code in ("KWD", "BHD", "OMR", "TND")),
    *((code, 4) for code in ("CLF", "UYW")),
]
CLDR_DIFFERS = {"AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"}
"""Where CLDR prints fewer decimals than ISO 4217 counts: subunits that nobody uses any more."""


@pytest.mark.parametrize(("currency", "decimals"), MINOR_UNITS)
def test_a_currency_has_its_minor_units(currency: str, decimals: int) -> None:
    assert CURRENCIES[currency] == decimals


def test_every_currency_agrees_with_cldr_unless_cldr_prints_fewer() -> None:
    differing = {code for code, decimals in CURRENCIES.items() if get_currency_precision(code) != decimals}

    assert differing == CLDR_DIFFERS
    assert all(get_currency_precision(code) < CURRENCIES[code] for code in differing)


@pytest.mark.parametrize(("currency", "decimals"), MINOR_UNITS)
def test_an_amount_is_printed_with_its_minor_units(currency: str, decimals: int) -> None:
    text = figures.money(Decimal("1.23456"), currency, Locale.parse("en_US"))

    assert len(text.partition(".")[2]) == decimals


def test_half_goes_away_from_zero_in_money_and_to_even_in_babel() -> None:
    assert [value.quantize(Decimal(1), ROUND_HALF_EVEN) for value in (Decimal("2.5"), Decimal("3.5"), Decimal("-2.5"))] == [2, 4, -2]
    assert [value.quantize(Decimal(1), ROUND_HALF_UP) for value in (Decimal("2.5"), Decimal("-2.5"))] == [3, -3]
    assert [rounded(Decimal(value), "JPY") for value in ("2.5", "-2.5")] == [3, -3]


def test_binary_floats_are_taken_by_their_shortest_decimal_form() -> None:
    """round(2.675, 2) is 2.67 in binary; as written it is 2.68."""
    assert round(2.675, 2) == 2.67
    assert figures.rounded(2.675, 2) == Decimal("2.68")
    assert figures.rounded(-0.004, 2) == 0
    assert str(figures.rounded(-0.004, 2)) == "0.00"


def test_tax_inside_a_price() -> None:
    """1200.00 at 20 % holds 200.00; 999.99 at 19 % holds 159.66 and leaves 840.33."""
    assert tax_inside(Decimal("1200.00"), Decimal("0.20"), "EUR") == Decimal("200.00")
    assert tax_inside(Decimal("999.99"), Decimal("0.19"), "EUR") == Decimal("159.66")
    assert Decimal("999.99") - Decimal("159.66") == Decimal("840.33")

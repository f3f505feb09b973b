"""Money: currencies, their smallest units, and the one rounding rule.

Amounts are `Decimal` in whole units of the currency (12.50), rounded half away from zero to the currency's own decimals;
ranges are rounded outward to the shop's step. Binary floats come in only through `to_money`.

Source: ISO 4217 (List One: active codes and their minor units), from memory; checked in tests against CLDR, which differs on
purpose for some (it gives MGA no decimals, ISO two).
"""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

_DECIMALS_BY_CODES = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: (
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW CNY COP "
        "COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR "
        "JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO "
        "NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS "
        "TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XCD YER ZAR ZMW ZWG"
    ),
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
CURRENCIES = {code: decimals for decimals, codes in _DECIMALS_BY_CODES.items() for code in codes.split()}
"""ISO 4217 code -> number of decimals of its minor unit."""


def decimals(currency: str) -> int:
    """2 for USD, 0 for JPY, 3 for KWD. KeyError for a code that ISO 4217 hasn't."""
    return CURRENCIES[currency]


def smallest_unit(currency: str) -> Decimal:
    """0.01 for USD, 1 for JPY, 0.001 for KWD."""
    return Decimal(1).scaleb(-decimals(currency))


def rounded(amount: Decimal, currency: str) -> Decimal:
    """To the currency's own decimals, half away from zero (2.675 -> 2.68, -2.5 JPY -> -3)."""
    return amount.quantize(smallest_unit(currency), rounding=ROUND_HALF_UP)


def to_money(amount: float, currency: str) -> Decimal:
    """A computed float as money. Twelve significant digits first, so that binary dust never decides a half."""
    return rounded(Decimal(f"{amount:.12g}"), currency)


def to_step(amount: Decimal, step: Decimal) -> Decimal:
    """The nearest multiple of `step`, half away from zero."""
    return (amount / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


def down_to_step(amount: Decimal, step: Decimal) -> Decimal:
    return (amount / step).quantize(Decimal(1), rounding=ROUND_FLOOR) * step


def up_to_step(amount: Decimal, step: Decimal) -> Decimal:
    return (amount / step).quantize(Decimal(1), rounding=ROUND_CEILING) * step


def tax_inside(gross: Decimal, rate: Decimal, currency: str) -> Decimal:
    """The tax contained in a gross amount: gross x rate / (1 + rate), so that net and tax add up to the gross to the cent."""
    return rounded(gross * rate / (1 + rate), currency)

"""Numbers, money, lengths and areas as a reader writes them (CLDR through Babel).

Babel rounds half to even. Every figure is rounded by our own rule (half away from zero) first, so Babel only prints it.
None of this is for SVG, CSS or JSON: those want a plain decimal point.
"""

from decimal import ROUND_HALF_UP, Decimal

from babel import Locale
from babel.numbers import format_currency, format_decimal, format_percent
from babel.units import format_unit

from configurator.domain import money as currencies
from configurator.wording.cldr_gaps import grouped, range_dash

MM_PER_INCH = Decimal("25.4")
SQUARE_FEET_PER_M2 = Decimal(1) / (Decimal("0.3048") ** 2)
_FROM_ONE_METRE_MM = 1000
_DIRECTION_MARKS = "\u200e\u200f\u061c"

Number = int | float | Decimal


def rounded(value: Number, digits: int) -> Decimal:
    """`value` to `digits` decimals, half away from zero; never a negative zero."""
    result = _exact(value).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)
    return abs(result) if result.is_zero() else result


def number(value: Number, locale: Locale, *, digits: int = 2) -> str:
    """A bare number with at most `digits` decimals, trailing zeros left out."""
    exact = _trimmed(rounded(value, digits))
    return format_decimal(exact, locale=locale, decimal_quantization=False, group_separator=grouped(exact, locale))


def percent(share: Number, locale: Locale, *, digits: int = 0) -> str:
    """A share of 1 as per cent."""
    return format_percent(rounded(share, digits + 2), locale=locale, decimal_quantization=False)


def money(amount: Number, currency: str, locale: Locale, *, short: bool = False) -> str:
    """An amount with its currency's own decimals (ISO 4217); `short` leaves them out when they are all zero."""
    exact = currencies.rounded(_exact(amount), currency)
    digits = 0 if short and _is_whole(exact) else currencies.CURRENCIES[currency]
    pattern = _with_decimals(locale.currency_formats["standard"].pattern, digits)
    separated = grouped(exact, locale)
    return format_currency(
        exact, currency, format=pattern, locale=locale, currency_digits=False, decimal_quantization=False, group_separator=separated
    )


def money_range(low: Number, high: Number, currency: str, locale: Locale) -> str:
    """Two amounts as one range; the sign of the currency stands once unless it is a single mark before the number.

    `$4,150 – $4,950` but `4.150–4.950 €` and `CHF 4'150–4'950`, as ICU's number range formatter collapses them.
    Decimals are left out when both amounts are whole. Equal amounts print as one.
    """
    short = all(_is_whole(currencies.rounded(_exact(amount), currency)) for amount in (low, high))
    first, last = (money(amount, currency, locale, short=short) for amount in (low, high))
    return first if first == last else _joined(first, last, range_dash(locale))


def length(mm: Number, locale: Locale, *, inches: bool = False) -> str:
    """A length as a reader measures: mm below a metre, metres with two decimals above; or inches."""
    if inches:
        exact = _exact(mm) / MM_PER_INCH
        return _unit(exact, "length-inch", locale, digits=0 if abs(exact) >= 100 else 1 if abs(exact) >= 2 else 2)
    if abs(_exact(mm)) < _FROM_ONE_METRE_MM:
        return _unit(mm, "length-millimeter", locale, digits=0)
    return _unit(_exact(mm) / 1000, "length-meter", locale, digits=2, keep_zeros=True)


def area(m2: Number, locale: Locale, *, inches: bool = False) -> str:
    """An area in square metres with two decimals, or in square feet with one."""
    if inches:
        return _unit(_exact(m2) * SQUARE_FEET_PER_M2, "area-square-foot", locale, digits=1)
    return _unit(m2, "area-square-meter", locale, digits=2, keep_zeros=True)


def candela(cd: Number, locale: Locale) -> str:
    """A luminous intensity, three significant digits below a thousand."""
    size = abs(float(cd))
    digits = 0 if size >= 100 else 1 if size >= 10 else 2
    return _unit(cd, "light-candela", locale, digits=digits)


def _unit(value: Number, unit: str, locale: Locale, *, digits: int, keep_zeros: bool = False) -> str:
    exact = rounded(value, digits)
    pattern = _with_decimals(locale.decimal_formats[None].pattern, digits) if keep_zeros else None
    return format_unit(exact if keep_zeros else _trimmed(exact), unit, "short", format=pattern, locale=locale)


def _with_decimals(pattern: str, digits: int) -> str:
    """A CLDR number pattern with its decimals replaced: `¤#,##0.00` with 0 gives `¤#,##0`."""
    return ";".join(_decimals_in(part, digits) for part in pattern.split(";"))


def _decimals_in(part: str, digits: int) -> str:
    last = max(part.rfind("0"), part.rfind("#"))
    point = part.find(".")
    head, tail = part[: point if 0 <= point <= last else last + 1], part[last + 1 :]
    return head + ("." + "0" * digits if digits else "") + tail


def _joined(first: str, last: str, dash: str) -> str:
    """Two printed amounts as a range, with what they share before or after the number printed once."""
    before = next(i for i, character in enumerate(first) if character.isdecimal() or character == "-")
    after = next(i for i, character in enumerate(reversed(first)) if character.isdecimal())
    prefix, suffix = first[:before], first[len(first) - after :]
    once = len(prefix.strip(_DIRECTION_MARKS)) != 1 and last.startswith(prefix)
    head = last[before:] if once else last
    tail = first[: len(first) - after] if last.endswith(suffix) else first
    return f"{tail}{dash if once else f' {dash.strip()} '}{head}"


def _exact(value: Number) -> Decimal:
    """Floats by their shortest decimal form, so that 2.675 counts as 2.675."""
    return value if isinstance(value, Decimal) else Decimal(str(value))


def _is_whole(value: Decimal) -> bool:
    return value == value.to_integral_value()


def _trimmed(value: Decimal) -> Decimal:
    """Without trailing zeros, never in exponent form."""
    return value.to_integral_value() if _is_whole(value) else value.normalize()

"""What CLDR says about figures and Babel does not carry. Read out of ICU 78 (CLDR 48) for the larger languages.

Only what differs from CLDR's root is listed: the dash of a range is `–`, and digits are grouped from four digits on.
"""

from decimal import Decimal

from babel import Locale

_RANGE_DASHES = {
    "bg": " – ", "bs": " – ", "ca": "-", "da": "-", "es": "-", "et": "‒", "eu": "-", "gu": "-", "hr": " – ", "it": "-", "ja": "～",
    "ka": "-", "ko": "~", "mk": " – ", "ml": "-", "nl": "-", "pt_PT": " - ", "ro": " - ", "sk": " – ", "sq": "-", "th": "-", "vi": "-",
    "zh": "-",
}  # fmt: skip
"""numbers/miscPatterns[@type='range'], by locale or language."""

_GROUPED_FROM_FIVE_DIGITS = {"be", "bg", "es", "es_ES", "et", "hu", "hy", "it", "it_IT", "it_CH", "ka", "lv", "pl", "pt_PT", "sl", "sq"}
"""numbers/minimumGroupingDigits = 2; Latin American Spanish groups from four."""


def range_dash(locale: Locale) -> str:
    """What stands between the two ends of a range of bare numbers."""
    return _RANGE_DASHES.get(_region(locale)) or _RANGE_DASHES.get(locale.language, "–")


def grouped(value: Decimal, locale: Locale) -> bool:
    """Whether the thousands of `value` are set apart."""
    few = abs(value) < 10_000
    from_five = _region(locale) in _GROUPED_FROM_FIVE_DIGITS or (
        locale.language in _GROUPED_FROM_FIVE_DIGITS and locale.language not in ("es", "pt")
    )
    return not (few and from_five)


def _region(locale: Locale) -> str:
    """Language and territory, as the tables name them."""
    return f"{locale.language}_{locale.territory}" if locale.territory else str(locale.language)

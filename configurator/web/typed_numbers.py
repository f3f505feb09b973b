"""Numbers as they come in: typed into a form in the way of the page's language, or as digits in a query or a hidden field."""

import re

from babel.numbers import NumberFormatError, parse_decimal

from configurator.errors import Fault, InvalidInput

_PLAIN = re.compile(r"\d{1,12}(?:[.,]\d{1,6})?")
LONGEST = 24


def typed_number(text: str, path: str, locale: str) -> float | None:
    """The number, or None for an empty field. Raises InvalidInput with the field's path for anything else."""
    tidy = text.strip()
    if not tidy:
        return None
    if len(tidy) <= LONGEST and _PLAIN.fullmatch(tidy) and not re.fullmatch(r"\d{1,3}[.,]\d{3}", tidy):
        return float(tidy.replace(",", "."))
    try:
        # One separator before three digits may be either; there the page's language decides.
        number = float(parse_decimal(tidy[:LONGEST], locale=locale, strict=True))
    except NumberFormatError as error:
        raise InvalidInput([Fault(path, "must_be_a_number")]) from error
    return number


def typed_share(text: str, path: str, locale: str) -> float | None:
    """A percentage as a share, 0..1 when it is one; None for an empty field. A per cent sign may stand behind it."""
    number = typed_number(text.strip().removesuffix("%").strip(), path, locale)
    return None if number is None else number / 100


def whole_number(text: str, *, most_digits: int = 9) -> int | None:
    """A whole number of ASCII digits, such as an id in a query or a hidden field; None for anything else, however long."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= most_digits else None

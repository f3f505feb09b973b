"""Numbers as people type them into a form, in the way of the page's language or with a plain decimal point."""

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

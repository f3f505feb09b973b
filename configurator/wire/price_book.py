"""A price book as a plain document: every figure by its name, money and dates as strings."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, time
from decimal import Decimal
from enum import Enum
from typing import Any

from configurator.domain.price_book import PriceBook


def dump_price_book(book: PriceBook) -> dict[str, Any]:
    """All figures, nested as the records are; mappings keep their order."""
    document: dict[str, Any] = _plain(book)
    return document


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, frozenset):
        return sorted(_plain(item) for item in value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Enum | Decimal):
        return str(value)
    if isinstance(value, date | time):
        return value.isoformat()
    return value

"""Frozen records to JSON and back, by their type hints: what went in comes out equal.

Decimal, date and datetime become strings where the hint says what they are; a fact of a message, which may be any of them,
carries its kind (`{"decimal": "12.50"}`).
"""

import dataclasses
import types
import typing
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from functools import cache
from typing import Any

from configurator.domain.message import Fact

_TAGGED: tuple[tuple[str, type, Any], ...] = (
    ("decimal", Decimal, Decimal),
    ("time", datetime, datetime.fromisoformat),
    ("day", date, date.fromisoformat),
)


def encode(value: Any) -> Any:
    """Plain JSON values for a record, or for anything a record may hold."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: _encode_as(_hints(type(value))[field.name], getattr(value, field.name)) for field in dataclasses.fields(value)}
    return _encode_as(type(value), value)


def decode(kind: Any, document: Any) -> Any:
    """The value of type `kind` that `encode` wrote. Raises TypeError for a document of another shape."""
    if kind == Fact:
        return _decode_fact(document)
    if kind is None or kind is types.NoneType:
        return None
    if dataclasses.is_dataclass(kind):
        return _decode_record(typing.cast(type, kind), document)
    origin, arguments = typing.get_origin(kind), typing.get_args(kind)
    if origin in {types.UnionType, typing.Union}:
        return None if document is None else decode(next(argument for argument in arguments if argument is not types.NoneType), document)
    if origin is tuple:
        return tuple(decode(arguments[0], item) for item in document)
    if origin in {dict, Mapping}:
        return {key: decode(arguments[1], item) for key, item in document.items()}
    return _decode_scalar(kind, document)


@cache
def _hints(kind: type) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _encode_as(kind: Any, value: Any) -> Any:
    if kind == Fact:
        return encode_fact(value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return encode(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Mapping):
        inner = typing.get_args(kind)[1] if typing.get_args(kind) else Any
        return {str(key): _encode_as(inner, item) for key, item in value.items()}
    if isinstance(value, tuple):
        inner = typing.get_args(kind)[0] if typing.get_args(kind) else Any
        return [_encode_as(inner, item) for item in value]
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    return value


def encode_fact(value: Any) -> Any:
    for tag, kind, _ in _TAGGED:
        if isinstance(value, kind):
            return {tag: value.isoformat() if isinstance(value, date) else str(value)}
    return value


def _decode_fact(document: Any) -> Any:
    if isinstance(document, Mapping):
        for tag, _, read in _TAGGED:
            if tag in document:
                return read(document[tag])
    return document


def _decode_record(kind: type, document: Any) -> Any:
    if not isinstance(document, Mapping):
        raise TypeError(f"{kind.__name__} can't be read from {type(document).__name__}")
    hints = _hints(kind)
    return kind(
        **{field.name: decode(hints[field.name], document[field.name]) for field in dataclasses.fields(kind) if field.name in document}
    )


def _decode_scalar(kind: Any, document: Any) -> Any:
    if kind is Decimal:
        return Decimal(document)
    if kind is datetime:
        return datetime.fromisoformat(document)
    if kind is date:
        return date.fromisoformat(document)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind(document)
    return float(document) if kind is float else document

"""Strict fields: a number is a JSON number, a flag is true or false, a choice is one of the contract's words."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from enum import StrEnum
from typing import Any

from marshmallow import Schema, fields
from marshmallow.validate import Validator

from configurator.wire.faults import Code, invalid

ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
EARLIEST, LATEST = date(1950, 1, 1), date(2100, 12, 31)


class StrictSchema(Schema):
    """Refuses unknown names and anything that isn't an object, by code."""

    error_messages = {"unknown": Code("unknown_key"), "type": Code("must_be_an_object")}  # noqa: RUF012 marshmallow's own attribute


MISSING: dict[str, Any] = {"required": Code("missing"), "null": Code("must_not_be_null"), "validator_failed": Code("invalid_value")}


class Part(fields.Nested):
    """An object of its own schema inside another."""

    default_error_messages = {**MISSING, "type": Code("must_be_an_object")}  # noqa: RUF012 marshmallow's own attribute


class Number(fields.Field[float]):
    """A JSON number from `low` to `high`, both included; true and "3" are no numbers."""

    default_error_messages = MISSING

    def __init__(self, *, low: float, high: float, **more: Any) -> None:
        super().__init__(**more)
        self.low, self.high = low, high

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise invalid("must_be_a_number")
        if value < self.low:
            raise invalid("too_small", least=self.low)
        if value > self.high:
            raise invalid("too_large", most=self.high)
        return float(value)


class Whole(Number):
    """A JSON whole number."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> float:
        number = super()._deserialize(value, attr, data, **kwargs)
        if number != int(number):
            raise invalid("must_be_whole")
        return int(number)


class Flag(fields.Field[bool]):
    """true or false."""

    default_error_messages = MISSING

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise invalid("must_be_true_or_false")
        return value


class Text(fields.Field[str]):
    """A string of at most `longest` characters without control characters (line breaks where `lines`)."""

    default_error_messages = MISSING

    def __init__(self, *, longest: int, least: int = 0, lines: bool = False, **more: Any) -> None:
        super().__init__(**more)
        self.longest, self.least, self.lines = longest, least, lines

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise invalid("must_be_text")
        text = value.strip()
        if len(text) > self.longest:
            raise invalid("text_too_long", most=self.longest)
        if len(text) < self.least:
            raise invalid("missing")
        if any(ord(character) < 32 and not (self.lines and character in "\n\r\t") for character in text) or "\x7f" in text:
            raise invalid("unreadable_text")
        return text


class Id(Text):
    """An id of the contract's manner: lower-case letters, digits and underscores."""

    FORM = re.compile(r"[a-z][a-z0-9_]{0,47}", re.ASCII)

    def __init__(self, **more: Any) -> None:
        super().__init__(longest=48, **more)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise invalid("must_be_text")
        if not self.FORM.fullmatch(value):
            raise invalid("unknown_id", id=_shown(value))
        return value


class Choice(fields.Field[Any]):
    """One of an enumeration's words, or of some of them."""

    default_error_messages = MISSING

    def __init__(self, choices: Iterable[StrEnum], **more: Any) -> None:
        super().__init__(**more)
        self.choices = {str(choice): choice for choice in choices}

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> StrEnum:
        if not isinstance(value, str):
            raise invalid("must_be_text")
        try:
            return self.choices[value]
        except KeyError:
            raise invalid("not_a_choice", id=_shown(value), choices=", ".join(self.choices)) from None


class Day(fields.Field[date]):
    """A calendar date as YYYY-MM-DD (ISO 8601), from 1950 to 2100."""

    default_error_messages = MISSING

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> date:
        if not isinstance(value, str) or not ISO_DATE.fullmatch(value):
            raise invalid("must_be_a_date")
        try:
            day = date.fromisoformat(value)
        except ValueError:
            raise invalid("must_be_a_date") from None
        if not EARLIEST <= day <= LATEST:
            raise invalid("must_be_a_date")
        return day


class Listed(fields.List[Any]):
    """A JSON array of at most `most` different items."""

    default_error_messages = {**MISSING, "invalid": Code("must_be_a_list")}  # noqa: RUF012 marshmallow's own attribute

    def __init__(self, inner: fields.Field[Any], *, most: int, **more: Any) -> None:
        super().__init__(inner, validate=_Distinct(most), **more)
        self.most = most


class _Distinct(Validator):
    def __init__(self, most: int) -> None:
        self.most = most

    def __call__(self, value: list[Any]) -> list[Any]:
        if len(value) > self.most:
            raise invalid("too_many", most=self.most)
        if len(set(value)) != len(value):
            raise invalid("named_twice", id=_shown(str(next(item for item in value if value.count(item) > 1))))
        return value


class Table(fields.Dict):
    """A JSON object from ids to values, at most `most` entries."""

    default_error_messages = {**MISSING, "invalid": Code("must_be_an_object")}  # noqa: RUF012 marshmallow's own attribute

    def __init__(self, values: fields.Field[Any], *, most: int = 80, **more: Any) -> None:
        super().__init__(keys=Id(), values=values, validate=lambda table: _bounded(table, most), **more)


def _bounded(table: dict[str, Any], most: int) -> None:
    if len(table) > most:
        raise invalid("too_many", most=most)


def _shown(value: str) -> str:
    """What came in, cut short and made printable, for the fault's text."""
    return "".join(character if character.isprintable() else "?" for character in value[:40])

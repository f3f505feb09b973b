"""JSON as RFC 8259 and I-JSON (RFC 7493) mean it, with bounds: what a lenient parser lets through is refused with its place.

Refused: bytes that aren't UTF-8, bodies over the bound, nesting over the bound, duplicate names, NaN and Infinity, numbers
beyond a double, NUL and lone surrogates in strings (PostgreSQL can't store them, and they break other readers).
"""

import json
import math
from typing import NoReturn

from configurator.errors import Fault, InvalidInput

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
MAX_NUMBER_DIGITS = 40


class _Refused(Exception):
    def __init__(self, code: str, **facts: object) -> None:
        self.code = code
        self.facts = facts


def parse_json(data: bytes, *, max_bytes: int = MAX_BYTES) -> object:
    """The document in `data`. Raises InvalidInput with one fault; its path is empty where no place can be named."""
    if len(data) > max_bytes:
        raise InvalidInput([Fault("", "document_too_large", {"bytes": max_bytes})])
    try:
        text = data.decode("utf-8")
        _check_depth(text)
        document: object = json.loads(text, object_pairs_hook=_unique, parse_constant=_no_constant, parse_float=_double, parse_int=_whole)
    except UnicodeDecodeError:
        raise InvalidInput([Fault("", "not_utf8")]) from None
    except json.JSONDecodeError as error:
        raise InvalidInput([Fault("", "not_json", {"line": error.lineno, "column": error.colno})]) from None
    except _Refused as refused:
        raise InvalidInput([Fault(str(refused.facts.pop("path", "")), refused.code, refused.facts)]) from None
    _check_strings(document, "")
    return document


def _check_depth(text: str) -> None:
    """Counts brackets outside strings before the parser recurses."""
    depth = 0
    in_string = escaped = False
    for character in text:
        if in_string:
            if escaped:
                escaped = False
            elif character == "\\":
                escaped = True
            elif character == '"':
                in_string = False
        elif character == '"':
            in_string = True
        elif character in "[{":
            depth += 1
            if depth > MAX_DEPTH:
                raise _Refused("nested_too_deeply", levels=MAX_DEPTH)
        elif character in "]}":
            depth -= 1


def _unique(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for name, value in pairs:
        if name in found:
            raise _Refused("duplicate_name", path=name[:60], name=name[:60])
        found[name] = value
    return found


def _no_constant(name: str) -> NoReturn:
    raise _Refused("not_a_number", name=name)


def _double(text: str) -> float:
    value = float(text)
    if not math.isfinite(value) or len(text) > MAX_NUMBER_DIGITS:
        raise _Refused("number_out_of_range")
    return value


def _whole(text: str) -> int:
    if len(text) > MAX_NUMBER_DIGITS:
        raise _Refused("number_out_of_range")
    return int(text)


def _check_strings(value: object, path: str) -> None:
    if isinstance(value, str):
        if "\x00" in value or any("\ud800" <= character <= "\udfff" for character in value):
            raise InvalidInput([Fault(path, "unreadable_text")])
    elif isinstance(value, dict):
        for name, item in value.items():
            _check_strings(name, path)
            _check_strings(item, f"{path}.{name}" if path else name)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            _check_strings(item, f"{path}[{index}]")

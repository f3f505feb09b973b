"""Turns marshmallow's nested messages into flat faults with a path such as `vehicle.size.length_mm` or `coverage.add[1]`.

Validators in this package raise `ValidationError` with a `Code`, never with a sentence: the sentences are `wording`'s.
"""

from collections.abc import Iterator
from typing import Any

from marshmallow import ValidationError

from configurator.errors import Fault, InvalidInput


class Code(str):
    """A fault's code as a marshmallow message, with facts for its text."""

    facts: dict[str, object]

    def __new__(cls, code: str, **facts: object) -> "Code":
        made = super().__new__(cls, code)
        made.facts = facts
        return made


def invalid(code: str, **facts: object) -> ValidationError:
    """The error a validator raises."""
    return ValidationError([Code(code, **facts)])


def flatten(messages: Any, path: str = "") -> Iterator[Fault]:
    """Every fault in a marshmallow message tree, in the order of the tree."""
    if isinstance(messages, dict):
        for key, inner in messages.items():
            yield from flatten(inner, _join(path, key))
    elif isinstance(messages, list):
        for message in messages:
            yield from flatten(message, path)
    else:
        yield Fault(path, str(messages), getattr(messages, "facts", {}))


def refuse(error: ValidationError, prefix: str = "") -> InvalidInput:
    """The domain's error for a marshmallow one."""
    return InvalidInput(flatten(error.messages, prefix))


def _join(path: str, key: object) -> str:
    if key == "_schema":
        return path
    if isinstance(key, int):
        return f"{path}[{key}]"
    if key in {"key", "value"}:
        return path
    return f"{path}.{key}" if path else str(key)

"""Read a data file's nested values one by one, remembering every fault with its path instead of stopping at the first.

A reader asks a `Node` for what it expects (`number`, `text`, `one_of`, `fields`). What is wrong is put on the shared list of
faults and a harmless stand-in is returned, so that one pass over a file names everything that is wrong with it.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from typing import TypeVar

from configurator.errors import Fault, InvalidData

Value = TypeVar("Value")
Choice = TypeVar("Choice", bound=str)


@dataclass(frozen=True)
class Node:
    """One value of a data file and where it stands in it."""

    value: object
    path: str
    faults: list[Fault] = field(default_factory=list)

    def fault(self, code: str, **facts: object) -> None:
        self.faults.append(Fault(self.path, code, facts))

    def raise_faults(self, file: str) -> None:
        """`InvalidData` naming the file, when anything was wrong."""
        if self.faults:
            raise InvalidData(file, self.faults)

    def child(self, key: str, value: object) -> "Node":
        return Node(value, f"{self.path}.{key}" if self.path else key, self.faults)

    # -- structure

    def fields(self, required: Iterable[str], optional: Iterable[str] = ()) -> "Fields":
        """The mapping's values by key: every required key there, no key that nobody knows."""
        required, optional = tuple(required), tuple(optional)
        entries = self._mapping()
        for key in entries:
            if key not in required and key not in optional:
                self.child(key, None).fault("unknown_key")
        for key in required:
            if key not in entries:
                self.child(key, None).fault("missing")
        return Fields(self, entries)

    def entries(self) -> Iterator[tuple[str, "Node"]]:
        """Key and node of a mapping whose keys are free (ids)."""
        for key, value in self._mapping().items():
            yield key, self.child(key, value)

    def items(self) -> Iterator["Node"]:
        """The nodes of a list."""
        if not isinstance(self.value, list):
            self.fault("must_be_a_list")
            return
        for index, value in enumerate(self.value):
            yield Node(value, f"{self.path}[{index}]", self.faults)

    def _mapping(self) -> Mapping[str, object]:
        if not isinstance(self.value, dict):
            self.fault("must_be_an_object")
            return {}
        if not all(isinstance(key, str) for key in self.value):
            self.fault("must_be_an_object")
            return {}
        return self.value

    # -- single values

    def text(self) -> str:
        if not isinstance(self.value, str) or not self.value.strip():
            self.fault("must_be_text")
            return ""
        return self.value

    def optional_text(self) -> str | None:
        return None if self.value is None else self.text()

    def flag(self) -> bool:
        if not isinstance(self.value, bool):
            self.fault("must_be_true_or_false")
            return False
        return self.value

    def number(self, *, least: float = 0.0, most: float = math.inf) -> float:
        """A finite number within its bounds; `least` stands in for anything else."""
        if isinstance(self.value, bool) or not isinstance(self.value, int | float):
            self.fault("must_be_a_number")
            return least
        number = float(self.value)
        if not math.isfinite(number):
            self.fault("must_be_a_number")
        elif number < least:
            self.fault("too_small", least=least)
        elif number > most:
            self.fault("too_large", most=most)
        else:
            return number
        return least

    def whole(self, *, least: int = 0, most: int = 10_000) -> int:
        number = self.number(least=least, most=most)
        if number != int(number):
            self.fault("must_be_whole")
        return int(number)

    def money(self) -> Decimal:
        """Never below zero; taken over digit by digit as written."""
        return Decimal(repr(self.number())).normalize() + Decimal(0)

    def one_of(self, choices: Iterable[Choice]) -> Choice:
        choices = tuple(choices)
        for choice in choices:
            if self.value == str(choice):
                return choice
        self.fault("not_a_choice", id=str(self.value)[:60], choices=", ".join(choices))
        return choices[0]

    def day(self) -> date:
        if type(self.value) is date:
            return self.value
        return self._parsed(date.fromisoformat, "must_be_a_date", date(2000, 1, 3))

    def clock_time(self) -> time:
        return self._parsed(time.fromisoformat, "must_be_a_time", time(0, 0))

    def _parsed(self, parse: Callable[[str], Value], code: str, stand_in: Value) -> Value:
        try:
            return parse(self.value if isinstance(self.value, str) else "")
        except ValueError:
            self.fault(code)
            return stand_in


@dataclass(frozen=True)
class Fields:
    """The values of one mapping by key. A key that was missing is a fault already: asking for it gives a node off the record."""

    node: Node
    entries: Mapping[str, object]

    def __getitem__(self, key: str) -> Node:
        if key in self.entries:
            return self.node.child(key, self.entries[key])
        return Node(None, f"{self.node.path}.{key}")

    def __contains__(self, key: str) -> bool:
        return key in self.entries

    def optional(self, key: str, read: Callable[[Node], Value], default: Value) -> Value:
        return read(self[key]) if key in self else default

"""Figures of a price book: a value (or a row of them) that states its unit and the reason why it stands there."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TypeVar

from configurator.domain.price_book import Figure
from configurator.loading.reading import Fields, Node

Value = TypeVar("Value")


@dataclass
class FigureReader:
    """Reads figures and remembers each, so that a book can be shown with its reasons. `currency` is part of money's unit."""

    currency: str
    figures: list[Figure] = field(default_factory=list)

    def number(self, node: Node, unit: str, *, least: float = 0.0, most: float = math.inf) -> float:
        return self.single(node, unit, lambda value: value.number(least=least, most=most))

    def whole(self, node: Node, unit: str, *, least: int = 0, most: int = 10_000) -> int:
        return self.single(node, unit, lambda value: value.whole(least=least, most=most))

    def share(self, node: Node, unit: str) -> float:
        return self.number(node, unit, most=1.0)

    def money(self, node: Node, per: str = "") -> Decimal:
        return self.single(node, self.currency + per, Node.money)

    def single(self, node: Node, unit: str, read: Callable[[Node], Value]) -> Value:
        """One figure `{value, unit, why}`."""
        return read(self.row(node, unit, ("value",))["value"])

    def row(self, node: Node, unit: str, keys: tuple[str, ...], *, also: tuple[str, ...] = ()) -> Fields:
        """Several figures that share a unit and a reason `{trimmed, wrapped, hidden, unit, why}`; `also` are no figures."""
        fields = node.fields((*keys, *also, "unit", "why"))
        fields["unit"].one_of((unit,))
        self._note(fields, dict.fromkeys(keys, unit))
        return fields

    def table_row(self, node: Node, units: Mapping[str, str], also: tuple[str, ...], optional: tuple[str, ...]) -> Fields:
        """A row of a table whose columns' units stand once, at its head; the row gives its reason."""
        fields = node.fields((*units, *also, "why"), optional)
        self._note(fields, units)
        return fields

    def _note(self, fields: Fields, units: Mapping[str, str]) -> None:
        why = fields["why"].text()
        for key, unit in units.items():
            path = fields.node.path if key == "value" else f"{fields.node.path}.{key}"
            self.figures.append(Figure(path, _as_text(fields[key].value), unit, why))


def _as_text(value: object) -> str:
    return " / ".join(map(str, value)) if isinstance(value, list) else str(value)

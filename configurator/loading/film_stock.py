"""The film that a shop has at hand: rolls and offcuts with what is left on them.

    new_rolls: true            # whether a roll that isn't listed may be opened, at the price book's cost
    rolls:
      - {id: R-17, film: gloss-clear, width_mm: 1524, left_m: 9.4}
      - {id: O-3, film: gloss-clear, width_mm: 1524, left_m: 2.1, cost_per_m: 20}

`cost_per_m`, in the price book's currency, is what a meter is worth to the shop; where it is left out, what the price book has for
that width. An offcut is worth less than new film, but something: the next job may need it.
"""

from decimal import Decimal
from pathlib import Path

from configurator.domain.film_plan.rolls import StockRoll, stock_of
from configurator.domain.price_book import PriceBook
from configurator.loading.reading import Node
from configurator.loading.yaml_file import read_yaml

LONGEST_M = 1_000.0


def load_film_stock(path: Path, book: PriceBook) -> tuple[StockRoll, ...]:
    """The rolls to plan with; those of the price book, without end, come last where new rolls may be opened. YAML or JSON.

    Raises `InvalidData` with every fault of the file.
    """
    root = Node(read_yaml(path), "")
    fields = root.fields(("rolls",), ("new_rolls",))
    nodes = list(fields["rolls"].items())
    rolls = tuple(_roll(node, book) for node in nodes)
    seen: set[str | None] = set()
    for node, roll in zip(nodes, rolls, strict=True):
        if roll.id in seen:
            node.child("id", None).fault("same_id_twice", id=roll.id)
        seen.add(roll.id)
    opened = fields.optional("new_rolls", Node.flag, True)
    root.raise_faults(path.name)
    return (*rolls, *(stock_of(book) if opened else ()))


def _roll(node: Node, book: PriceBook) -> StockRoll:
    fields = node.fields(("id", "film", "width_mm", "left_m"), ("cost_per_m",))
    film = fields["film"].one_of(tuple(book.films))
    width = fields["width_mm"].number(least=100.0, most=4000.0)
    return StockRoll(
        film=film,
        width_mm=width,
        cost_per_m=fields["cost_per_m"].money() if "cost_per_m" in fields else _book_cost(fields["width_mm"], film, width, book),
        left_mm=fields["left_m"].number(most=LONGEST_M) * 1000,
        id=fields["id"].text(),
    )


def _book_cost(node: Node, film: str, width_mm: float, book: PriceBook) -> Decimal:
    try:
        return book.films[film].roll(width_mm).cost_per_m
    except KeyError:
        node.fault("width_without_cost")
        return Decimal(0)

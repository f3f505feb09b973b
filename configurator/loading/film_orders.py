"""Orders of pieces known to nest well, per body style (`data/film_orders.yaml`): where the quick planner starts to look."""

from functools import lru_cache
from pathlib import Path

from configurator.domain.film_plan.starting_orders import KnownOrder
from configurator.loading.reading import Node
from configurator.loading.yaml_file import read_yaml

FILM_ORDERS_FILE = Path(__file__).parents[1] / "data" / "film_orders.yaml"


def known_orders(body: str) -> tuple[KnownOrder, ...]:
    """The orders for a body style; none for one that the file doesn't know (the planner then starts from the pieces' sizes)."""
    return load_film_orders(FILM_ORDERS_FILE).get(body, ())


@lru_cache(maxsize=4)
def load_film_orders(path: Path) -> dict[str, tuple[KnownOrder, ...]]:
    """Body style -> orders of piece ids. Raises `InvalidData`."""
    root = Node(read_yaml(path), "")
    orders = {
        body: tuple(_order(order) for order in node.items()) for body, node in root.fields(("made", "method", "orders"))["orders"].entries()
    }
    root.raise_faults(path.name)
    return orders


def _order(node: Node) -> KnownOrder:
    fields = node.fields(("directional", "area_m2", "pieces"))
    return KnownOrder(
        pieces=tuple(piece.text() for piece in fields["pieces"].items()),
        area_m2=fields["area_m2"].number(most=1000),
        directional=fields["directional"].flag(),
    )

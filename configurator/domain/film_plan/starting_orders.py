"""Orders to lay pieces in that a search starts from: those known to nest well, and the larger first.

Here an order is a list of numbers, as `bottom_left` takes it; on file it is a list of piece ids.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from configurator.domain.film_plan.records import Piece

KNOWN_STARTS, KNOWN_PIECES = 3, 40
"""Known orders that are tried: three, or more where that lays no more than so many pieces."""

FAR_EDGE = "^"
"""Before an id in a known order: that piece is laid toward the roll's far edge."""


@dataclass(frozen=True)
class KnownOrder:
    """An order of piece ids that nested well, and for what: `area_m2` of nest outlines, on film with a direction or not."""

    pieces: tuple[str, ...]
    area_m2: float
    directional: bool


Orders = Sequence[KnownOrder]


def closest(orders: Iterable[KnownOrder], pieces: Sequence[Piece]) -> list[KnownOrder]:
    """The few orders made for the likest set of pieces.

    Fewest pieces that they don't name, then fewest that aren't here, the same kind of film, the nearest area.
    """
    if not pieces:
        return []
    here = {piece.id for piece in pieces} | {piece.panel for piece in pieces}
    area = sum(piece.nest_area_mm2 for piece in pieces) / 1e6
    directional = any(piece.directional for piece in pieces)

    def unlike(order: KnownOrder) -> tuple[int, int, bool, float]:
        named = {name.removeprefix(FAR_EDGE) for name in order.pieces}
        unknown = sum(piece.id not in named and piece.panel not in named for piece in pieces)
        return unknown, len(named - here), order.directional != directional, abs(order.area_m2 - area)

    return sorted(orders, key=unlike)[: max(KNOWN_STARTS, KNOWN_PIECES // len(pieces))]


def positions(order: Sequence[str], pieces: Sequence[Piece]) -> list[int]:
    """A known order of ids as numbers. A piece that it doesn't name stands where its panel does, else by its size."""
    rank = {name.removeprefix(FAR_EDGE): place for place, name in enumerate(order)}
    far = {name.removeprefix(FAR_EDGE) for name in order if name.startswith(FAR_EDGE)}
    every = range(len(pieces))
    named = [index for index in every if pieces[index].id in rank or pieces[index].panel in rank]
    laid = sorted(named, key=lambda index: (rank.get(pieces[index].id, rank.get(pieces[index].panel, 0)), -pieces[index].nest_area_mm2))
    for index in sorted(set(every) - set(named), key=lambda index: -pieces[index].nest_area_mm2):
        area = pieces[index].nest_area_mm2
        laid.insert(next((at for at, other in enumerate(laid) if pieces[other].nest_area_mm2 < area), len(laid)), index)
    return [~index if pieces[index].id in far else index for index in laid]


def by_size(pieces: Sequence[Piece]) -> list[list[int]]:
    """Where a search starts when nothing is known: the larger first, by four measures of size."""
    sizes: list[Callable[[Piece], float]] = [
        lambda piece: sum(piece.nest_box_mm),
        lambda piece: piece.nest_area_mm2,
        lambda piece: max(piece.nest_box_mm),
        lambda piece: min(piece.nest_box_mm),
    ]
    return [sorted(range(len(pieces)), key=lambda index: -size(pieces[index])) for size in sizes]


def names(order: Iterable[int], pieces: Sequence[Piece]) -> tuple[str, ...]:
    """An order of numbers as one of piece ids."""
    return tuple(pieces[turn].id if turn >= 0 else FAR_EDGE + pieces[~turn].id for turn in order)

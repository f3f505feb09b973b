"""Looking for a better order to lay the pieces in. Seeded, and counted in steps of work, never in time: same input, same plan."""

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from configurator.domain.film_plan.bottom_left import Placed, Sequencer

PULL_FORWARD, SWAP_NEAR = 0.50, 0.85
"""Shares of moves: half take a piece that reaches the strip's end earlier, a third swap near neighbours, the rest move any piece."""

OTHER_EDGE = 0.25
"""Share of moves after which the moved piece is laid toward the roll's other edge."""

SLACK_COLUMNS = 2
SLACK_CHANCE = 0.3
"""Now and then an order that is up to two columns longer is kept, to get away from a dead end."""

UNBOUNDED = 1 << 30


@dataclass(frozen=True)
class Laid:
    """An order of pieces, where they came to lie, and the end column."""

    order: tuple[int, ...]
    placed: tuple[Placed, ...]
    end: int


def best_start(sequencer: Sequencer, orders: Iterable[Sequence[int]], *, steps: int) -> Laid:
    """The shortest of some given orders, the first of equals; one that gets no shorter than the best so far is given up.

    The likelier good ones come first: once about `steps` are spent, no other is begun.
    """
    best, until = Laid((), (), UNBOUNDED), sequencer.steps + steps
    for order in orders:
        placed: list[Placed] = []
        end = sequencer.lay(order, placed, longest=best.end - 1)
        if end < best.end:
            best = Laid(tuple(order), tuple(placed), end)
        if sequencer.steps >= until:
            break
    return best


def improve(sequencer: Sequencer, start: Laid, *, steps: int, seed: int = 1) -> Laid:
    """The shortest order found from `start` within about `steps` more steps of work."""
    chance = random.Random(seed)  # noqa: S311 - a search, no secret
    until = sequencer.steps + steps
    current = best = start
    if len(start.order) < 2:
        return best
    while sequencer.steps < until:
        order, changed = _moved(current, chance)
        if changed is None:
            sequencer.steps += 1
            continue
        placed = list(current.placed[:changed])
        end = sequencer.lay(order, placed, longest=current.end + SLACK_COLUMNS)
        if len(placed) < len(order) or (end > current.end and chance.random() >= SLACK_CHANCE):
            continue
        current = Laid(tuple(order), tuple(placed), end)
        if end < best.end:
            best = current
    return best


def _moved(laid: Laid, chance: random.Random) -> tuple[list[int], int | None]:
    """A neighbouring order and the first place in it that differs; None when the move changes nothing."""
    order, count, kind = list(laid.order), len(laid.order), chance.random()
    if kind < PULL_FORWARD:
        last = [index for index, item in enumerate(laid.placed) if item.end >= laid.end]
        source = last[int(chance.random() * len(last))]
        target = int(chance.random() * (source + 1))
    elif kind < SWAP_NEAR:
        source = int(chance.random() * (count - 1))
        target = min(count - 1, source + 1 + int(chance.expovariate(0.5)))
        order[source], order[target] = order[target], order[source]
    else:
        source, target = int(chance.random() * count), int(chance.random() * count)
    if kind < PULL_FORWARD or kind >= SWAP_NEAR:
        order.insert(target, order.pop(source))
    other_edge = chance.random() < OTHER_EDGE
    if other_edge:
        order[target] = ~order[target]
    return order, min(source, target) if source != target or other_edge else None

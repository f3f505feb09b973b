"""Which roll each piece is cut from, so that the least money goes on film."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from configurator.domain.film_plan.nesting import Run, Search, nest, search_on
from configurator.domain.film_plan.offcuts import cheap_first, fill_in_turn
from configurator.domain.film_plan.records import FilmPlan, Piece, RollPlan
from configurator.domain.film_plan.rolls import Effort, NotEnoughFilm, StockRoll, film_cost
from configurator.domain.film_plan.starting_orders import Orders

NOISE = Decimal("0.03")
"""A second roll must save more than this share: below it a saving is the planner's luck, not the film's."""

SCOUTING = 0.12
"""Share of the work spent on each width before the cheapest is gone into."""

PARTING = 0.02
"""Share of the work spent on each way of parting the pieces between two widths."""

MOST_OFFCUTS = 4
"""So many rolls with a rest are tried one more at a time; then all of them."""

MOST_THRESHOLDS = 6
"""Breadths tried as the line between the pieces of a narrow and a wide roll."""


def least_cost_rolls(pieces: Sequence[Piece], stock: Sequence[StockRoll], effort: Effort, orders: Orders = ()) -> tuple[RollPlan, ...]:
    """The rolls for pieces of one film: one that takes them all; or two widths, or offcuts filled first, where that saves money.

    Raises NotEnoughFilm when the rolls don't take all pieces.
    """
    whole = _one_roll(pieces, stock, effort, orders)
    if effort.two_widths:
        whole = _cheaper(whole, _two_widths(pieces, [roll for roll in stock if roll.left_mm is None], effort, orders), stock)
    if any(roll.left_mm is not None for roll in stock):
        whole = _cheaper(whole, _offcuts_first(pieces, stock, effort, orders), stock)
    if whole is None:
        raise NotEnoughFilm(pieces[0].film)
    return whole


def _cheaper(
    whole: tuple[RollPlan, ...] | None, parted: tuple[RollPlan, ...] | None, stock: Sequence[StockRoll]
) -> tuple[RollPlan, ...] | None:
    """`parted` only where it saves more than the planner's noise, or where there is nothing else."""
    if whole is None or parted is None:
        return whole or parted
    costs = [film_cost(FilmPlan("quick", rolls), stock) for rolls in (whole, parted)]
    return parted if costs[1] < costs[0] * (1 - NOISE) else whole


def _one_roll(pieces: Sequence[Piece], rolls: Sequence[StockRoll], effort: Effort, orders: Orders) -> tuple[RollPlan, ...] | None:
    """All pieces on the roll that costs least: each width is scouted, the best is gone into with what is left of the work.

    Where two cost the same, the one with less left on it is used up first.
    """
    searches = _searches(pieces, {roll.width_mm for roll in rolls}, orders)
    scouting = round(effort.steps * SCOUTING)
    found = _cheapest({width: search.scouted(scouting) for width, search in searches.items()}, rolls) if len(searches) > 1 else None
    if found is None:
        return _cheapest({width: search.finished(effort.steps) for width, search in searches.items()}, rolls)
    width = found[0].roll_width_mm
    longer_sought = searches[width].finished(effort.steps - scouting * (len(searches) - 1))
    return _cheapest({width: longer_sought}, rolls) or found


def _searches(pieces: Sequence[Piece], widths: Iterable[float], orders: Orders) -> dict[float, Search]:
    """Width -> search, for the widths that no piece is too broad for."""
    searches = {width: search_on(pieces, width, orders=orders) for width in sorted(widths)}
    return {width: search for width, search in searches.items() if search is not None}


def _cheapest(runs: Mapping[float, Run], rolls: Sequence[StockRoll]) -> tuple[RollPlan, ...] | None:
    """Of the rolls that hold the run of their width, the one on which it costs least."""
    able = [(roll, run) for roll in rolls if (run := runs.get(roll.width_mm)) and roll.holds(run.length_mm)]
    if not able:
        return None
    roll, run = min(able, key=lambda found: (found[0].cost(found[1].length_mm), found[0].left_mm or float("inf"), found[0].width_mm))
    return (roll.plan(run),)


def _two_widths(pieces: Sequence[Piece], rolls: Sequence[StockRoll], effort: Effort, orders: Orders) -> tuple[RollPlan, ...] | None:
    """Pieces up to some breadth on a narrow roll, the others on a wider one, at the cheapest line between them."""
    best: tuple[Decimal, list[tuple[StockRoll, list[Piece]]]] | None = None
    for narrow, wide in ((a, b) for a in rolls for b in rolls if a.width_mm < b.width_mm):
        for threshold in _thresholds(pieces, narrow.width_mm):
            slim = [piece for piece in pieces if piece.breadth_mm() <= threshold]
            broad = [piece for piece in pieces if piece.breadth_mm() > threshold]
            steps = round(effort.steps * PARTING)
            on_narrow = nest(slim, narrow.width_mm, orders=orders, steps=steps)
            on_wide = nest(broad, wide.width_mm, orders=orders, steps=steps)
            if on_narrow is None or on_wide is None:
                continue
            cost = narrow.cost(on_narrow.length_mm) + wide.cost(on_wide.length_mm)
            if best is None or cost < best[0]:
                best = cost, [(narrow, slim), (wide, broad)]
    if best is None:
        return None
    each = [_one_roll(part, [roll], replace(effort, steps=effort.steps // 2), orders) for roll, part in best[1]]
    return tuple(roll for rolls in each for roll in rolls or ())


def _thresholds(pieces: Sequence[Piece], narrow_mm: float) -> list[float]:
    """Breadths that part the pieces in two, evenly picked; mirror images have the same breadth and stay together."""
    breadths = sorted({round(piece.breadth_mm(), 1) + 0.05 for piece in pieces})
    usable = [breadth for breadth in breadths[:-1] if breadth <= narrow_mm]
    step = max(1, -(-len(usable) // MOST_THRESHOLDS))
    return usable[::-step]


def _offcuts_first(pieces: Sequence[Piece], stock: Sequence[StockRoll], effort: Effort, orders: Orders) -> tuple[RollPlan, ...] | None:
    """What is left of some rolls filled with what goes on it, cheap film first; the other pieces on one more roll.

    The cheapest roll with a rest alone, the cheapest two, and so on: not every offcut that is at hand pays.
    """
    measured = sorted((roll for roll in stock if roll.left_mm is not None), key=cheap_first)
    found: list[tuple[RollPlan, ...]] = []
    for count in [*range(1, min(len(measured), MOST_OFFCUTS)), len(measured)]:
        filled, rest = fill_in_turn(pieces, measured[:count])
        others = _one_roll(rest, [roll for roll in stock if roll not in measured[:count]], effort, orders) if rest else ()
        if others is not None:
            found.append((*filled, *others))
    return min(found, key=lambda rolls: film_cost(FilmPlan("quick", rolls), stock), default=None)

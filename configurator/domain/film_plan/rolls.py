"""Which roll each piece is cut from, so that the least money goes on film."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from configurator.domain.film_plan.nesting import Run, nest
from configurator.domain.film_plan.records import FilmPlan, Piece, RollPlan
from configurator.domain.price_book import PriceBook

NOISE = 0.03
"""A second width (or an offcut) must save more than this share: below it a saving is the planner's luck, not the film's."""

SCOUTING = 0.12
"""Share of the work spent on each width before the cheapest is gone into."""

PARTING = 0.02
"""Share of the work spent on each way of parting the pieces between two widths."""

MOST_THRESHOLDS = 6
"""Breadths tried as the line between the pieces of a narrow and a wide roll."""

TRIED_STEPS = 6_000
"""Work spent on each question whether a few pieces fit what is left of a roll."""


@dataclass(frozen=True)
class StockRoll:
    """A roll or offcut to cut from. `left_mm` None: as much as it takes. `id` names it where the shop keeps track.

    An offcut has a price too: film that can be used for the next job isn't free.
    """

    film: str
    width_mm: float
    cost_per_m: Decimal
    left_mm: float | None = None
    id: str | None = None


@dataclass(frozen=True)
class Effort:
    """`steps` of work for each film; `two_widths`: whether cutting from two widths is looked into."""

    steps: int
    two_widths: bool = False


Orders = Sequence[Sequence[str]]


def stock_of(book: PriceBook) -> tuple[StockRoll, ...]:
    """The widths in the price book, each without end."""
    return tuple(StockRoll(film.id, roll.width_mm, roll.cost_per_m) for film in book.films.values() for roll in film.rolls)


def film_cost(plan: FilmPlan, stock: Iterable[StockRoll]) -> Decimal:
    """What the film of a plan costs, to the cent's hundredth (a comparison, not a price)."""
    cost = {(roll.film, roll.width_mm, roll.id): roll.cost_per_m for roll in stock}
    return sum((_cost(roll.length_mm, cost[roll.film, roll.roll_width_mm, roll.stock]) for roll in plan.rolls), Decimal(0))


def least_cost_rolls(pieces: Sequence[Piece], stock: Sequence[StockRoll], effort: Effort, orders: Orders = ()) -> tuple[RollPlan, ...]:
    """The rolls for pieces of one film. Offcuts are filled first where that saves; then one width, or two where that saves.

    Raises ValueError when a piece is broader than every roll of its film.
    """
    endless = [roll for roll in stock if roll.left_mm is None]
    measured = sorted((roll for roll in stock if roll.left_mm is not None), key=_cheap_first)
    whole = _without_end(pieces, endless, effort, orders) if endless else None
    if not measured:
        if whole is None:
            raise ValueError(f"{pieces[0].film}: a piece is broader than every roll")
        return whole
    filled, rest = _fill_in_turn(pieces, measured)
    others = _without_end(rest, endless, effort, orders) if rest and endless else ()
    if others is None or (rest and not endless):
        raise ValueError(f"{pieces[0].film}: not enough film for every piece")
    return _cheaper(whole, (*filled, *others), stock)


def _cheap_first(roll: StockRoll) -> tuple[Decimal, str]:
    return roll.cost_per_m / Decimal(str(roll.width_mm)), roll.id or ""


def _cheaper(whole: tuple[RollPlan, ...] | None, mixed: tuple[RollPlan, ...], stock: Sequence[StockRoll]) -> tuple[RollPlan, ...]:
    if whole is None:
        return mixed
    saves = film_cost(FilmPlan("quick", mixed), stock) < film_cost(FilmPlan("quick", whole), stock) * Decimal(str(1 - NOISE))
    return mixed if saves else whole


# -- rolls without end


def _without_end(pieces: Sequence[Piece], rolls: Sequence[StockRoll], effort: Effort, orders: Orders) -> tuple[RollPlan, ...] | None:
    single = _one_width(pieces, rolls, effort, orders)
    double = _two_widths(pieces, rolls, effort, orders) if effort.two_widths else None
    if single is None or double is None:
        return single or double
    return _cheaper(single, double, rolls)


def _one_width(pieces: Sequence[Piece], rolls: Sequence[StockRoll], effort: Effort, orders: Orders) -> tuple[RollPlan, ...] | None:
    """All pieces on the width that costs least: each is scouted, the best is gone into with what is left of the work."""
    scouted = _scouted(pieces, rolls, orders, round(effort.steps * (SCOUTING if len(rolls) > 1 else 1)))
    if not scouted:
        return None
    roll, run = min(scouted, key=lambda found: (_cost(found[1].length_mm, found[0].cost_per_m), found[0].width_mm))
    left = effort.steps - round(effort.steps * SCOUTING) * len(rolls)
    if len(rolls) > 1 and left > 0:
        longer_sought = nest(pieces, roll.width_mm, orders=orders, steps=left)
        if longer_sought is not None and longer_sought.length_mm < run.length_mm:
            run = longer_sought
    return (_roll_plan(roll, run),)


def _scouted(pieces: Sequence[Piece], rolls: Iterable[StockRoll], orders: Orders, steps: int) -> list[tuple[StockRoll, Run]]:
    runs = ((roll, nest(pieces, roll.width_mm, orders=orders, steps=steps)) for roll in rolls)
    return [(roll, run) for roll, run in runs if run is not None]


def _two_widths(pieces: Sequence[Piece], rolls: Sequence[StockRoll], effort: Effort, orders: Orders) -> tuple[RollPlan, ...] | None:
    """Pieces up to some breadth on a narrow roll, the others on a wider one, at the cheapest line between them."""
    best: tuple[Decimal, list[tuple[StockRoll, list[Piece]]]] | None = None
    for narrow, wide in ((a, b) for a in rolls for b in rolls if a.width_mm < b.width_mm):
        for threshold in _thresholds(pieces, narrow.width_mm):
            slim = [piece for piece in pieces if piece.breadth_mm() <= threshold]
            broad = [piece for piece in pieces if piece.breadth_mm() > threshold]
            steps = round(effort.steps * PARTING)
            found = [*_scouted(slim, [narrow], orders, steps), *_scouted(broad, [wide], orders, steps)]
            cost = sum((_cost(run.length_mm, roll.cost_per_m) for roll, run in found), Decimal(0))
            if len(found) == 2 and (best is None or cost < best[0]):
                best = cost, [(narrow, slim), (wide, broad)]
    if best is None:
        return None
    each = [_one_width(part, [roll], replace(effort, steps=effort.steps // 2), orders) for roll, part in best[1]]
    return tuple(roll for rolls in each for roll in rolls or ())


def _thresholds(pieces: Sequence[Piece], narrow_mm: float) -> list[float]:
    """Breadths that part the pieces in two, evenly picked; mirror images have the same breadth and stay together."""
    breadths = sorted({round(piece.breadth_mm(), 1) + 0.05 for piece in pieces})
    usable = [breadth for breadth in breadths[:-1] if breadth <= narrow_mm]
    step = max(1, -(-len(usable) // MOST_THRESHOLDS))
    return usable[::-step]


# -- rolls and offcuts with a known length


def _fill_in_turn(pieces: Sequence[Piece], rolls: Sequence[StockRoll]) -> tuple[tuple[RollPlan, ...], list[Piece]]:
    filled, rest = [], list(pieces)
    for roll in rolls:
        run, rest = _fill(rest, roll)
        if run.placements:
            filled.append(_roll_plan(roll, run))
    return tuple(filled), rest


def _fill(pieces: Sequence[Piece], roll: StockRoll) -> tuple[Run, list[Piece]]:
    """As many pieces on what is left of `roll` as go, large ones first, a mirrored pair together; and those that didn't go."""
    run = Run(roll.width_mm, 0.0, ())
    on: list[Piece] = []
    rest: list[Piece] = []
    for group in _pairs_together(pieces):
        tried = nest([*on, *group], roll.width_mm, steps=TRIED_STEPS)
        if tried is not None and tried.length_mm <= (roll.left_mm or 0.0):
            run, on = tried, [*on, *group]
        else:
            rest += group
    return run, rest


def _pairs_together(pieces: Sequence[Piece]) -> list[list[Piece]]:
    twin_of: Mapping[str, Piece] = {piece.mirror_of: piece for piece in pieces if piece.mirror_of}
    present = {piece.id for piece in pieces}
    groups = [[piece, *([twin_of[piece.id]] if piece.id in twin_of else [])] for piece in pieces if piece.mirror_of not in present]
    return sorted(groups, key=lambda group: (-sum(piece.nest_area_mm2 for piece in group), group[0].id))


def _roll_plan(roll: StockRoll, run: Run) -> RollPlan:
    return RollPlan(roll.film, roll.width_mm, run.length_mm, run.placements, stock=roll.id)


def _cost(length_mm: float, cost_per_m: Decimal) -> Decimal:
    return Decimal(str(round(length_mm, 3))) / 1000 * cost_per_m

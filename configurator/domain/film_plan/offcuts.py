"""Filling rolls and offcuts of which only so much is left."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from configurator.domain.film_plan.nesting import Run, nest
from configurator.domain.film_plan.records import Piece, RollPlan
from configurator.domain.film_plan.rolls import StockRoll

TRIED_STEPS = 6_000
"""Work spent on each question whether a few pieces fit what is left of a roll."""


def fill_in_turn(pieces: Sequence[Piece], rolls: Sequence[StockRoll]) -> tuple[tuple[RollPlan, ...], list[Piece]]:
    """`rolls` (with a length left) filled one after the other; and the pieces that didn't go on any."""
    filled, rest = [], list(pieces)
    for roll in rolls:
        run, rest = _fill(rest, roll)
        if run.placements:
            filled.append(roll.plan(run))
    return tuple(filled), rest


def cheap_first(roll: StockRoll) -> tuple[Decimal, float, str]:
    """Sorts by cost of a square meter, then the shorter first."""
    return roll.cost_per_m / Decimal(str(roll.width_mm)), roll.left_mm or 0.0, roll.id or ""


def _fill(pieces: Sequence[Piece], roll: StockRoll) -> tuple[Run, list[Piece]]:
    """As many pieces on what is left of `roll` as go, large ones first, a mirrored pair together; and those that didn't go."""
    run = Run(roll.width_mm, 0.0, ())
    on: list[Piece] = []
    rest: list[Piece] = []
    for group in _pairs_together(pieces):
        tried = nest([*on, *group], roll.width_mm, steps=TRIED_STEPS)
        if tried is not None and roll.holds(tried.length_mm):
            run, on = tried, [*on, *group]
        else:
            rest += group
    return run, rest


def _pairs_together(pieces: Sequence[Piece]) -> list[list[Piece]]:
    twin_of: Mapping[str, Piece] = {piece.mirror_of: piece for piece in pieces if piece.mirror_of}
    present = {piece.id for piece in pieces}
    groups = [[piece, *([twin_of[piece.id]] if piece.id in twin_of else [])] for piece in pieces if piece.mirror_of not in present]
    return sorted(groups, key=lambda group: (-sum(piece.nest_area_mm2 for piece in group), group[0].id))

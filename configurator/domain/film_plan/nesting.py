"""Pieces on one roll width in a few milliseconds, the same every time.

Two grids are used in turn. On coarse cells many orders can be tried; the best of them is then tried and improved on fine cells,
where pieces slip closer together. The shorter of the two, moved together to exact millimetres, is the plan.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from configurator.domain.film_plan.bottom_left import Sequencer, Strip
from configurator.domain.film_plan.compaction import compact
from configurator.domain.film_plan.order_search import Laid, best_start, improve
from configurator.domain.film_plan.raster import Grid, grid
from configurator.domain.film_plan.records import Piece, Placement

COARSE = (48.0, 12.0)
FINE = (24.0, 6.0)
"""Cells along and across the roll, mm."""

FINE_COST = 2
"""A step on fine cells takes about this many times as long as one on coarse cells."""

COARSE_SHARE = 0.6

BLIND_STARTS = 4

KNOWN_STARTS, KNOWN_PIECES = 3, 40
"""Known orders that are tried: three, or more where that lays no more than so many pieces."""

FAR_EDGE = "^"
"""Before an id in a known order: that piece is laid toward the roll's far edge."""

KEPT_STRIPS = 8

_strips: dict[Grid, Strip] = {}


@dataclass(frozen=True, eq=False)
class Run:
    """Pieces placed on one length of one roll width."""

    roll_width_mm: float
    length_mm: float
    placements: tuple[Placement, ...]
    order: tuple[str, ...] = ()
    """Piece ids in the order in which they were laid (`^` before one laid toward the far edge); as a known order it leads here again."""


def nest(pieces: Sequence[Piece], roll_width_mm: float, *, orders: Iterable[Sequence[str]] = (), steps: int, seed: int = 1) -> Run | None:
    """A short run of a roll of `roll_width_mm` that takes all of `pieces`; None when one of them is broader than the roll.

    `orders`: orders of piece ids known to be good (pieces that they don't name come by size, ids that aren't here are passed over).
    `steps` bounds the work: about 4,000 steps a millisecond on a desktop core.
    """
    if not pieces:
        return Run(roll_width_mm, 0.0, ())
    pieces = sorted(pieces, key=lambda piece: piece.id)
    coarse = Sequencer(_strip(roll_width_mm, COARSE), pieces)
    fine = Sequencer(_strip(roll_width_mm, FINE), pieces)
    if not coarse.fits():
        return None
    known = [_positions(order, pieces) for order in _closest(orders, pieces)] + _by_size(pieces)
    first = improve(coarse, best_start(coarse, known), steps=round(steps * COARSE_SHARE) - coarse.steps, seed=seed)
    left = (steps - coarse.steps) // FINE_COST
    second = improve(fine, best_start(fine, [first.order, *known[:-BLIND_STARTS]]), steps=left - fine.steps, seed=seed)
    return min((_run(coarse, pieces, first), _run(fine, pieces, second)), key=lambda run: run.length_mm)


def _run(sequencer: Sequencer, pieces: Sequence[Piece], laid: Laid) -> Run:
    strip = sequencer.strip
    length, left = compact(strip, laid.placed)
    placements = []
    for turn, item, x in zip(laid.order, laid.placed, left, strict=True):
        shape = strip.shapes[item.shape]
        y = item.at % strip.cells.rows * strip.cells.across_mm
        place = (round(x + shape.offset[0], 4), round(y + shape.offset[1], 4))
        placements.append(Placement(pieces[max(turn, ~turn)], shape.angle_deg, *place))
    return Run(strip.cells.roll_width_mm, length, tuple(placements), tuple(_named(turn, pieces) for turn in laid.order))


def _strip(roll_width_mm: float, cell: tuple[float, float]) -> Strip:
    """The grid of that width, kept with its shapes and masks from plan to plan; the widths used last stay."""
    cells = grid(roll_width_mm, along_mm=cell[0], across_mm=cell[1])
    strip = _strips.pop(cells, None) or Strip(cells)
    strip.forget_if_large()
    _strips[cells] = strip
    while len(_strips) > KEPT_STRIPS:
        del _strips[next(iter(_strips))]
    return strip


def _named(turn: int, pieces: Sequence[Piece]) -> str:
    return pieces[turn].id if turn >= 0 else FAR_EDGE + pieces[~turn].id


def _closest(orders: Iterable[Sequence[str]], pieces: Sequence[Piece]) -> list[Sequence[str]]:
    """The few orders made for the likest set of pieces: fewest pieces that they don't name, then fewest that aren't here."""
    here = {piece.id for piece in pieces} | {piece.panel for piece in pieces}

    def unlike(order: Sequence[str]) -> tuple[int, int]:
        named = {name.removeprefix(FAR_EDGE) for name in order}
        return sum(piece.id not in named and piece.panel not in named for piece in pieces), len(named - here)

    return sorted(orders, key=unlike)[: max(KNOWN_STARTS, KNOWN_PIECES // len(pieces))]


def _positions(order: Sequence[str], pieces: Sequence[Piece]) -> list[int]:
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


def _by_size(pieces: Sequence[Piece]) -> list[list[int]]:
    """Where a search starts when nothing is known: the larger first, by four measures of size."""
    sizes: list[Callable[[Piece], float]] = [
        lambda piece: sum(piece.nest_box_mm),
        lambda piece: piece.nest_area_mm2,
        lambda piece: max(piece.nest_box_mm),
        lambda piece: min(piece.nest_box_mm),
    ]
    return [sorted(range(len(pieces)), key=lambda index: -size(pieces[index])) for size in sizes]

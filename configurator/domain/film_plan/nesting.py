"""Pieces on one roll width in a few milliseconds, the same every time.

Two grids are used in turn. On coarse cells many orders can be tried; the best of them is then tried and improved on fine cells,
where pieces slip closer together. The shorter of the two, moved together to exact millimetres, is the plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from configurator.domain.film_plan.bottom_left import RollWidth, Sequencer
from configurator.domain.film_plan.compaction import compact
from configurator.domain.film_plan.order_search import Laid, best_start, improve
from configurator.domain.film_plan.records import Piece, Placement
from configurator.domain.film_plan.starting_orders import Orders, by_size, closest, names, positions

ALONG_MM, ACROSS_MM = 48.0, 12.0
"""Coarse cells along and across the roll; fine ones are half as long and half as broad."""

FINE_COST = 2
"""A step on fine cells takes about this many times as long as one on coarse cells."""

COARSE_SHARE = 0.6

STARTING_SHARE = 0.5
"""Once so much of a grid's steps is spent on orders to start from, no more of them are begun."""

KEPT_WIDTHS = 4

_widths: dict[float, RollWidth] = {}


@dataclass(frozen=True, eq=False)
class Run:
    """Pieces placed on one length of one roll width."""

    roll_width_mm: float
    length_mm: float
    placements: tuple[Placement, ...]
    order: tuple[str, ...] = ()
    """Piece ids in the order in which they were laid (`^` before one laid toward the far edge); as a known order it leads here again."""


class Search:
    """For a short run of one width that takes all `pieces`. Tries the orders that may be good, then looks around the best of them."""

    def __init__(self, pieces: Sequence[Piece], coarse: Sequencer, fine: Sequencer, orders: Orders, seed: int) -> None:
        self._pieces, self._coarse, self._fine, self._seed = pieces, coarse, fine, seed
        self._known = [positions(order.pieces, pieces) for order in closest(orders, pieces)]
        self._best: Laid | None = None

    def scouted(self, steps: int) -> Run:
        """What is found on coarse cells once `steps` are spent: enough to compare widths by."""
        if self._best is None:
            self._best = best_start(self._coarse, [*self._known, *by_size(self._pieces)], steps=round(steps * STARTING_SHARE))
        self._best = improve(self._coarse, self._best, steps=steps - self._coarse.steps, seed=self._seed)
        return self._run(self._coarse, self._best)

    def finished(self, steps: int) -> Run:
        """The best that is found by the time that `steps` are spent, those of scouting included."""
        on_coarse = self.scouted(round(steps * COARSE_SHARE))
        left = (steps - self._coarse.steps) // FINE_COST
        orders = [positions(on_coarse.order, self._pieces), *self._known]
        start = best_start(self._fine, orders, steps=round(left * STARTING_SHARE))
        best = improve(self._fine, start, steps=left - self._fine.steps, seed=self._seed)
        return min((on_coarse, self._run(self._fine, best)), key=lambda run: run.length_mm)

    def _run(self, sequencer: Sequencer, laid: Laid) -> Run:
        strip = sequencer.strip
        length, left = compact(strip, laid.placed)
        placements = []
        for turn, item, x in zip(laid.order, laid.placed, left, strict=True):
            shape = strip.shapes[item.shape]
            y = item.at % strip.cells.rows * strip.cells.across_mm
            place = (round(x + shape.offset[0], 4), round(y + shape.offset[1], 4))
            placements.append(Placement(self._pieces[max(turn, ~turn)], shape.angle_deg, *place))
        order = names(laid.order, self._pieces)
        return Run(strip.cells.roll_width_mm, length, tuple(placements), order)


def nest(pieces: Sequence[Piece], roll_width_mm: float, *, orders: Orders = (), steps: int, seed: int = 1) -> Run | None:
    """A short run of a roll of `roll_width_mm` that takes all of `pieces`; None when one of them is broader than the roll.

    `orders`: those known to be good (pieces that they don't name come by size, ids that aren't here are passed over).
    `steps` bounds the work: about 4,000 steps a millisecond on a desktop core.
    """
    search = search_on(pieces, roll_width_mm, orders=orders, seed=seed)
    return search.finished(steps) if search else None


def search_on(pieces: Sequence[Piece], roll_width_mm: float, *, orders: Orders = (), seed: int = 1) -> Search | None:
    """A search for such a run, to be given its steps bit by bit; None when one of the pieces is broader than the roll."""
    pieces = sorted(pieces, key=lambda piece: piece.id)
    if any(piece.breadth_mm() > roll_width_mm for piece in pieces):
        return None
    coarse, fine = _width(roll_width_mm).sequencers(pieces)
    return Search(pieces, coarse, fine, orders, seed) if coarse.fits() else None


def _width(roll_width_mm: float) -> RollWidth:
    """That width, kept with its shapes and masks from plan to plan; the widths used last stay."""
    width = _widths.pop(roll_width_mm, None)
    if width is None or width.is_large:
        width = RollWidth(roll_width_mm, along_mm=ALONG_MM, across_mm=ACROSS_MM)
    _widths[roll_width_mm] = width
    while len(_widths) > KEPT_WIDTHS:
        del _widths[next(iter(_widths))]
    return width

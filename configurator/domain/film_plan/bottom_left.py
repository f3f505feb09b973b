"""Placing pieces in a given order: each as near the roll's start as it goes, against one edge or the other, at its best angle.

An order is a list of numbers: piece i is laid toward the roll's near edge as `i`, toward its far edge as `~i`.
"""

from collections.abc import Sequence
from typing import NamedTuple

from configurator.domain.film_plan.raster import Grid, Shape, Sliced, coarse_and_fine, no_fit_mask, on_cells, sliced
from configurator.domain.film_plan.records import Piece

SMALL_MM2 = 120_000.0
"""Pieces below this area may fill any gap of the strip; a larger one is tried near its end only."""

LOOK_BACK_MM = 2900.0
"""How far behind the end of the strip a large piece is tried: longer than any piece, so the room beside one is found."""

WINDOW_MM = 1000.0
"""A place is looked for in one such stretch of the strip after another."""

UNBOUNDED = 1 << 40

FIXED_STEPS = 5
"""Cost of trying one angle in one stretch besides one step for every piece it is held against."""

KEPT_BYTES = 48_000_000
"""No-fit masks of one width and grid are forgotten when they take more."""


class Placed(NamedTuple):
    """A shape (by index) whose lowest left cell is bit `at`; `end` is the first column to its right."""

    shape: int
    at: int
    end: int


class Strip:
    """A roll of one width as a grid, with the shapes of every piece that was ever laid on it and the masks between them."""

    def __init__(self, cells: Grid, *, halved: bool) -> None:
        self.cells = cells
        self.shapes: list[Shape] = []
        self._halved = halved
        self._of_piece: dict[bytes, tuple[Shape, ...]] = {}
        self._mask_bits = 0
        self._free: dict[tuple[int, int], int] = {}

    def shapes_of(self, piece: bytes, slices: Sequence[Sliced]) -> tuple[Shape, ...]:
        """The piece (by its key) at every angle, without angles at which it takes the same cells."""
        if piece not in self._of_piece:
            self._of_piece[piece] = self._shapes(slices)
        return self._of_piece[piece]

    def _shapes(self, slices: Sequence[Sliced]) -> tuple[Shape, ...]:
        found: list[Shape] = []
        for each in slices:
            shape = on_cells(each, self.cells, len(self.shapes), halved=self._halved)
            if all((shape.columns, shape.mask) != (other.columns, other.mask) for other in found):
                found.append(shape)
                self.shapes.append(shape)
        return tuple(found)

    @property
    def is_large(self) -> bool:
        """Whether the masks take so much room that they should be forgotten."""
        return self._mask_bits > 8 * KEPT_BYTES

    def no_fit(self, placed: int, coming: Shape) -> int:
        """Where `coming` would overlap the shape with index `placed`; remembered in `coming.no_fit`."""
        mask = no_fit_mask(self.shapes[placed], coming)
        coming.no_fit[placed] = mask
        self._mask_bits += mask.bit_length()
        return mask

    def free_rows(self, rows: int, columns: int) -> int:
        """Places at which a shape of so many rows lies within the roll, for so many columns."""
        key = (rows, columns)
        if key not in self._free:
            column = (1 << (self.cells.rows - rows + 1)) - 1
            self._free[key] = sum(column << (index * self.cells.rows) for index in range(columns))
        return self._free[key]


class Sequencer:
    """Lays one set of pieces in many orders. `steps` counts the work: masks shifted and joined, the same on any machine.

    `shapes`: of every piece, one for each angle; `areas_mm2`: of their nest outlines.
    """

    def __init__(self, strip: Strip, shapes: Sequence[tuple[Shape, ...]], areas_mm2: Sequence[float]) -> None:
        self.strip = strip
        self.shapes = shapes
        self.steps = 0
        self._small = [area < SMALL_MM2 for area in areas_mm2]
        self._look_back = int(LOOK_BACK_MM // strip.cells.along_mm)
        self._window = int(WINDOW_MM // strip.cells.along_mm)

    def fits(self) -> bool:
        """Whether every piece fits the roll at some angle."""
        return all(self.shapes)

    def lay(self, order: Sequence[int], placed: list[Placed], *, longest: int) -> int:
        """Places what of `order` isn't `placed` yet (appending to it); returns the end column.

        Gives up, with pieces left over, once the strip would be longer than `longest` columns.
        """
        end = max((item.end for item in placed), default=0)
        for turn in order[len(placed) :]:
            best = self._best_place(turn, placed, end)
            placed.append(best)
            if best.end > end:
                end = best.end
                if end > longest:
                    break
        return end

    def _best_place(self, turn: int, placed: list[Placed], end: int) -> Placed:
        """The place with the least end column (then the shorter shape) among all angles of a piece."""
        piece, far = (turn, False) if turn >= 0 else (~turn, True)
        start = 0 if self._small[piece] else max(0, end - self._look_back)
        near = [item for item in placed if item.end > start] if start else placed
        rows, best, best_length = self.strip.cells.rows, None, 0.0
        for shape in self.shapes[piece]:
            at = self._first_place(shape, near, start, last=best.end - shape.columns if best else UNBOUNDED, far=far)
            finish = at // rows + shape.columns
            if best is None or finish < best.end or (finish == best.end and shape.length_mm < best_length):
                best, best_length = Placed(shape.index, at, finish), shape.length_mm
        if best is None:
            raise ValueError("a piece is broader than the roll")
        return best

    def _first_place(self, shape: Shape, near: list[Placed], start: int, *, last: int, far: bool) -> int:
        """The bit of the first free column for `shape` from `start` on, its lowest place there, or its highest when `far`.

        Looked for stretch by stretch: most are found in the first. Past column `last` (another angle is better then) a bit beyond it.
        """
        rows, window = self.strip.cells.rows, self._window
        within, no_fit, stop = self.strip.free_rows(shape.rows, window), shape.no_fit, start
        while stop <= last:
            start, stop = stop, stop + window
            base, beyond, blocked = shape.shift + start * rows, (stop + shape.columns) * rows, 0
            self.steps += FIXED_STEPS + len(near)
            for other, at, end in near:
                if end > start and at < beyond:
                    mask = no_fit.get(other)
                    if mask is None:
                        mask = self.strip.no_fit(other, shape)
                    shift = at - base
                    blocked |= mask << shift if shift >= 0 else mask >> -shift
            free = within & ~blocked
            if free:
                lowest = (free & -free).bit_length() - 1
                if far:
                    column = lowest // rows * rows
                    lowest = column + ((free >> column) & ((1 << rows) - 1)).bit_length() - 1
                return start * rows + lowest
        return stop * rows


class RollWidth:
    """One width of roll on a coarse and on a fine grid, and every piece that was ever laid on it, sliced once for both."""

    def __init__(self, roll_width_mm: float, *, along_mm: float, across_mm: float) -> None:
        coarse, fine = coarse_and_fine(roll_width_mm, along_mm=along_mm, across_mm=across_mm)
        self._coarse, self._fine = Strip(coarse, halved=True), Strip(fine, halved=False)
        self._sliced: dict[bytes, tuple[Sliced, ...]] = {}

    @property
    def is_large(self) -> bool:
        """Whether this takes so much room that it should be forgotten (between plans, never within one)."""
        return self._coarse.is_large or self._fine.is_large

    def sequencers(self, pieces: Sequence[Piece]) -> tuple[Sequencer, Sequencer]:
        """For laying `pieces` on the coarse and on the fine grid. None of them may be broader than the roll."""
        keys = [piece.nest.tobytes() + piece.cut.tobytes() + bytes([piece.directional]) for piece in pieces]
        for key, piece in zip(keys, pieces, strict=True):
            if key not in self._sliced:
                self._sliced[key] = sliced(piece, self._fine.cells)
        coarse, fine = (
            Sequencer(strip, [strip.shapes_of(key, self._sliced[key]) for key in keys], [piece.nest_area_mm2 for piece in pieces])
            for strip in (self._coarse, self._fine)
        )
        return coarse, fine

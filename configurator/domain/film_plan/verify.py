"""Is a plan one that can be cut? Checked from the pieces' own outlines, with nothing taken over from the planners."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.film_plan.records import FilmPlan, Piece, Placement, Ring, RollPlan
from configurator.domain.scope import Scope
from configurator.errors import TucklineError

TOLERANCE_MM = 0.05
TOLERANCE_MM2 = 1e-3

COVERAGE_TOLERANCE = 1e-3
"""Share by which the areas of a panel's pieces together may differ from its covered area (rounding of outlines)."""


@dataclass(frozen=True)
class Flaw:
    """One thing wrong with a plan: what (`overlap`, `outside`, `missing`, ...), and the pieces or the panel it concerns."""

    code: str
    where: tuple[str, ...]


class FlawedPlan(TucklineError):
    """A plan failed its check and must not leave the program."""

    code = "flawed_plan"

    def __init__(self, flaws: Sequence[Flaw]) -> None:
        self.flaws = tuple(flaws)
        super().__init__("; ".join(f"{flaw.code}: {', '.join(flaw.where)}" for flaw in flaws))


def verify(plan: FilmPlan, pieces: Iterable[Piece], *, separation_mm: float = 0.0) -> tuple[Flaw, ...]:
    """Every flaw of `plan`; none means that it can be cut.

    Each piece once and as it was made, finite and turned only as its film allows, inside its roll, apart from every other piece by
    its margin and at least `separation_mm` from cut to cut, and no roll shorter than its pieces' area.
    """
    flaws = _wrong_pieces(plan, tuple(pieces))
    for roll in plan.rolls:
        flaws += _misplaced(roll) or [*_outside(roll), *_too_close(roll, separation_mm), *_too_short(roll)]
    return tuple(flaws)


def uncovered(pieces: Iterable[Piece], scope: Scope) -> tuple[Flaw, ...]:
    """Covered panels whose pieces don't add up to their covered area, or that are cut smaller than what they cover.

    Film that is cut to stop short of an edge leaves a strip bare (`bare_m2`); that much a piece may be smaller, and no more.
    """
    share: dict[str, float] = defaultdict(float)
    cut: dict[str, float] = defaultdict(float)
    for piece in pieces:
        share[piece.panel] += piece.covers_m2
        cut[piece.panel] += piece.bare_m2 + shapely.Polygon(piece.cut).area / 1e6
    return tuple(
        Flaw("uncovered", (panel.id,))
        for panel in scope.covered
        if abs(share[panel.id] / panel.covered_area_m2 - 1) > COVERAGE_TOLERANCE
        or cut[panel.id] < panel.covered_area_m2 * (1 - COVERAGE_TOLERANCE)
    )


def _wrong_pieces(plan: FilmPlan, pieces: tuple[Piece, ...]) -> list[Flaw]:
    placed = Counter(placement.piece.id for roll in plan.rolls for placement in roll.placements)
    made = {piece.id: piece for piece in pieces}
    flaws = [Flaw("missing", (id,)) for id in made if placed[id] == 0]
    flaws += [Flaw("doubled", (id,)) for id, count in placed.items() if count > 1]
    for roll in plan.rolls:
        for placement in roll.placements:
            piece = made.get(placement.piece.id)
            if piece is None:
                flaws.append(Flaw("unknown", (placement.piece.id,)))
            elif not (np.array_equal(piece.cut, placement.piece.cut) and piece.film == roll.film):
                flaws.append(Flaw("altered", (piece.id,)))
    return flaws


def _misplaced(roll: RollPlan) -> list[Flaw]:
    flaws = []
    for placement in roll.placements:
        if not np.isfinite([placement.x_mm, placement.y_mm, placement.angle_deg]).all():
            flaws.append(Flaw("not_finite", (placement.piece.id,)))
        elif not _angle_allowed(placement):
            flaws.append(Flaw("turned", (placement.piece.id,)))
    return flaws if np.isfinite(roll.length_mm) else [*flaws, Flaw("not_finite", (roll.film,))]


def _angle_allowed(placement: Placement) -> bool:
    quarter = 180.0 if placement.piece.directional else 90.0
    return abs((placement.angle_deg + quarter / 2) % quarter - quarter / 2) < 1e-6


def _outside(roll: RollPlan) -> list[Flaw]:
    flaws = []
    for placement in roll.placements:
        cut = _rotated(placement.piece.cut, placement)
        low, high = cut.min(axis=0), cut.max(axis=0)
        if (low < -TOLERANCE_MM).any() or high[0] > roll.length_mm + TOLERANCE_MM or high[1] > roll.roll_width_mm + TOLERANCE_MM:
            flaws.append(Flaw("outside", (placement.piece.id,)))
    return flaws


def _too_close(roll: RollPlan, separation_mm: float) -> list[Flaw]:
    """Margins that overlap on the roll, and cut lines nearer than the separation (of pieces of one panel too).

    A margin gives way at the roll's edges: what of it lies beyond them is no film, so it can't overlap.
    """
    ids = [placement.piece.id for placement in roll.placements]
    cuts = [shapely.Polygon(_rotated(placement.piece.cut, placement)) for placement in roll.placements]
    film = shapely.box(-roll.length_mm, 0.0, 2 * roll.length_mm, roll.roll_width_mm)
    nests = [shapely.Polygon(_rotated(placement.piece.nest, placement)).intersection(film) for placement in roll.placements]
    flaws = []
    for first, second in _pairs(nests, 0.0):
        if nests[first].intersection(nests[second]).area > TOLERANCE_MM2 and not _only_touch(nests[first], nests[second]):
            flaws.append(Flaw("overlap", (ids[first], ids[second])))
    apart = separation_mm - 2 * TOLERANCE_MM
    if apart > 0:
        flaws += [Flaw("too_close", (ids[first], ids[second])) for first, second in _pairs(cuts, apart)]
    return flaws


def _pairs(shapes: list[shapely.Polygon], distance: float) -> list[tuple[int, int]]:
    if len(shapes) < 2:
        return []
    found = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=distance)
    return [(int(first), int(second)) for first, second in found.T if first < second]


def _only_touch(first: shapely.Polygon, second: shapely.Polygon) -> bool:
    """Overlap no deeper than the tolerance (coordinates are rounded to a thousandth of a millimetre)."""
    return bool(first.intersection(second).buffer(-TOLERANCE_MM / 2).is_empty)


def _too_short(roll: RollPlan) -> list[Flaw]:
    area = sum(shapely.Polygon(placement.piece.cut).area for placement in roll.placements)
    return [Flaw("too_short", (roll.film,))] if area > roll.length_mm * roll.roll_width_mm + TOLERANCE_MM2 else []


def _rotated(ring: Ring, placement: Placement) -> Ring:
    """Turned about the origin, then moved; by complex numbers, so that no code of the planners is leaned on."""
    turn = np.exp(1j * np.radians(placement.angle_deg))
    points = (ring[:, 0] + 1j * ring[:, 1]) * turn + complex(placement.x_mm, placement.y_mm)
    return np.stack([points.real, points.imag], axis=1)

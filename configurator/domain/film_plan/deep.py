"""The deep planner: what the quick one found, bettered by a nesting solver that the caller lends for some seconds.

The solver is a port: it gets outlines, widths and time, and gives back where each outline lies. Nothing it says is believed before
it was checked, and a roll is only taken from it when it is shorter than the one at hand; so deep never costs more film than quick.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from configurator.domain.film_plan.live import least_length_mm
from configurator.domain.film_plan.raster import fitted_nest
from configurator.domain.film_plan.records import FilmPlan, Piece, Placement, Ring, RollPlan, turned
from configurator.domain.film_plan.rolls import StockRoll, film_cost
from configurator.domain.film_plan.verify import verify
from configurator.domain.message import Message
from configurator.domain.price_book import PriceBook

PLAY_MM = 0.04
"""The solver is told a roll this much wider, so that a piece of exactly the roll's breadth goes in; well under what a check allows."""

ROOM_MM = 3.0
"""Room to either side together that is left to the solver for a piece about as broad as the roll."""

START_SECONDS, FINISH_SECONDS = 0.6, 0.6
"""Wall time that a solver takes to start, and to finish each job past its own limit."""

BOUND_MM = 1.0

DEEP_MISSING, DEEP_FAILED, DEEP_OUT_OF_TIME, QUICK_WAS_CHEAPER = "deep_missing", "deep_failed", "deep_out_of_time", "quick_was_cheaper"


NOTES = {
    DEEP_MISSING: Message("deep_missing"),
    DEEP_FAILED: Message("deep_failed"),
    DEEP_OUT_OF_TIME: Message("deep_out_of_time"),
    QUICK_WAS_CHEAPER: Message("quick_was_cheaper"),
}
"""What a plan's note says to a reader."""


@dataclass(frozen=True, eq=False)
class Item:
    """An outline to place, at one of some angles."""

    id: str
    outline: Ring
    angles_deg: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Job:
    """Items for one strip. `seconds`: whole seconds the solver may spend on it."""

    id: str
    strip_width_mm: float
    items: tuple[Item, ...]
    seconds: int
    seed: int


@dataclass(frozen=True)
class Solved:
    """A strip's length and, by item, the turn about the origin (degrees) and the move after it (mm)."""

    length_mm: float
    places: Mapping[str, tuple[float, float, float]]


@dataclass(frozen=True)
class Answer:
    """What a solver found, by job id; `note` says why something is missing (`deep_missing`, `deep_failed`, `deep_out_of_time`)."""

    solved: Mapping[str, Solved]
    note: str | None = None


class Solver(Protocol):
    """Solves jobs within `seconds` of wall time, all of them together."""

    def __call__(self, jobs: Sequence[Job], seconds: float) -> Answer: ...


def plan_deep(base: FilmPlan, solve: Solver, *, seconds: float, separation_mm: float, seed: int = 1) -> FilmPlan:
    """`base` with every roll bettered that the solver can better in `seconds`; its planner is then `deep`."""
    worth = {index: roll for index, roll in enumerate(base.rolls) if len(roll.placements) > 1 and not _at_bound(roll)}
    jobs = _jobs(worth, seconds, seed)
    answer = solve(jobs, seconds) if jobs else Answer({}, DEEP_OUT_OF_TIME if worth else None)
    rolls = tuple(_better(roll, answer.solved.get(str(index)), separation_mm) for index, roll in enumerate(base.rolls))
    improved = any(roll is not before for roll, before in zip(rolls, base.rolls, strict=True))
    note = answer.note or (QUICK_WAS_CHEAPER if jobs and not improved else None)
    return FilmPlan("deep" if improved or note is None else "quick", rolls, note)


def cheapest_by_film(plans: Sequence[FilmPlan], book: PriceBook, stock: Sequence[StockRoll]) -> FilmPlan:
    """Film by film the cheapest of some plans of the same pieces (the first of equals)."""
    rolls: list[RollPlan] = []
    films = [film for film in book.films if any(roll.film == film for roll in plans[0].rolls)]
    for film in films:
        choices = [[roll for roll in plan.rolls if roll.film == film] for plan in plans]
        rolls += min(choices, key=lambda choice: film_cost(FilmPlan("quick", tuple(choice)), stock))
    return replace(plans[0], rolls=tuple(rolls))


def _jobs(worth: Mapping[int, RollPlan], seconds: float, seed: int) -> list[Job]:
    """The rolls worth a solver's time, with their share of it, the short jobs first; none where there is too little time."""
    shares = _share_out(seconds, {index: len(roll.placements) for index, roll in worth.items()})
    jobs = [
        Job(str(index), worth[index].roll_width_mm + PLAY_MM, _items(worth[index]), share, seed) for index, share in shares.items() if share
    ]
    return sorted(jobs, key=lambda job: (job.seconds, job.id))


def _share_out(seconds: float, pieces: Mapping[int, int]) -> dict[int, int]:
    """Whole seconds per job, more for more pieces; what is left of `seconds` is the solver's own overhead. Jobs may get none."""
    whole = int(seconds - START_SECONDS - FINISH_SECONDS * len(pieces))
    weights = {job: count**1.5 for job, count in pieces.items()}
    shares = dict.fromkeys(pieces, 0)
    for _ in range(max(whole, 0) if pieces else 0):
        neediest = max(shares, key=lambda job: weights[job] / (shares[job] + 1))
        shares[neediest] += 1
    return shares


def _at_bound(roll: RollPlan) -> bool:
    """No shorter run is possible: one piece alone takes the length, or the pieces with their margins fill the roll."""
    longest = max(least_length_mm(placement.piece, roll.roll_width_mm) for placement in roll.placements)
    area = sum(placement.piece.cut_area_mm2 for placement in roll.placements)
    return roll.length_mm <= max(longest + 2 * BOUND_MM, area / roll.roll_width_mm) + BOUND_MM


def _items(roll: RollPlan) -> tuple[Item, ...]:
    items = []
    for placement in roll.placements:
        piece = placement.piece
        outline, base = _outline(piece, roll.roll_width_mm)
        angles = tuple(angle for angle in piece.angles_deg if _breadth(turned(outline, angle)) <= roll.roll_width_mm + PLAY_MM)
        items.append(Item(piece.id, outline, angles or (base,)))
    return tuple(items)


def _outline(piece: Piece, roll_width_mm: float) -> tuple[Ring, float]:
    """The outline with its margin, given way where the roll asks for it, in the piece's own position; and the angle at which it fits.

    A solver that tries places at random hardly finds the only one that fits: where the margin gives way it leaves some room.
    """
    for width in (roll_width_mm - ROOM_MM, roll_width_mm):
        for angle in piece.angles_deg:
            ring = fitted_nest(piece, angle, width)
            if ring is not None:
                return turned(ring, -angle), angle
    raise ValueError(f"{piece.id} is broader than the roll")


def _breadth(ring: Ring) -> float:
    return float(ring[:, 1].max() - ring[:, 1].min())


def _better(roll: RollPlan, solved: Solved | None, separation_mm: float) -> RollPlan:
    """The solver's run if it is shorter and passes the check, else `roll`."""
    if solved is None or set(solved.places) != {placement.piece.id for placement in roll.placements}:
        return roll
    placements = tuple(_placement(placement.piece, solved.places[placement.piece.id]) for placement in roll.placements)
    placements = _within(placements, roll.roll_width_mm)
    length = max(float(placement.placed(placement.piece.nest)[:, 0].max()) for placement in placements)
    found = replace(roll, length_mm=length, placements=tuple(sorted(placements, key=lambda placement: (placement.x_mm, placement.y_mm))))
    pieces = [placement.piece for placement in placements]
    if length >= roll.length_mm or verify(FilmPlan("deep", (found,)), pieces, separation_mm=separation_mm):
        return roll
    return found


def _placement(piece: Piece, place: tuple[float, float, float]) -> Placement:
    angle, x, y = place
    return Placement(piece, round(angle % 360, 6) % 360, round(x, 4), round(y, 4))


def _within(placements: tuple[Placement, ...], roll_width_mm: float) -> tuple[Placement, ...]:
    """Moved as a whole to the roll's start and back within its edges (the solver's strip is a shade broader)."""
    low = min(float(placement.placed(placement.piece.nest)[:, 0].min()) for placement in placements)
    moved = []
    for placement in placements:
        across = placement.placed(placement.piece.cut)[:, 1]
        push = max(0.0, -float(across.min())) - max(0.0, float(across.max()) - roll_width_mm)
        moved.append(replace(placement, x_mm=round(placement.x_mm - low, 4), y_mm=round(placement.y_mm + push, 4)))
    return tuple(moved)

"""Butt seams of a job: where two pieces of one panel meet, to be closed one by one."""

from collections.abc import Iterator
from dataclasses import dataclass

from configurator.domain.film_plan.records import FilmPlan


@dataclass(frozen=True)
class Seam:
    """`number` is its name on the map. `is_split`: the panel is broader than the roll; else two finishes meet here."""

    number: int
    panel: str
    is_split: bool
    length_mm: float
    first: str
    second: str
    """The two pieces by id."""

    @property
    def key(self) -> str:
        return f"{self.first}|{self.second}"


def seams_of(plan: FilmPlan) -> tuple[Seam, ...]:
    """Every seam once, panel by panel in the order of the rolls."""
    found = list(_joints(plan))
    order = {panel: place for place, panel in enumerate(dict.fromkeys(panel for panel, *_ in found))}
    ranked = sorted(found, key=lambda joint: (order[joint[0]], joint[3], joint[4]))
    return tuple(Seam(number, *joint) for number, joint in enumerate(ranked, start=1))


def _joints(plan: FilmPlan) -> Iterator[tuple[str, bool, float, str, str]]:
    pieces = {placement.piece.id: placement.piece for roll in plan.rolls for placement in roll.placements}
    for piece in pieces.values():
        for joint in piece.joints:
            if piece.id < joint.piece:
                yield piece.panel, piece.role == pieces[joint.piece].role, joint.length_mm, piece.id, joint.piece

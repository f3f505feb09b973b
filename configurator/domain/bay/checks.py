"""The checklist before a car goes, and who signs it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from configurator.domain.bay.film import on_the_car
from configurator.domain.bay.tasks import Task, TaskState
from configurator.domain.work import Kind, Role

OFF_ROAD = "off_road."
"""Before a lamp group's name: the customer's acknowledgement of off-road or show use was seen."""

PARTS_CHECKS = ("parts_bagged", "parts_back", "seals_dry")
INSTALLER, ASSEMBLER, SECOND = "installer", "assembler", "second"


@dataclass(frozen=True)
class Mark:
    """A tick on the work order: a check, a signature, a piece that is cut, a seam that is closed.

    `is_good` False: something was found, and `note` says what.
    """

    kind: str
    key: str
    is_good: bool
    note: str
    user_id: int | None
    name: str
    at: datetime


CHECK, SIGNATURE, PIECE, SEAM = "check", "signature", "piece", "seam"


def checks_for(tasks: Sequence[Task], *, lamps_off_road: Iterable[str] = (), seams: bool = False, seals: bool = False) -> tuple[str, ...]:
    """The checks that this job calls for, in the order in which they are done."""
    has_parts = any(task.kind is Kind.PARTS_OFF and task.state is not TaskState.STRUCK for task in tasks)
    asked = {
        "washed": True,
        "photos_before": True,
        "marks_shown": True,
        **{OFF_ROAD + lamp: True for lamp in lamps_off_road},
        "parts_bagged": has_parts,
        "edges_down": True,
        "seams_closed": seams,
        "settled": True,
        "parts_back": has_parts,
        "seals_dry": seals and has_parts,
        "lamps_work": True,
        "no_warning": True,
    }
    return tuple(code for code, is_asked in asked.items() if is_asked)


def signatures_for(tasks: Sequence[Task], *, alone: bool = False) -> tuple[str, ...]:
    """Whose names belong under the list. `alone`: nobody else works in the bay, so there is no second pair of eyes."""
    off = any(task.role is Role.ASSEMBLER and task.state is not TaskState.STRUCK for task in tasks)
    return (INSTALLER, *((ASSEMBLER,) if off else ()), *(() if alone else (SECOND,)))


def checks_under(signature: str, checks: Iterable[str]) -> tuple[str, ...]:
    """What must be ticked before somebody signs: an assembler answers for the parts, the others for all of it."""
    return tuple(code for code in checks if signature != ASSEMBLER or code in PARTS_CHECKS)


def fitters(tasks: Iterable[Task]) -> frozenset[int]:
    """Who laid film on this car; none of them can be its second pair of eyes."""
    laid = on_the_car(tasks)
    timed = {timer.user_id for task in laid for timer in task.timers}
    return frozenset(timed | {task.finished_by_id for task in laid if task.finished_by_id is not None})


def good(marks: Iterable[Mark], kind: str) -> frozenset[str]:
    """The keys of one kind that are ticked and in order."""
    return frozenset(mark.key for mark in marks if mark.kind == kind and mark.is_good)

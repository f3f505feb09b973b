"""Film that really went on the car: boxes with their batch numbers, and pieces that were cut again."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from configurator.domain.bay.tasks import ON_THE_CAR, Task, TaskState


@dataclass(frozen=True, kw_only=True)
class Box:
    """One box of film that was opened for the job. `panels` names what it went on; empty: whatever no other box of its film names."""

    film: str
    roll_width_mm: float
    batch: str
    metres: float
    offcut_m: float = 0.0
    panels: tuple[str, ...] = ()
    at: datetime
    by: str
    id: int = 0


class RemakeReason(StrEnum):
    DUST = "dust"
    CREASE = "crease"
    TORN = "torn"
    CUT_WRONG = "cut_wrong"
    FILM_FAULT = "film_fault"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True)
class Remake:
    """A piece that had to be cut again, and the film it took."""

    piece: str
    panel: str
    film: str
    metres: float
    reason: RemakeReason
    at: datetime
    by: str


def on_the_car(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """The tasks that have left film on the car."""
    return tuple(task for task in tasks if task.kind in ON_THE_CAR and task.state is TaskState.DONE)


def boxes_of(panel: str, film: str, boxes: Iterable[Box]) -> tuple[Box, ...]:
    """The boxes that a panel's film came from: those that name it, else those of that film that name nothing."""
    of_film = [box for box in boxes if box.film == film]
    naming = tuple(box for box in of_film if panel in box.panels)
    return naming or tuple(box for box in of_film if not box.panels)


def unnamed(tasks: Iterable[Task], boxes: Iterable[Box]) -> tuple[tuple[str, str], ...]:
    """Film and panel of everything on the car that no batch number stands for yet."""
    known = tuple(boxes)
    laid = [(film, task.panel) for task in on_the_car(tasks) if task.laid and task.panel for film in task.laid.films]
    return tuple((film, panel) for film, panel in laid if not boxes_of(panel, film, known))

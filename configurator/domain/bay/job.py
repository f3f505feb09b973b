"""A car in the bay: everything written down about it between check-in and hand-over."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from types import MappingProxyType

from configurator.domain.bay.check_in import CheckIn
from configurator.domain.bay.checks import Mark
from configurator.domain.bay.film import Box, Remake
from configurator.domain.bay.seams import Seam
from configurator.domain.bay.tasks import Task
from configurator.domain.desk import Document
from configurator.domain.film_plan.records import FilmUse


@dataclass(frozen=True)
class PlannedRoll:
    """Film to take off one roll: metres as the cut plan places them."""

    film: str
    roll_width_mm: float
    metres: float
    pieces: int = 0


@dataclass(frozen=True, kw_only=True)
class NewJob:
    """A job about to be opened. `selection` and `cut_plan` are documents: the choice as agreed, the plan as it will be cut."""

    selection: Document
    body: str
    edges: str
    price_book: str
    check_in: CheckIn
    rolls: tuple[PlannedRoll, ...]
    seams: tuple[Seam, ...]
    cut_plan: Document
    tasks: tuple[Task, ...]


@dataclass(frozen=True, kw_only=True)
class Job:
    """The job with its tasks and marks. The cut plan is long and is asked for by itself."""

    request_id: int
    selection: Document
    body: str
    edges: str
    price_book: str
    check_in: CheckIn
    rolls: tuple[PlannedRoll, ...]
    seams: tuple[Seam, ...]
    tasks: tuple[Task, ...]
    marks: tuple[Mark, ...] = ()
    boxes: tuple[Box, ...] = ()
    remakes: tuple[Remake, ...] = ()
    closed_at: datetime | None = None

    @cached_property
    def by_key(self) -> Mapping[str, Task]:
        return MappingProxyType({task.key: task for task in self.tasks})

    def mark(self, kind: str, key: str) -> Mark | None:
        """The tick of one thing, if there is one."""
        return next((mark for mark in self.marks if mark.kind == kind and mark.key == key), None)


@dataclass(frozen=True)
class Order:
    """What must be in the house before a car comes: film by roll, and for each part that comes off its clips and tape."""

    reference: str
    rolls: tuple[FilmUse, ...]
    parts: tuple["PartOrder", ...] = field(default=())


@dataclass(frozen=True)
class PartOrder:
    """Parts of one kind: how many come off, and how many sets of clips and of tape to have at hand.

    `clip_sets` is the expected number of broken ones, rounded up; `tape_sets` one each where the part is taped on.
    """

    part: str
    count: int
    clip_sets: int
    tape_sets: int

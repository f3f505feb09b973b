"""The tasks of a work order: an operation of the job with what really became of it, and the rules between them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from configurator.domain.film_plan.pieces import film_of
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import Scope, ScopedLamp, ScopedPanel
from configurator.domain.selection import Treatment
from configurator.domain.work import Kind, Operation, Role, Step, Zone

ON_THE_CAR = (Kind.FILM, Kind.LAMP, Kind.WINDSHIELD)
"""Kinds of tasks that leave film on the car."""

BY_THEMSELVES = (Kind.CHECK_IN, Kind.SETTLE, Kind.HAND_OVER)
"""Nobody ticks these: the first and last are the moves between states, and settling needs no hands."""


class TaskState(StrEnum):
    OPEN = "open"
    DONE = "done"
    STRUCK = "struck"


@dataclass(frozen=True)
class Timer:
    """A stretch of one person's work on a task; it runs while `stopped_at` is None."""

    user_id: int
    name: str
    started_at: datetime
    stopped_at: datetime | None = None


@dataclass(frozen=True)
class Laid:
    """What a film task lays: the films by id, how much of the panel, how its edges end, how hard it is."""

    films: tuple[str, ...]
    area_m2: float
    covered_area_m2: float
    edges_mm: tuple[tuple[str, float], ...]
    """Treatment and length, longest first."""
    seam_mm: float
    difficulty: float

    @property
    def is_part(self) -> bool:
        """Film ends on the panel, at an edge that shows."""
        return self.covered_area_m2 < 0.985 * self.area_m2


@dataclass(frozen=True, kw_only=True)
class Task:
    """`key` is the operation's id, `bag` the number of the bag that a part's clips and screws go into (0: no part).

    `minutes` is what it really took, None when nobody took the time. `clips` counts clips broken.
    """

    key: str
    place: int
    kind: Kind
    panel: str | None
    part: str | None
    bag: int
    role: Role | None
    zone: Zone
    after: tuple[str, ...]
    least: float
    usual: float
    most: float
    planned: float
    steps: tuple[Step, ...] = ()
    laid: Laid | None = None
    id: int = 0
    state: TaskState = TaskState.OPEN
    minutes: float | None = None
    finished_at: datetime | None = None
    finished_by: str = ""
    finished_by_id: int | None = None
    reason: str = ""
    clips: int = 0
    timers: tuple[Timer, ...] = ()

    @property
    def is_asked_for(self) -> bool:
        """Somebody has to do it or strike it before the car goes."""
        return self.kind not in BY_THEMSELVES

    @property
    def is_finished(self) -> bool:
        return self.state is not TaskState.OPEN or not self.is_asked_for

    @property
    def running(self) -> tuple[Timer, ...]:
        return tuple(timer for timer in self.timers if timer.stopped_at is None)

    @property
    def is_part(self) -> bool:
        return self.kind in (Kind.PARTS_OFF, Kind.PARTS_ON)


def tasks_of(operations: Sequence[Operation], planned: Mapping[str, float], scope: Scope, book: PriceBook) -> tuple[Task, ...]:
    """The tasks of a job as planned. Bags are numbered in the order in which parts come off; on the way back the same numbers hold."""
    parts = {part.id: part.part for part in scope.parts_off}
    off = [operation.panel for operation in operations if operation.kind is Kind.PARTS_OFF]
    bags = {panel: number for number, panel in enumerate(off, start=1)}
    laid = _laid(scope, book)
    return tuple(
        Task(
            key=operation.id,
            place=place,
            kind=operation.kind,
            panel=operation.panel,
            part=parts.get(operation.panel or "") if operation.kind in (Kind.PARTS_OFF, Kind.PARTS_ON) else None,
            bag=bags.get(operation.panel, 0) if operation.kind in (Kind.PARTS_OFF, Kind.PARTS_ON) else 0,
            role=operation.role,
            zone=operation.zone,
            after=operation.after,
            least=operation.least,
            usual=operation.usual,
            most=operation.most,
            planned=planned[operation.id],
            steps=operation.steps,
            laid=laid.get(operation.id),
        )
        for place, operation in enumerate(operations)
    )


def unfinished(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """What still has to be done, or struck with a reason."""
    return tuple(task for task in tasks if not task.is_finished)


def is_ready(task: Task, tasks: Mapping[str, Task]) -> bool:
    """Whether everything that the task waits for is finished."""
    return all(tasks[key].is_finished for key in task.after if key in tasks)


def next_task(tasks: Sequence[Task], *, roles: frozenset[Role], user_id: int | None) -> Task | None:
    """What one person does next: what they are timing, else the first open task of their roles that nothing holds up."""
    mine = [task for task in tasks if any(timer.user_id == user_id for timer in task.running)]
    if mine:
        return mine[0]
    by_key = {task.key: task for task in tasks}
    fitting = [task for task in unfinished(tasks) if task.role in roles]
    return next((task for task in fitting if not task.running and is_ready(task, by_key)), next(iter(fitting), None))


def settles_until(tasks: Iterable[Task]) -> datetime | None:
    """When the water has left the film: so long after the last of it was laid as the work is planned to settle. None before that."""
    known = tuple(tasks)
    laid = [task for task in known if task.kind in ON_THE_CAR]
    done = [task.finished_at for task in laid if task.state is TaskState.DONE and task.finished_at is not None]
    rest = next((task.usual for task in known if task.kind is Kind.SETTLE), 0.0)
    if not done or any(task.state is TaskState.OPEN for task in laid):
        return None
    return max(done) + timedelta(minutes=rest)


def struck_panels(tasks: Iterable[Task]) -> frozenset[str]:
    """Panels, lamps and panes that were to get film and didn't."""
    return frozenset(task.panel for task in tasks if task.kind in ON_THE_CAR and task.state is TaskState.STRUCK and task.panel)


def _laid(scope: Scope, book: PriceBook) -> dict[str, Laid]:
    panels = {f"film_{panel.id}": _panel_laid(panel) for panel in scope.covered}
    lamps = {f"lamp_film_{lamp.id}": _lamp_laid(lamp, book) for lamp in scope.lamps}
    glass = {"windshield_film": _lamp_laid(scope.windshield, book)} if scope.windshield else {}
    return {**panels, **lamps, **glass}


def _panel_laid(panel: ScopedPanel) -> Laid:
    films = tuple(dict.fromkeys(band.film for band in panel.bands)) or ((panel.film,) if panel.film else ())
    edges: dict[str, float] = {}
    for edge in panel.edges:
        edges[str(edge.treatment)] = edges.get(str(edge.treatment), 0.0) + edge.length_mm
    ranked = tuple(sorted(edges.items(), key=lambda item: -item[1]))
    return Laid(films, panel.area_m2, panel.covered_area_m2, ranked, panel.seam_mm, panel.difficulty)


def _lamp_laid(lamp: ScopedLamp, book: PriceBook) -> Laid:
    film = film_of(lamp, book)
    edges = ((str(Treatment.TRIMMED), lamp.perimeter_mm),)
    return Laid((film.id,) if film else (), lamp.area_m2, lamp.area_m2, edges, 0.0, 0.0)

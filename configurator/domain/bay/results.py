"""What a job really took, kept beside what was planned, so that estimates can learn from it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, kw_only=True)
class TaskResult:
    """One finished task: planned and real minutes with what the plan rested on."""

    reference: str
    finished_at: datetime
    body: str
    edges: str
    price_book: str
    key: str
    kind: str
    panel: str | None
    part: str | None
    role: str | None
    usual: float
    planned: float
    minutes: float
    remade: int


@dataclass(frozen=True, kw_only=True)
class FilmResult:
    """One film of one finished job: metres the plan asked for, metres used, and of those the ones for pieces cut again."""

    reference: str
    finished_at: datetime
    body: str
    film: str
    planned_m: float
    used_m: float
    remade_m: float


@dataclass(frozen=True)
class Results:
    tasks: tuple[TaskResult, ...]
    film: tuple[FilmResult, ...]


@dataclass(frozen=True)
class Comparison:
    """Planned against real over several tasks (minutes) or jobs (metres). `count` says how much it rests on."""

    name: str
    count: int
    planned: float
    real: float

    @property
    def difference(self) -> float:
        """Real over planned, minus 1: of the sums, so that short tasks don't weigh as much as long ones."""
        return self.real / self.planned - 1 if self.planned else 0.0


def by_kind(tasks: Iterable[TaskResult]) -> tuple[Comparison, ...]:
    """One comparison per kind of operation, in the order of their names."""
    return _compared((task.kind, task.planned, task.minutes) for task in tasks)


def by_film(film: Iterable[FilmResult]) -> tuple[Comparison, ...]:
    """One comparison per film."""
    return _compared((one.film, one.planned_m, one.used_m) for one in film)


def _compared(rows: Iterable[tuple[str, float, float]]) -> tuple[Comparison, ...]:
    sums: dict[str, tuple[int, float, float]] = {}
    for name, planned, real in rows:
        count, before, after = sums.get(name, (0, 0.0, 0.0))
        sums[name] = (count + 1, before + planned, after + real)
    return tuple(Comparison(name, *sums[name]) for name in sorted(sums))

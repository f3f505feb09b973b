"""Made-up tasks, boxes and jobs: defaults that hold together, overrides by name."""

from datetime import UTC, datetime
from typing import Any

from configurator.domain.bay.check_in import CheckIn, OdometerUnit
from configurator.domain.bay.film import Box
from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import Laid, Task, TaskState
from configurator.domain.desk import Person
from configurator.domain.review import Actor
from configurator.domain.work import Kind, Role, Zone

NOON = datetime(2027, 3, 8, 17, 0, tzinfo=UTC)
TOMAS = Person(Actor.INSTALLER, 1, "Tomas Reyl")


def a_task(key: str = "film_hood", **changes: Any) -> Task:
    """A film task on a panel named in its key; `off_` and `on_` keys are parts."""
    kind = Kind.PARTS_OFF if key.startswith("off_") else Kind.PARTS_ON if key.startswith("on_") else Kind.FILM
    panel = key.partition("_")[2]
    values: dict[str, Any] = {
        "key": key,
        "place": 0,
        "kind": kind,
        "panel": panel,
        "part": panel if kind is not Kind.FILM else None,
        "bag": int(kind is not Kind.FILM),
        "role": Role.INSTALLER,
        "zone": Zone.HOOD,
        "after": (),
        "least": 60.0,
        "usual": 90.0,
        "most": 150.0,
        "planned": 95.0,
        "laid": laying("gloss-clear") if kind is Kind.FILM else None,
    }
    return Task(**{**values, **changes})


def done(key: str = "film_hood", **changes: Any) -> Task:
    """The same, finished by Tomas in 100 minutes."""
    values = {"state": TaskState.DONE, "minutes": 100.0, "finished_at": NOON, "finished_by": TOMAS.name, "finished_by_id": TOMAS.id}
    return a_task(key, **{**values, **changes})


def laying(*films: str, part: float = 1.0) -> Laid:
    """What a task lays on 1.6 square meters of a panel."""
    return Laid(films, 1.6, 1.6 * part, (("wrapped", 4200.0), ("trimmed", 300.0)), 0.0, 0.03)


def a_box(film: str = "gloss-clear", batch: str = "GC-1", *, panels: tuple[str, ...] = ()) -> Box:
    return Box(film=film, roll_width_mm=1524.0, batch=batch, metres=2.0, panels=panels, at=NOON, by=TOMAS.name)


def a_job(*tasks: Task, **changes: Any) -> Job:
    record = CheckIn(at=NOON, by=TOMAS, odometer=1, odometer_unit=OdometerUnit.MILE, keys=1, signed="Mara Ellison")
    values: dict[str, Any] = {
        "request_id": 1,
        "selection": {"version": 1, "vehicle": {"body": "coupe"}},
        "body": "coupe",
        "edges": "wrapped",
        "price_book": "test-1",
        "check_in": record,
        "rolls": (),
        "seams": (),
        "tasks": tasks,
    }
    return Job(**{**values, **changes})

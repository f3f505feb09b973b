"""The coverage record: what is really on the car when it leaves, from which box, and until when it is warranted."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from configurator.domain.bay.film import Box, Remake, boxes_of, on_the_car
from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import ON_THE_CAR, Task, TaskState
from configurator.domain.bay.warranty import Care, warranty_end
from configurator.domain.desk import Document
from configurator.domain.estimate import Caution
from configurator.domain.price_book import PriceBook


@dataclass(frozen=True)
class CoveredFilm:
    """One film on a panel, and the batch numbers it came from."""

    film: str
    batches: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CoveredPanel:
    """A panel, lamp or pane with film on it. `number` is what stands on it in the drawing; `warranty_until` the earliest of its films'."""

    number: int
    panel: str
    films: tuple[CoveredFilm, ...]
    treatments: tuple[str, ...]
    is_part: bool
    remade: int
    warranty_until: date


@dataclass(frozen=True)
class LeftOut:
    """A panel that was to get film and didn't, and why."""

    panel: str
    reason: str


@dataclass(frozen=True)
class FilmWarranty:
    film: str
    years: int
    start: date
    until: date


@dataclass(frozen=True, kw_only=True)
class Coverage:
    """The record as it was handed over; a later price book changes nothing in it. `selection` is what the drawing is made from."""

    reference: str
    handed_over: datetime
    selection: Document
    body: str
    price_book: str
    panels: tuple[CoveredPanel, ...]
    left_out: tuple[LeftOut, ...]
    warranties: tuple[FilmWarranty, ...]
    fitting_until: date
    seams: int
    seam_mm: float
    care: Care
    fitted_by: tuple[str, ...]
    parts_by: tuple[str, ...]
    checked_by: str
    cautions: tuple[Caution, ...]
    """What the owner should go on minding."""
    received_by: str = ""

    @property
    def numbers(self) -> Mapping[str, str]:
        return {panel.panel: str(panel.number) for panel in self.panels}

    @property
    def bare(self) -> tuple[str, ...]:
        """What the drawing must not show covered."""
        return tuple(panel.panel for panel in self.left_out)

    def panel(self, id: str) -> CoveredPanel | None:
        return next((panel for panel in self.panels if panel.panel == id), None)


def coverage_of(
    job: Job,
    reference: str,
    handed_over: datetime,
    book: PriceBook,
    care: Care,
    *,
    checked_by: str,
    cautions: tuple[Caution, ...],
    received_by: str,
) -> Coverage:
    """The record of a finished job; `handed_over` on the shop's own clock."""
    start = handed_over.date()
    done = on_the_car(job.tasks)
    films = tuple(dict.fromkeys(film for task in done if task.laid for film in task.laid.films))
    covered = {task.panel for task in done}
    seams = [seam.length_mm for seam in job.seams if seam.panel in covered]
    return Coverage(
        reference=reference,
        handed_over=handed_over,
        selection=job.selection,
        body=job.body,
        price_book=job.price_book,
        panels=tuple(_panel(number, task, job.boxes, job.remakes, start, book) for number, task in enumerate(done, start=1)),
        left_out=tuple(
            LeftOut(task.panel, task.reason)
            for task in job.tasks
            if task.kind in ON_THE_CAR and task.state is TaskState.STRUCK and task.panel
        ),
        warranties=tuple(_warranty(film, start, book) for film in films),
        fitting_until=warranty_end(start, book.after_care.fitting_years),
        seams=len(seams),
        seam_mm=sum(seams),
        care=care,
        fitted_by=_names(done),
        parts_by=_names(task for task in job.tasks if task.is_part and task.state is TaskState.DONE),
        checked_by=checked_by,
        cautions=cautions,
        received_by=received_by,
    )


def _panel(number: int, task: Task, boxes: Sequence[Box], remakes: Iterable[Remake], start: date, book: PriceBook) -> CoveredPanel:
    if task.panel is None or task.laid is None:
        raise ValueError(f"{task.key} lays nothing on a panel")
    panel, films = task.panel, task.laid.films
    return CoveredPanel(
        number=number,
        panel=panel,
        films=tuple(CoveredFilm(film, tuple(box.batch for box in boxes_of(panel, film, boxes))) for film in films),
        treatments=tuple(treatment for treatment, _ in task.laid.edges_mm),
        is_part=task.laid.is_part,
        remade=sum(remake.panel == panel for remake in remakes),
        warranty_until=min(_warranty(film, start, book).until for film in films),
    )


def _warranty(film: str, start: date, book: PriceBook) -> FilmWarranty:
    years = book.films[film].warranty_years
    return FilmWarranty(film, years, start, warranty_end(start, years))


def _names(tasks: Iterable[Task]) -> tuple[str, ...]:
    """Everybody who timed or finished one of the tasks, once."""
    names = (name for task in tasks for name in (*(timer.name for timer in task.timers), task.finished_by) if name)
    return tuple(dict.fromkeys(names))

"""Film that a job really takes: boxes with batch numbers, and pieces cut again."""

from collections.abc import Iterable
from math import isfinite

from configurator.domain.bay.film import Box, Remake, RemakeReason
from configurator.domain.bay.job import Job
from configurator.domain.desk import Event, Person
from configurator.domain.film_plan.records import FilmPlan, Piece
from configurator.errors import Fault, InvalidInput
from configurator.services.bay.office import NoSuchTask, Office, job_at_work
from configurator.services.contacts import checked_text
from configurator.services.ports import Work
from configurator.wire.film_plan import restored_film_plan

LONGEST_BATCH = 60
MOST_METRES = 200.0


def open_box(
    reference: str, entry: str, by: Person, office: Office, *, roll: str, batch: str, metres: str, offcut: str, panels: Iterable[str] = ()
) -> None:
    """Notes a box of film: its batch number and the metres taken off it. `roll` is `film:width`, as the plan has it.

    `entry` is the form's own mark: the same form again changes nothing. Raises InvalidInput, NotInBay.
    """
    faults: list[Fault] = []
    number = checked_text(batch, "batch", faults, longest=LONGEST_BATCH, required=True)
    used = _metres(metres, "metres", faults, required=True)
    left = _metres(offcut, "offcut", faults)
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        film, width = _roll(roll, job, faults)
        if faults:
            raise InvalidInput(faults)
        laid = {task.panel for task in job.tasks if task.laid and film in task.laid.films}
        named = tuple(panel for panel in panels if panel in laid)
        box = Box(film=film, roll_width_mm=width, batch=number, metres=used, offcut_m=left, panels=named, at=office.now(), by=by.name)
        work.bay.add_box(request.id, entry, box)


def take_back_box(reference: str, box_id: int, office: Office) -> None:
    """Takes a box off the list."""
    with office.store.writing() as work:
        request, _ = job_at_work(reference, work)
        work.bay.remove_box(request.id, box_id)


def remake(reference: str, entry: str, piece_id: str, reason: str, by: Person, office: Office) -> Remake:
    """Notes that a piece is cut again; the film for it counts as used by itself, outside any plan. Raises InvalidInput, NoSuchTask."""
    if reason not in set(RemakeReason):
        raise InvalidInput([Fault("why", "choose_one")])
    with office.store.writing() as work:
        request, _ = job_at_work(reference, work)
        piece, width = _piece(piece_id, request.id, work)
        metres = piece.nest_area_mm2 / 1e6 / (width / 1000) / office.book.cutting.remake_yield
        made = Remake(
            piece=piece.id,
            panel=piece.panel,
            film=piece.film,
            metres=round(metres, 3),
            reason=RemakeReason(reason),
            at=office.now(),
            by=by.name,
        )
        work.bay.add_remake(request.id, entry, made)
        work.bay.remove_mark(request.id, "piece", piece.id)
        facts = {"panel": piece.panel, "remake": reason}
        work.requests.record(request.id, Event(at=office.now(), by=by, kind="piece_remade", facts=facts))
        return made


def plan_of(request_id: int, work: Work) -> FilmPlan:
    """The cut plan as it was kept at check-in."""
    kept = work.bay.cut_plan(request_id)
    return restored_film_plan(kept) if kept is not None else FilmPlan("quick", ())


def _piece(piece_id: str, request_id: int, work: Work) -> tuple[Piece, float]:
    """A piece and the width of its roll, mm."""
    for roll in plan_of(request_id, work).rolls:
        for placement in roll.placements:
            if placement.piece.id == piece_id:
                return placement.piece, roll.roll_width_mm
    raise NoSuchTask(piece_id)


def _roll(text: str, job: Job, faults: list[Fault]) -> tuple[str, float]:
    known = {f"{roll.film}:{roll.roll_width_mm:g}": (roll.film, roll.roll_width_mm) for roll in job.rolls}
    if text not in known:
        faults.append(Fault("roll", "choose_one"))
        return "", 0.0
    return known[text]


def _metres(text: str, path: str, faults: list[Fault], *, required: bool = False) -> float:
    tidy = text.strip().replace(",", ".")
    if not tidy:
        if required:
            faults.append(Fault(path, "missing"))
        return 0.0
    try:
        metres = float(tidy) if len(tidy) < 12 and tidy.isascii() else float("nan")
    except ValueError:
        metres = float("nan")
    if not isfinite(metres):
        faults.append(Fault(path, "must_be_a_number"))
    elif not 0 <= metres <= MOST_METRES or (required and metres == 0):
        faults.append(Fault(path, "not_between", {"least": 0, "most": int(MOST_METRES)}))
    else:
        return metres
    return 0.0

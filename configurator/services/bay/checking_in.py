"""A car comes in: what was typed is checked, its work order is made, and it moves into the bay, all at once or not at all."""

from collections.abc import Collection

from configurator.domain.bay.check_in import CheckIn, CheckInDraft, Damage, DamageKind, OdometerUnit, PaintReading
from configurator.domain.bay.job import NewJob, PlannedRoll
from configurator.domain.bay.seams import seams_of
from configurator.domain.bay.tasks import tasks_of
from configurator.domain.customers import Change, ChangeKind, changed_fields
from configurator.domain.desk import Person, Request
from configurator.domain.film_plan.records import FilmPlan
from configurator.domain.phases import planned_minutes
from configurator.domain.review import Need, State
from configurator.errors import Fault, InvalidInput
from configurator.services import reviewing
from configurator.services.bay.office import Office
from configurator.services.bay.scoped import scoped
from configurator.services.contacts import checked_text
from configurator.services.film.film_planning import plan_film
from configurator.services.ports import AlreadyThere, ChangedMeanwhile, Work
from configurator.wire.film_plan import kept_film_plan

LONGEST_NOTE = 300
LONGEST_TEXT = 1000
LONGEST_NAME = 120
LONGEST_TAG = 20
MOST_MARKS = 40
MOST_READINGS = 3
THICKEST_UM = 5000
FARTHEST = 2_000_000
MOST_KEYS = 9


def check_in(reference: str, revision: int, draft: CheckInDraft, by: Person, office: Office) -> Request:
    """The check-in record, the work order and the move into the bay. The car's work is planned before the transaction begins.

    Raises InvalidInput (paths are the fields' names), MoveRefused, ChangedMeanwhile, NoSuchRequest.
    """
    with office.store.reading() as work:
        request = reviewing.find_as_read(reference, revision, work)
    body = scoped(request.selection, office.shop).worked.body
    record = checked(draft, by, office, panels=body.panels)
    new = _new_job(request, record, office)
    with office.store.writing() as work:
        request = reviewing.find_as_read(reference, revision, work)
        moved = reviewing.move(request, State.IN_BAY, by, office.desk, work, met=[Need.CHECK_IN_RECORD])
        try:
            work.bay.open(request.id, new, record.at)
        except AlreadyThere as error:
            raise ChangedMeanwhile(reference) from error
        _note_odometer(moved, record, work)
        return moved


def checked(draft: CheckInDraft, by: Person, office: Office, *, panels: Collection[str]) -> CheckIn:
    """The record of what was typed. Raises InvalidInput with every fault."""
    faults: list[Fault] = []
    record = CheckIn(
        at=office.now(),
        by=by,
        odometer=_whole(draft.odometer, "odometer", faults, most=FARTHEST),
        odometer_unit=OdometerUnit(draft.odometer_unit) if draft.odometer_unit in set(OdometerUnit) else OdometerUnit.MILE,
        keys=_whole(draft.keys, "key_count", faults, least=1, most=MOST_KEYS),
        key_tag=checked_text(draft.key_tag, "key_tag", faults, longest=LONGEST_TAG),
        fuel_percent=_whole(draft.fuel_percent, "fuel_percent", faults, most=100) if draft.fuel_percent.strip() else None,
        items=checked_text(draft.items, "belongings", faults, longest=LONGEST_TEXT, lines=True),
        notes=checked_text(draft.notes, "notes", faults, longest=LONGEST_TEXT, lines=True),
        damage=_damage(draft, faults, panels),
        readings=_readings(draft, faults, panels),
        signed=checked_text(draft.signed, "signed", faults, longest=LONGEST_NAME, required=True),
    )
    if faults:
        raise InvalidInput(faults)
    return record


def _note_odometer(request: Request, record: CheckIn, work: Work) -> None:
    """The car's own record knows the latest reading too."""
    vehicle = work.customers.vehicle(request.vehicle_id)
    values = {"odometer": record.odometer}
    if vehicle is not None and (fields := changed_fields(vehicle, values)):
        change = Change(at=record.at, by=record.by, kind=ChangeKind.VEHICLE, fields=fields, vehicle_id=vehicle.id)
        work.customers.change_vehicle(vehicle, values, change)


def _whole(text: str, path: str, faults: list[Fault], *, least: int = 0, most: int) -> int:
    """A whole number as people type it: groups of digits may be parted by spaces, points or commas."""
    tidy = text.strip().translate(str.maketrans("", "", " .,'’\u00a0\u202f"))
    if not tidy:
        faults.append(Fault(path, "missing"))
    elif not (tidy.isascii() and tidy.isdigit()):
        faults.append(Fault(path, "must_be_whole"))
    elif not least <= (number := int(tidy[:12])) <= most:
        faults.append(Fault(path, "not_between", {"least": least, "most": most}))
    else:
        return number
    return least


def _damage(draft: CheckInDraft, faults: list[Fault], panels: Collection[str]) -> tuple[Damage, ...]:
    found = []
    for place, (panel, kind, note) in enumerate(draft.damage[:MOST_MARKS]):
        tidy = checked_text(note, f"damage_note_{place}", faults, longest=LONGEST_NOTE)
        if not panel and not tidy:
            continue
        if panel not in panels:
            faults.append(Fault(f"damage_panel_{place}", "choose_one"))
        elif kind not in set(DamageKind):
            faults.append(Fault(f"damage_kind_{place}", "choose_one"))
        else:
            found.append(Damage(panel, DamageKind(kind), tidy))
    return tuple(found)


def _readings(draft: CheckInDraft, faults: list[Fault], panels: Collection[str]) -> tuple[PaintReading, ...]:
    found = []
    for panel, text in draft.readings:
        numbers = text.replace(",", " ").replace(";", " ").replace("/", " ").split()
        if panel not in panels or not numbers:
            continue
        if len(numbers) > MOST_READINGS or not all(number.isascii() and number.isdigit() and len(number) < 5 for number in numbers):
            faults.append(Fault(f"reading_{panel}", "not_readings", {"most": MOST_READINGS}))
        elif not all(1 <= int(number) <= THICKEST_UM for number in numbers):
            faults.append(Fault(f"reading_{panel}", "not_between", {"least": 1, "most": THICKEST_UM}))
        else:
            found.append(PaintReading(panel, tuple(map(int, numbers))))
    return tuple(found)


def _new_job(request: Request, record: CheckIn, office: Office) -> NewJob:
    worked = scoped(request.selection, office.shop).worked
    planned = {operation.id: planned_minutes(operation, office.book.time.k50) for operation in worked.operations}
    plan = plan_film(office.shop, worked.selection)
    return NewJob(
        selection=request.selection,
        body=request.body,
        edges=request.edges,
        price_book=office.book.version,
        check_in=record,
        rolls=_rolls(plan),
        seams=seams_of(plan),
        cut_plan=kept_film_plan(plan),
        tasks=tasks_of(worked.operations, planned, worked.scope, office.book),
    )


def _rolls(plan: FilmPlan) -> tuple[PlannedRoll, ...]:
    return tuple(PlannedRoll(roll.film, roll.roll_width_mm, round(roll.length_mm / 1000, 3), len(roll.placements)) for roll in plan.rolls)

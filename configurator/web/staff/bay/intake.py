"""A car comes in: the check-in form with the drawing, and what becomes of it."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from configurator.domain.bay.check_in import LIKELY_RESPRAY_UM, CheckInDraft, DamageKind, OdometerUnit
from configurator.domain.desk import Request
from configurator.domain.review import MoveRefused, State
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.bay.checking_in import MOST_MARKS, check_in
from configurator.services.bay.scoped import Scoped, scoped
from configurator.services.bay.today import appointment_of
from configurator.services.ports import ChangedMeanwhile
from configurator.web.i18n import words
from configurator.web.request_reading import sentence
from configurator.web.staff.bay.frame import car_title, faults_of, office, opened, page, picture
from configurator.web.staff.guard import needs, person
from configurator.web.staff.revisions import sent_revision
from configurator.web.wiring import wired

ROWS, MORE_ROWS = 3, 5
Typed = MultiDict[str, str]


@dataclass(frozen=True)
class DamageField:
    """One row for a mark, with what was typed into it."""

    place: int
    panel: str
    kind: str
    note: str


@needs(Right.BAY)
def bay_car(reference: str) -> Response | str:
    """Where a car is: its check-in form, its work order, or its record."""
    with wired().store.reading() as work:
        kept = reviewing.find(reference, work)
    if kept.state is State.SCHEDULED:
        return redirect(url_for("staff.bay_check_in", reference=reference), code=303)
    opened(reference)
    return redirect(url_for("staff.bay_parts", reference=reference), code=303)


@needs(Right.BAY)
def check_in_form(reference: str) -> str | Response:
    """The form; a car that is in already shows its record."""
    with wired().store.reading() as work:
        kept = reviewing.find(reference, work)
        job = work.bay.job(kept.id)
    if job is not None:
        return page("checked_in", kept, job, "", picture=_marks_drawing(kept, {mark.panel for mark in job.check_in.damage}))
    if kept.state is not State.SCHEDULED:
        raise MoveRefused(kept.state, State.IN_BAY, "no_such_move")
    return _form(kept, MultiDict(), {})


@needs(Right.BAY)
def do_check_in(reference: str) -> Response | str:
    """Checks the car in, or gives the form back with more rows for marks."""
    if "more" in request.form:
        with wired().store.reading() as work:
            kept = reviewing.find(reference, work)
        return _form(kept, request.form, {}, rows=len(_typed_rows(request.form)) + MORE_ROWS)
    try:
        check_in(reference, sent_revision(), _draft(request.form), person(), office())
    except InvalidInput as error:
        with wired().store.reading() as work:
            kept = reviewing.find(reference, work)
        return make_response(_form(kept, request.form, faults_of(error)), 422)
    except (MoveRefused, ChangedMeanwhile) as error:
        return _too_late(reference, error)
    return redirect(url_for("staff.bay_parts", reference=reference), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/<reference>", "bay_car", bay_car)
    blueprint.add_url_rule("/bay/<reference>/check-in", "bay_check_in", check_in_form)
    blueprint.add_url_rule("/bay/<reference>/check-in", "bay_do_check_in", do_check_in, methods=["POST"])


def _form(kept: Request, typed: Typed, faults: dict[str, str], *, rows: int = ROWS) -> str:
    say = words()
    known = scoped(kept.selection, office().shop)
    body = known.worked.body
    names = {id: say.name("panel", id, body=kept.body) for id, panel in body.panels.items() if panel.selectable}
    fields = _rows(typed, rows)
    with wired().store.reading() as work:
        appointment = appointment_of(kept, work)
    return render_template(
        "staff/bay/check_in.html",
        kept=kept,
        car=car_title(kept, say),
        appointment=appointment,
        panels=names,
        damage_rows=fields,
        damage_kinds=list(DamageKind),
        units=list(OdometerUnit),
        unit=typed.get("odometer_unit") or _usual_unit(),
        readings=[(panel.id, names[panel.id]) for panel in known.worked.scope.covered if panel.id in names],
        typed=typed,
        faults=faults,
        likely_respray=LIKELY_RESPRAY_UM,
        picture=_marks_drawing(kept, set()),
        most_marks=MOST_MARKS,
        respray=_resprayed(known),
    )


def _resprayed(known: Scoped) -> tuple[str, ...]:
    return tuple({sentence(caution.message, words()): None for caution in known.cautions if caution.code == "respray_weak"})


def _usual_unit() -> str:
    """Miles where they stand on the odometer: the US and the UK. From memory."""
    return OdometerUnit.MILE if wired().shop.book.shop.country in {"US", "GB"} else OdometerUnit.KILOMETER


def _rows(typed: Typed, least: int) -> tuple[DamageField, ...]:
    sent = _typed_rows(typed)
    blank = [("", "", "")] * max(0, min(max(least, len(sent)), MOST_MARKS) - len(sent))
    return tuple(DamageField(place, *row) for place, row in enumerate([*sent, *blank]))


def _typed_rows(form: Typed) -> list[tuple[str, str, str]]:
    """Panel, kind and note of every row that was sent, empty ones in between left in place."""
    rows = []
    for place in range(MOST_MARKS):
        row = (form.get(f"damage_panel_{place}", ""), form.get(f"damage_kind_{place}", ""), form.get(f"damage_note_{place}", ""))
        if f"damage_panel_{place}" not in form:
            break
        rows.append(row)
    return rows


def _draft(form: Typed) -> CheckInDraft:
    readings = tuple((name.removeprefix("reading_"), text) for name, text in form.items() if name.startswith("reading_"))
    return CheckInDraft(
        odometer=form.get("odometer", ""),
        odometer_unit=form.get("odometer_unit", ""),
        keys=form.get("key_count", ""),
        key_tag=form.get("key_tag", ""),
        fuel_percent=form.get("fuel_percent", ""),
        items=form.get("belongings", ""),
        notes=form.get("notes", ""),
        damage=tuple(_typed_rows(form)),
        readings=readings,
        signed=form.get("signed", ""),
    )


def _marks_drawing(kept: Request, marked: set[str]) -> Markup | None:
    """The bare car with an exclamation mark on every panel that has a mark."""
    known = scoped(kept.selection, office().shop).worked.scope
    glass = (known.windshield,) if known.windshield else ()
    bare = {*(panel.id for panel in known.covered), *(lamp.id for lamp in (*known.lamps, *glass))}
    numbers = dict.fromkeys(marked, "!")
    return picture(kept.selection, "sheet", numbers, bare=bare, prefix="marks")


def _too_late(reference: str, error: Exception) -> Response:
    """The car moved on while the form was open: what was typed is shown again, so that nothing is lost."""
    say = words()
    del error
    kept_text: list[tuple[str, str]] = [
        (say.gettext("Items left in the car"), request.form.get("belongings", "")),
        (say.gettext("Notes"), request.form.get("notes", "")),
    ]
    context: dict[str, Any] = {
        "title": say.gettext("This car was checked in or moved meanwhile"),
        "texts": [
            say.gettext("Somebody was faster, or the appointment has changed. Nothing of yours was saved."),
            say.gettext("Open the car as it is now and look whether something of yours is missing."),
        ],
        "reference": reference,
        "kept_text": [(label, text) for label, text in kept_text if text.strip()],
    }
    return make_response(render_template("staff/bay/problem.html", **context), 409)

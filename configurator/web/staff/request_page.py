"""One request on one page: drawing, scope, cautions, range, lines, contact, history, notes; and the moves from here."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.desk import Event
from configurator.domain.review import State, moves_from
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.quotes.expiring import expire_if_due
from configurator.web.i18n import words
from configurator.web.request_drawing import drawing_file, drawing_of
from configurator.web.request_reading import read_request, shop_time, state_line
from configurator.web.staff.before_after import compare
from configurator.web.staff.guard import needs, person, user
from configurator.web.staff.quote_bench import version_row
from configurator.web.staff.revisions import sent_revision
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired
from configurator.wording.history import say_event

VIEWS = ("sheet", "left", "right", "front", "top", "rear")


@dataclass(frozen=True)
class HistoryRow:
    at: str
    moment: datetime
    who: str
    text: str
    reason: str
    is_note: bool


@needs(Right.READ_REQUESTS)
def request_page(reference: str) -> str:
    """The page; opening it is noted the first time."""
    return _page(reference)


@needs(Right.READ_REQUESTS)
def drawing(reference: str, view: str) -> Response:
    """One view as an image, for the inbox."""
    with wired().store.reading() as work:
        kept = reviewing.find(reference, work)
    svg = drawing_file(kept, view) if view in VIEWS else None
    if svg is None:
        abort(404)
    response = make_response(svg)
    response.content_type = "image/svg+xml"
    response.headers["Cache-Control"] = "private, max-age=600"
    response.headers["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'; sandbox"
    return response


@needs(Right.WORK_REQUESTS)
def take(reference: str) -> Response:
    """Makes it mine; a new request goes into review."""
    reviewing.take(reference, sent_revision(), person(), wired().desk())
    return _back(reference)


@needs(Right.WORK_REQUESTS)
def hand_to(reference: str) -> Response:
    """Gives it to somebody else, or to no one."""
    to = whole_number(request.form.get("to", ""))
    reviewing.hand_to(reference, sent_revision(), to, person(), wired().desk())
    return _back(reference)


@needs(Right.WORK_REQUESTS)
def add_note(reference: str) -> Response:
    """Writes a note inside the shop."""
    try:
        reviewing.add_note(reference, request.form.get("note", ""), person(), wired().desk())
    except InvalidInput as error:
        return _again(reference, error)
    return _back(reference, "history")


@needs(Right.WORK_REQUESTS)
def decline(reference: str) -> Response:
    """Says no, with a reason."""
    try:
        reviewing.decline(reference, sent_revision(), request.form.get("reason", ""), person(), wired().desk())
    except InvalidInput as error:
        return _again(reference, error)
    return _back(reference)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/requests/<reference>", "request", request_page)
    blueprint.add_url_rule("/requests/<reference>/drawing/<view>.svg", "drawing", drawing)
    for name, view in (("take", take), ("hand_to", hand_to), ("note", add_note), ("decline", decline)):
        blueprint.add_url_rule(f"/requests/<reference>/{name.replace('_', '-')}", name, view, methods=["POST"])


def _page(reference: str, faults: dict[str, str] | None = None, typed: Any = None) -> str:
    opened = reviewing.open_request(reference, person(), wired().desk())
    if expire_if_due(opened.request, wired().desk()) is not opened.request:
        opened = reviewing.open_request(reference, person(), wired().desk())
    kept = opened.request
    view = request.args.get("view", "sheet")
    with wired().store.reading() as work:
        people = [one for one in work.users.all() if one.is_active and one.may(Right.WORK_REQUESTS)]
        mails = work.mails.about(kept.id)
        measured = work.measurements.of(kept.id)
        latest, original = work.quotes.current(kept.id), work.scopes.original(kept)
    return render_template(
        "staff/request.html",
        reading=read_request(kept),
        request_record=kept,
        stops=state_line(kept, opened.history),
        history=tuple(_history_row(event) for event in reversed(opened.history)),
        moves={move.target for move in moves_from(kept.state, user().role)},
        view=view if view in VIEWS else "sheet",
        views=VIEWS,
        drawing=drawing_of(kept, view if view in VIEWS else "sheet"),
        people=people,
        whose=next((one for one in people if one.id == kept.assigned_to), None),
        mails=mails,
        quote_summary=version_row(latest, words()) if latest else None,
        comparison=compare(original.estimate, kept.estimate, kept.body) if original else None,
        light_is_covered=any(row.film != "none" for row in kept.estimate.light),
        light_measured=measured is not None,
        link=f"{wired().origin}/r/{wired().links.private_token(kept.link_nonce)}",
        faults=faults or {},
        typed=typed or {},
        State=State,
    )


def _again(reference: str, error: InvalidInput) -> Response:
    """The page once more with what is wrong beside its field and what was typed kept."""
    faults = {fault.path: words().fault(fault) for fault in error.faults}
    return make_response(_page(reference, faults, request.form), 422)


def _back(reference: str, anchor: str | None = None) -> Response:
    return redirect(url_for("staff.request", reference=reference, _anchor=anchor), code=303)


def _history_row(event: Event) -> HistoryRow:
    say = words()
    at = shop_time(event.at)
    who = event.by.name or say.name("role", event.by.actor.value)
    return HistoryRow(say.datetime(at, "medium"), at, who, say_event(event, say), event.reason, event.kind == "noted")

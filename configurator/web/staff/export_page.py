"""Requests as a file for other programs: CSV for spreadsheets, JSON for everything else, with the filters of the inbox."""

from collections.abc import Iterator
from itertools import chain

from flask import Blueprint, Response, abort, render_template, request

from configurator.domain.desk import Event
from configurator.domain.inbox import InboxQuestion, View
from configurator.domain.staff import Right
from configurator.services.records.tables import REQUEST_COLUMNS, Row, as_csv, as_json, request_rows
from configurator.web.staff.downloads import download
from configurator.web.staff.guard import needs, person, user
from configurator.web.wiring import wired

EVERYTHING = "everything"
OFFERED = (EVERYTHING, View.OPEN.value, View.MINE.value, View.NEEDS_ANSWER.value, View.FINISHED.value)
LONGEST_SEARCH = 100


@needs(Right.EXPORT)
def export() -> str:
    """What can be taken, and how it is narrowed down."""
    return render_template("staff/export.html", views=OFFERED, chosen=_view(), text=_text(), body=_body(), bodies=wired().shop.styles)


@needs(Right.EXPORT)
def export_file(kind: str) -> Response:
    """The file itself; that it was taken stands in the audit trail."""
    if kind not in {"csv", "json"}:
        abort(404)
    with wired().store.writing() as work:
        work.requests.record(None, Event(at=wired().clock(), by=person(), kind="requests_exported"))
    rows = _rows()
    return download(as_csv(rows, REQUEST_COLUMNS) if kind == "csv" else as_json(rows), "requests", kind)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/export", "export", export)
    blueprint.add_url_rule("/export/requests.<kind>", "export_file", export_file)


def _rows() -> Iterator[Row]:
    views = (View.OPEN, View.FINISHED) if _view() == EVERYTHING else (View(_view()),)
    store, text, body, me = wired().store, _text(), _body(), user().id
    return chain.from_iterable(
        request_rows(InboxQuestion(view=view, text=text, body=body, assigned_to=me if view is View.MINE else None), store) for view in views
    )


def _view() -> str:
    asked = request.args.get("view", EVERYTHING)
    return asked if asked in OFFERED else EVERYTHING


def _text() -> str:
    return request.args.get("q", "")[:LONGEST_SEARCH].strip()


def _body() -> str:
    asked = request.args.get("body", "")
    return asked if asked in wired().shop.styles else ""

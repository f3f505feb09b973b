"""Lists as files for other programs: requests and the audit trail as CSV (RFC 4180) or JSON, written while they are read."""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from configurator.domain.audit import AuditQuestion, AuditRow
from configurator.domain.inbox import InboxQuestion
from configurator.services.ports import Store

BATCH = 200
BYTE_ORDER_MARK = "\ufeff"
"""Tells spreadsheet programs that the file is UTF-8."""
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A cell that begins like this may be run as a formula (OWASP, CSV Injection); an apostrophe before it makes it text."""
Row = Mapping[str, Any]


def request_rows(question: InboxQuestion, store: Store) -> Iterator[Row]:
    """The requests of a view with its filters, in its order. A short transaction for each batch, so that nobody waits for a slow reader."""
    seen: set[int] = set()
    question = replace(question, rows=BATCH)
    while True:
        with store.reading() as work:
            page = work.inbox.page(question)
            details = work.request_rows.of([row.id for row in page.rows])
        yield from (details[row.id] for row in page.rows if row.id in details and row.id not in seen)
        seen |= details.keys()
        if not page.has_more:
            return
        question = replace(question, after=page.rows[-1].place)


def audit_rows(question: AuditQuestion, store: Store) -> Iterator[AuditRow]:
    """The entries of the trail, newest first, batch by batch."""
    question = replace(question, rows=BATCH)
    while True:
        with store.reading() as work:
            page = work.audit.page(question)
        yield from page.rows
        if not page.has_more:
            return
        question = replace(question, before=page.rows[-1].id)


def as_csv(rows: Iterable[Row], columns: Iterable[str]) -> Iterator[str]:
    """Lines of a CSV file, the names of the columns first. No cell can be run as a formula."""
    names = list(columns)
    yield BYTE_ORDER_MARK + _line(names)
    for row in rows:
        yield _line([_cell(row.get(name)) for name in names])


def as_json(rows: Iterable[Row]) -> Iterator[str]:
    """A JSON list, one row a line."""
    before = "[\n"
    for row in rows:
        yield before + json.dumps(dict(row), ensure_ascii=False)
        before = ",\n"
    yield "[]\n" if before == "[\n" else "\n]\n"


REQUEST_COLUMNS = (
    "reference", "state", "state_since", "received_at", "answer_due", "assigned_to", "name", "company", "email", "phone", "language", "car",
    "colour", "plate", "body", "package", "edges", "region", "dates", "currency", "low", "typical", "high", "days_typical", "days_high",
    "cautions_to_settle", "cautions_to_know", "price_book", "came_from",
)  # fmt: skip


def _cell(value: Any) -> str:
    text = "" if value is None else str(value)
    return f"'{text}" if text.startswith(_FORMULA) else text


def _line(cells: list[str]) -> str:
    written = io.StringIO()
    csv.writer(written).writerow(cells)
    return written.getvalue()

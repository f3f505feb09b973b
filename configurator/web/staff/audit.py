"""The audit trail: who did what when, newest first; by person, by what it is about, by request; as a file too."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint, Response, render_template, request

from configurator.domain.audit import AuditGroup, AuditQuestion, AuditRow, group_of
from configurator.domain.desk import Event
from configurator.domain.staff import Right
from configurator.services.ports import Store
from configurator.services.records.tables import as_csv, audit_rows
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.downloads import download
from configurator.web.staff.guard import needs, person
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired
from configurator.wording.history import say_event
from configurator.wording.words import Words

CSV_COLUMNS = ("number", "at", "who", "role", "kind", "what", "reference", "reason")
LONGEST_REFERENCE = 20


@dataclass(frozen=True)
class TrailRow:
    """One entry in words."""

    number: int
    moment: datetime
    at: str
    who: str
    role: str
    what: str
    reference: str | None
    group: AuditGroup
    reason: str


@needs(Right.AUDIT)
def audit() -> str:
    """One page of the trail."""
    question = _question()
    with wired().store.reading() as work:
        page, people = work.audit.page(question), work.users.all()
    return render_template(
        "staff/audit.html",
        question=question,
        rows=tuple(_row(row) for row in page.rows),
        older=page.rows[-1].id if page.has_more else None,
        people=people,
        groups=tuple(AuditGroup),
        filters={"who": question.user_id, "about": question.group.value if question.group else None, "request": question.reference or None},
    )


@needs(Right.AUDIT)
def audit_file() -> Response:
    """The same entries, all of them, as a file; that it was taken is an entry itself."""
    question = _question()
    with wired().store.writing() as work:
        work.requests.record(None, Event(at=wired().clock(), by=person(), kind="audit_exported"))
    return download(as_csv(_records(question, wired().store, words()), CSV_COLUMNS), "audit-trail", "csv")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/audit", "audit", audit)
    blueprint.add_url_rule("/audit/trail.csv", "audit_file", audit_file)


def _records(question: AuditQuestion, store: Store, say: Words) -> Iterator[dict[str, object]]:
    for row in audit_rows(question, store):
        event = row.event
        yield {
            "number": row.id, "at": event.at.isoformat(), "who": event.by.name, "role": event.by.actor.value, "kind": event.kind,
            "what": say_event(event, say), "reference": row.reference, "reason": event.reason,
        }  # fmt: skip


def _question() -> AuditQuestion:
    arguments = request.args
    about = arguments.get("about", "")
    return AuditQuestion(
        user_id=whole_number(arguments.get("who", "")),
        group=AuditGroup(about) if about in set(AuditGroup) else None,
        reference=arguments.get("request", "").strip().upper()[:LONGEST_REFERENCE],
        before=whole_number(arguments.get("before", "")),
    )


def _row(row: AuditRow) -> TrailRow:
    say, event = words(), row.event
    at = shop_time(event.at)
    role = say.name("role", event.by.actor.value)
    return TrailRow(
        number=row.id,
        moment=at,
        at=say.datetime(at, "medium"),
        who=event.by.name or role,
        role=role if event.by.name else "",
        what=say_event(event, say),
        reference=row.reference,
        group=group_of(event.kind),
        reason=event.reason,
    )

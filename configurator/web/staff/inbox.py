"""The inbox: what must be done, in order; a preview beside the list, so that triage needs no page change."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import groupby
from typing import Any

from flask import Blueprint, jsonify, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.inbox import NO_ONE, InboxPage, InboxQuestion, InboxRow, View
from configurator.domain.review import State
from configurator.domain.staff import Right
from configurator.web.i18n import words
from configurator.web.range_strips import Strip, axis_over
from configurator.web.request_reading import read_request, shop_time
from configurator.web.staff import first_run
from configurator.web.staff.guard import needs, user
from configurator.web.staff.inbox_places import decode, encode
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired
from configurator.wording.ages import age, quote_left, time_left
from configurator.wording.words import Words

RUNNING_OUT = timedelta(days=3)
LONGEST_SEARCH = 100


@dataclass(frozen=True)
class Line:
    """One row of the list, put into words."""

    row: InboxRow
    age: str
    due: str
    is_late: bool
    strip: Strip
    plus_minus: str
    range: str
    days: str
    wants: str
    whose: str
    href: str


@dataclass(frozen=True)
class Group:
    state: State
    count: int | None
    lines: tuple[Line, ...]


@needs(Right.READ_REQUESTS)
def inbox() -> str:
    """The list with its filters, and the preview of one row."""
    question = _question()
    with wired().store.reading() as work:
        page, counts = work.inbox.page(question), work.inbox.counts(_without_view(question))
        newest, unread = work.inbox.newest_id(), work.inbox.unopened()
        people = [person for person in work.users.all() if person.may(Right.WORK_REQUESTS)]
        names = {person.id: person.name for person in work.users.all()}
    groups = tuple(_groups(page, counts if question.after is None else {}, names))
    chosen = request.args.get("row", "") or (page.rows[0].reference if page.rows else "")
    filtered = bool(question.text or question.body or _whose() is not None)
    return render_template(
        "staff/inbox.html",
        question=question,
        groups=groups,
        counts=_view_counts(counts),
        chosen=chosen,
        **_preview(chosen),
        next_page=encode(page.rows[-1].place) if page.has_more else None,
        bodies=wired().shop.styles,
        people=people,
        whose=_whose(),
        whose_name=names.get(_whose() or NO_ONE, ""),
        newest=newest,
        unread=unread,
        filtered=filtered,
        proof=None if groups or filtered else first_run.proof(newest),
    )


@needs(Right.READ_REQUESTS, by_itself=True)
def news() -> Response:
    """How many requests have come in since a page was made. Asked by the page itself, so it keeps no session alive."""
    known = whole_number(request.args.get("after", "")) or 0
    with wired().store.reading() as work:
        arrived, unread = work.inbox.arrived_after(known), work.inbox.unopened()
    say = words()
    text = say.ngettext("%(num)s new request has come in.", "%(num)s new requests have come in.", arrived) % {"num": say.number(arrived)}
    return jsonify(arrived=arrived, text=text if arrived else "", unread=unread)


@needs(Right.READ_REQUESTS)
def preview(reference: str) -> str:
    """The preview alone, for a page that keeps its list."""
    return render_template("staff/preview.html", **_preview(reference))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/inbox", "inbox", inbox)
    blueprint.add_url_rule("/inbox/news.json", "news", news)
    blueprint.add_url_rule("/inbox/<reference>", "preview", preview)


def _preview(reference: str) -> dict[str, Any]:
    with wired().store.reading() as work:
        found = work.requests.by_reference(reference) if reference else None
    if found is None:
        return {"preview": None}
    return {"preview": read_request(found)}


def _question() -> InboxQuestion:
    arguments = request.args
    view = View(arguments["view"]) if arguments.get("view") in set(View) else View.OPEN
    return InboxQuestion(
        view=view,
        text=arguments.get("q", "")[:LONGEST_SEARCH].strip(),
        body=arguments.get("body", "") if arguments.get("body", "") in wired().shop.styles else "",
        assigned_to=user().id if view is View.MINE else _whose(),
        expires_before=wired().clock() + RUNNING_OUT if view is View.RUNNING_OUT else None,
        longest_first=arguments.get("sort") == "longest",
        after=decode(arguments.get("after", "")),
    )


def _whose() -> int | None:
    """Whose requests are asked for: a staff member's id, NO_ONE, or None for everybody's."""
    return whole_number(request.args.get("whose", ""))


def _without_view(question: InboxQuestion) -> InboxQuestion:
    return InboxQuestion(text=question.text, body=question.body, assigned_to=_whose())


def _view_counts(counts: Mapping[State, int]) -> dict[View, int]:
    """How many each view holds, where one group count says it (the others would need a count of their own)."""
    return {view: sum(counts[state] for state in view.states) for view in (View.OPEN, View.NEEDS_ANSWER)} if counts else {}


def _groups(page: InboxPage, counts: Mapping[State, int], names: dict[int, str]) -> Iterator[Group]:
    axis = axis_over([amount for row in page.rows for amount in (row.low, row.high)])
    for state, rows in groupby(page.rows, key=lambda row: row.state):
        yield Group(state, counts.get(state), tuple(_line(row, axis.strip(row.low, row.typical, row.high), names) for row in rows))


def _line(row: InboxRow, strip: Strip, names: dict[int, str]) -> Line:
    say, now = words(), wired().clock()
    due = _due(row)
    return Line(
        row=row,
        age=age(shop_time(row.received_at), shop_time(now), say),
        due=due.words(now, say) if due else "",
        is_late=due is not None and due.is_urgent(now),
        strip=strip,
        plus_minus=_plus_minus(row.low, row.high),
        range=say.money_range(row.low, row.high, row.currency),
        days=say.days(row.days_typical),
        wants=say.date(date.fromisoformat(row.first_date), "weekday") if row.first_date else say.gettext("any day"),
        whose=names.get(row.assigned_to or 0, ""),
        href=url_for("staff.request", reference=row.reference),
    )


@dataclass(frozen=True)
class Due:
    """What a row waits for: the promised answer, or the end of its quote."""

    at: datetime
    is_promise: bool

    def words(self, now: datetime, say: Words) -> str:
        return time_left(self.at, now, say) if self.is_promise else quote_left(self.at, now, say)

    def is_urgent(self, now: datetime) -> bool:
        return now > (self.at if self.is_promise else self.at - timedelta(days=1))


def _due(row: InboxRow) -> Due | None:
    if row.state in {State.RECEIVED, State.IN_REVIEW}:
        return Due(row.answer_due, is_promise=True)
    return Due(row.quote_expires_at, is_promise=False) if row.state is State.QUOTED and row.quote_expires_at else None


def _plus_minus(low: Decimal, high: Decimal) -> str:
    """Half the width of the range over its middle, as `± 13 %`."""
    middle = (low + high) / 2
    return words().gettext("± %(share)s") % {"share": words().percent((high - low) / 2 / middle)} if middle else ""

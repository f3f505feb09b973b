"""The inbox: what must be done, in order; a preview beside the list, so that triage needs no page change."""

import base64
import binascii
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import groupby
from typing import Any

from flask import Blueprint, render_template, request, url_for

from configurator.domain.inbox import InboxPage, InboxQuestion, InboxRow, Place, View
from configurator.domain.review import State
from configurator.domain.staff import Right
from configurator.web.i18n import words
from configurator.web.range_strips import Strip, axis_over
from configurator.web.request_reading import read_request, shop_time
from configurator.web.staff.guard import needs, user
from configurator.web.wiring import wired
from configurator.wording.ages import age, time_left

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
        names = {person.id: person.name for person in work.users.all()}
    groups = tuple(_groups(page, counts if question.after is None else {}, names))
    chosen = request.args.get("row", "") or (page.rows[0].reference if page.rows else "")
    return render_template(
        "staff/inbox.html",
        question=question,
        groups=groups,
        counts=_view_counts(counts),
        chosen=chosen,
        **_preview(chosen),
        next_page=_encode(page.rows[-1].place) if page.has_more else None,
        bodies=wired().shop.styles,
        new=counts.get(State.RECEIVED, 0),
        filtered=bool(question.text or question.body),
    )


@needs(Right.READ_REQUESTS)
def preview(reference: str) -> str:
    """The preview alone, for a page that keeps its list."""
    return render_template("staff/preview.html", **_preview(reference))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/inbox", "inbox", inbox)
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
        assigned_to=user().id if view is View.MINE else None,
        expires_before=wired().clock() + RUNNING_OUT if view is View.RUNNING_OUT else None,
        longest_first=arguments.get("sort") == "longest",
        after=_decode(arguments.get("after", "")),
    )


def _without_view(question: InboxQuestion) -> InboxQuestion:
    return InboxQuestion(text=question.text, body=question.body, assigned_to=question.assigned_to)


def _view_counts(counts: Mapping[State, int]) -> dict[View, int]:
    """How many each view holds, where one group count says it (the others would need a count of their own)."""
    return {view: sum(counts.get(state, 0) for state in view.states) for view in (View.OPEN, View.NEEDS_ANSWER)}


def _groups(page: InboxPage, counts: Mapping[State, int], names: dict[int, str]) -> Iterator[Group]:
    axis = axis_over([amount for row in page.rows for amount in (row.low, row.high)])
    for state, rows in groupby(page.rows, key=lambda row: row.state):
        yield Group(state, counts.get(state), tuple(_line(row, axis.strip(row.low, row.typical, row.high), names) for row in rows))


def _line(row: InboxRow, strip: Strip, names: dict[int, str]) -> Line:
    say, now = words(), wired().clock()
    waits = row.state in {State.RECEIVED, State.IN_REVIEW}
    return Line(
        row=row,
        age=age(shop_time(row.received_at), shop_time(now), say),
        due=time_left(row.answer_due, now, say) if waits else "",
        is_late=waits and now > row.answer_due,
        strip=strip,
        plus_minus=_plus_minus(row.low, row.high),
        range=say.money_range(row.low, row.high, row.currency),
        days=say.days(row.days_typical),
        wants=say.date(date.fromisoformat(row.first_date), "weekday") if row.first_date else say.gettext("any day"),
        whose=names.get(row.assigned_to or 0, ""),
        href=url_for("staff.request", reference=row.reference),
    )


def _plus_minus(low: Decimal, high: Decimal) -> str:
    """Half the width of the range over its middle, as `± 13 %`."""
    middle = (low + high) / 2
    return words().gettext("± %(share)s") % {"share": words().percent((high - low) / 2 / middle)} if middle else ""


def _encode(place: Place) -> str:
    text = json.dumps([place.rank, place.received_at.isoformat(), place.id])
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def _decode(text: str) -> Place | None:
    """The place in an address; None for one that isn't ours (the list then starts at its top)."""
    try:
        rank, received_at, number = json.loads(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)))
        moment = datetime.fromisoformat(received_at)
    except (ValueError, TypeError, binascii.Error):
        return None
    whole = isinstance(rank, int) and isinstance(number, int) and moment.tzinfo is not None
    return Place(rank, moment, number) if whole and abs(number) < 2**62 else None

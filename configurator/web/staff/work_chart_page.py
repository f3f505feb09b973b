"""Who works on a car when: the bar chart of a request's work on the calendar, and the same as a table."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby

from flask import Blueprint, render_template, request
from markupsafe import Markup

from configurator.domain.appointments import Choice
from configurator.domain.calendar import ShopCalendar
from configurator.domain.desk import Request
from configurator.domain.scheduling import timeline
from configurator.domain.staff import Right
from configurator.domain.timeline import PlacedSpan, Stay
from configurator.domain.work import Operation, Role
from configurator.drawing.work_chart import ChartWords, chart_days, work_chart
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.places import placing
from configurator.services.places.finding_openings import LEAD_DAYS
from configurator.web.i18n import words
from configurator.web.request_reading import car_name, shop_time, wish_of
from configurator.web.staff.guard import needs
from configurator.web.wiring import wired
from configurator.wording.words import Words


@dataclass(frozen=True)
class Row:
    """One line of the table: who does what when."""

    who: str
    what: str
    start: str
    end: str
    minutes: str


@dataclass(frozen=True)
class RoleRows:
    role: Role
    hours: str
    rows: tuple[Row, ...]


@needs(Right.READ_REQUESTS)
def work_page(reference: str) -> str:
    """The chart at the typical hours, or with `?case=late` at the high ones."""
    is_late = request.args.get("case") == "late"
    desk, say = wired().desk(), words()
    with desk.store.reading() as work:
        kept = reviewing.find(reference, work)
        booking = work.bookings.of(kept)
        calendar = work.bookings.agenda(desk.today()).calendar(desk.shop.calendar)
    operations = _operations(kept)
    choice = Choice(booking.place.drop_off) if booking and booking.holds else None
    stay = _stay(kept, operations, calendar, choice, is_late=is_late) if operations else None
    return render_template(
        "staff/calendar_work.html",
        kept=kept,
        car=car_name(kept, say),
        wish=wish_of(kept, say),
        is_booked=choice is not None,
        is_late=is_late,
        stay=stay,
        chart=_chart(stay, operations, calendar, kept, say) if stay else "",
        roles=tuple(_roles(stay, operations, kept, say)) if stay else (),
        settles=tuple(phase for phase in stay.phases if phase.phase == "settle") if stay else (),
    )


def add_to(blueprint: Blueprint) -> None:
    """Adds this address."""
    blueprint.add_url_rule("/requests/<reference>/work", "work_chart", work_page)


def _operations(kept: Request) -> tuple[Operation, ...]:
    """None where today's price book no longer knows something in the request."""
    try:
        return placing.operations_of(kept, wired().desk())
    except InvalidInput:
        return ()


def _stay(kept: Request, operations: tuple[Operation, ...], calendar: ShopCalendar, choice: Choice | None, *, is_late: bool) -> Stay:
    """The stay at its appointment; without one, on the first day the customer asked for, or the next that a car could come."""
    tomorrow = shop_time(wired().clock()).date() + timedelta(days=LEAD_DAYS)
    wished = next((day for day in sorted(kept.dates) if day >= tomorrow), tomorrow)
    found = timeline(operations, calendar, choice.drop_off if choice else wished, wired().shop.book)
    return found.high if is_late else found.typical


def _chart(stay: Stay, operations: tuple[Operation, ...], calendar: ShopCalendar, kept: Request, say: Words) -> Markup:
    title = say.gettext("The work on %(reference)s, from %(start)s to %(end)s") % {
        "reference": kept.reference, "start": say.datetime(stay.drop_off), "end": say.datetime(stay.hand_back)
    }  # fmt: skip
    opens, closes = min(span.start for span in calendar.hours.open), max(span.end for span in calendar.hours.open)
    chart_words = ChartWords(
        title=title,
        bay=say.gettext("Bay"),
        settles=say.gettext("film settles"),
        not_in=say.gettext("not in"),
        closed=say.gettext("closed"),
        opens=f"{say.time(opens)} – {say.time(closes)}",
        days={day: say.date(day, "weekday") for day in chart_days(stay, calendar)},
        people={person.name: _person(person.name, person.roles, say) for person in calendar.hours.people},
        operations={operation.id: operation_words(operation, kept.body, say) for operation in operations},
    )
    return Markup(work_chart(stay, operations, calendar, chart_words, prefix="work", rtl=say.direction == "rtl"))  # noqa: S704 - our own SVG


def _person(name: str, roles: tuple[str, ...], say: Words) -> str:
    return f"{name} · {say.list(say.name('role', role) for role in roles)}"


def _roles(stay: Stay, operations: tuple[Operation, ...], kept: Request, say: Words) -> Iterator[RoleRows]:
    by_id = {operation.id: operation for operation in operations}
    for role in Role:
        spans = [span for span in stay.placed if by_id[span.operation].role is role]
        minutes = sum((span.end - span.start).total_seconds() / 60 for span in spans)
        if spans:
            yield RoleRows(role, say.hours(minutes / 60), tuple(_rows(spans, by_id, kept, say)))


def _rows(spans: list[PlacedSpan], by_id: dict[str, Operation], kept: Request, say: Words) -> Iterator[Row]:
    """In the order of time; what goes on without a pause in the same hands is one line."""
    ordered = sorted(spans, key=lambda span: (span.start, span.who))
    for _, group in groupby(ordered, key=lambda span: (span.who, span.operation, span.start.date())):
        parts = list(group)
        minutes = sum((span.end - span.start).total_seconds() / 60 for span in parts)
        what = operation_words(by_id[parts[0].operation], kept.body, say)
        yield Row(parts[0].who, what, say.datetime(parts[0].start), say.time(parts[-1].end), say.minutes(minutes, short=True))


def operation_words(operation: Operation, body: str, say: Words) -> str:
    """`Film: hood`, `Wash and decontaminate`."""
    kind = say.name("operation", operation.kind.value)
    if operation.panel is None:
        return kind
    known = "part" if operation.kind.value.startswith("parts_") else "panel"
    return say.gettext("%(kind)s: %(what)s") % {"kind": kind, "what": say.name(known, operation.panel, body=body)}

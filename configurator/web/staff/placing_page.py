"""Placing a job: the week with the place that is looked at, what stands in its way, ways out, and the moves that end a place."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from configurator.domain.appointments import Choice, KeptBooking, Place
from configurator.domain.calendar import NothingOpen
from configurator.domain.desk import Request
from configurator.domain.review import State, moves_from
from configurator.domain.staff import Right
from configurator.domain.timeline import Opening
from configurator.domain.weeks import IsoWeek
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.places import placing
from configurator.services.places.placing import Outlook, PlaceTaken
from configurator.services.ports import Work
from configurator.web.i18n import words
from configurator.web.request_reading import car_name, shop_time, wish_of
from configurator.web.staff.calendar_page import asked_day, asked_week, week_frame
from configurator.web.staff.calendar_week import Proposal
from configurator.web.staff.guard import needs, person, user
from configurator.web.staff.revisions import sent_revision
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired

SHOWN_PLACES = 5


@dataclass(frozen=True)
class Looked:
    """The place that is looked at, put into words; `ways_out` are places that are free instead."""

    choice: Choice
    place: Place
    why: tuple[str, ...]
    ways_out: tuple[tuple[str, Place], ...]


@needs(Right.PLAN)
def place_page(reference: str) -> Response | str:
    """The page. Without a place in the address the one that the request has, or the next free one, is looked at."""
    return _page(reference, request.args)


@needs(Right.PLAN)
def place(reference: str) -> Response:
    """Gives the request this place, or moves it there."""
    form = request.form
    faults: dict[str, str] = {}
    choice = _choice(form, faults)
    if choice is None:
        return make_response(_page(reference, form, faults=faults), 422)
    try:
        placed = placing.place(reference, sent_revision(), choice, person(), wired().desk())
    except PlaceTaken:
        return make_response(_page(reference, form, is_refused=True), 409)
    except InvalidInput:
        return make_response(_page(reference, form), 422)
    week = IsoWeek.of(shop_time(choice.drop_off).date())
    return redirect(url_for("staff.calendar", week=str(week), _anchor=f"job-{placed.reference}"), code=303)


@needs(Right.PLAN)
def no_show(reference: str) -> Response:
    """The car didn't come."""
    return _with_reason(reference, placing.no_show, "no_show")


@needs(Right.PLAN)
def cancel(reference: str) -> Response:
    """The customer takes back what was accepted."""
    return _with_reason(reference, placing.withdraw_for_customer, "cancel")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses, and the place of a request for its own page."""
    blueprint.add_url_rule("/requests/<reference>/place", "place", place_page)
    for address, view in (("place", place), ("no-show", no_show), ("cancel", cancel)):
        name = "place_there" if view is place else address.replace("-", "_")
        blueprint.add_url_rule(f"/requests/<reference>/{address}", name, view, methods=["POST"])
    blueprint.add_app_template_global(booked_place)


def booked_place(kept: Request) -> Place | None:
    """The place that a request holds, on the shop's clock; None when it holds none."""
    with wired().store.reading() as work:
        booking = work.bookings.of(kept)
    return booking.place if booking and booking.holds else None


def _page(
    reference: str, values: MultiDict[str, str], *, faults: dict[str, str] | None = None, is_refused: bool = False, typed: Any = None
) -> str:
    desk = wired().desk()
    with desk.store.reading() as work:
        kept = reviewing.find(reference, work)
        booking = work.bookings.of(kept)
        held = booking if booking and booking.holds else None
        seen = _outlook(kept, work)
    openings = seen.next_places(_from(values), SHOWN_PLACES) if seen else ()
    choice = _choice(values, {}) or _first_choice(held, openings)
    looked = _looked(seen, choice) if choice and seen else None
    proposal = Proposal(reference, looked.place, not looked.why) if looked else None
    week = _week(values, looked)
    moves = {move.target for move in moves_from(kept.state, user().role)}
    return render_template(
        "staff/calendar_place.html",
        **week_frame(week, proposal),
        proposal=proposal,
        kept=kept,
        car=car_name(kept, words()),
        wish=wish_of(kept, words()),
        held=held,
        looked=looked,
        is_here=bool(held and looked and (held.place.drop_off, held.place.bay) == (looked.place.drop_off, looked.place.bay)),
        openings=openings,
        needs=_needs(looked) if looked else {},
        can_be_planned=seen is not None,
        may_place=State.SCHEDULED in moves and seen is not None,
        may_cancel=State.WITHDRAWN in moves,
        bays=wired().shop.book.hours.bays,
        terms=wired().shop.book.terms,
        faults=faults or {},
        typed=typed or {},
        is_refused=is_refused,
        State=State,
    )


def _outlook(kept: Request, work: Work) -> Outlook | None:
    """None where today's price book no longer knows everything in the request."""
    try:
        return placing.outlook(kept, wired().desk(), work)
    except InvalidInput:
        return None


def _looked(seen: Outlook, choice: Choice) -> Looked | None:
    try:
        look = seen.look(choice)
    except NothingOpen:
        return None
    ways = tuple(_ways_out(seen, look.place)) if look.why else ()
    return Looked(choice, look.place, tuple(words().message(message) for message in look.why), ways)


def _ways_out(seen: Outlook, place: Place) -> Iterator[tuple[str, Place]]:
    """Places that are free instead: the same time in another bay, then the next ones."""
    say = words()
    others = (seen.look(Choice(place.drop_off, bay)) for bay in range(1, seen.book.hours.bays + 1))
    yield from ((say.gettext("Another bay at that time"), other.place) for other in others if not other.why)
    texts = (say.gettext("The next free place"), say.gettext("Free after that"))
    for text, opening in zip(texts, seen.next_places(place.drop_off, len(texts)), strict=False):
        if opening.drop_off != place.drop_off:
            yield text, seen.look(Choice(opening.drop_off, opening.bay)).place


def _first_choice(held: KeptBooking | None, openings: tuple[Opening, ...]) -> Choice | None:
    if held:
        return Choice(held.place.drop_off, held.place.bay)
    return Choice(openings[0].drop_off, openings[0].bay) if openings else None


def _choice(values: MultiDict[str, str], faults: dict[str, str]) -> Choice | None:
    """The place that an address or a form names; None, with what is wrong, when it names none."""
    say = words()
    day = asked_day(values.get("day", ""))
    if day is None:
        faults["day"] = say.gettext("Choose a day.")
        return None
    try:
        clock = time.fromisoformat(values.get("time", "")).replace(tzinfo=None)
    except ValueError:
        faults["time"] = say.gettext("Choose a time.")
        return None
    return Choice(datetime.combine(day, clock, wired().shop.calendar.zone), whole_number(values.get("bay", ""), most_digits=3))


def _from(values: MultiDict[str, str]) -> datetime:
    """From when on openings are proposed: the start of the week that is looked at, where one is named."""
    now = wired().clock()
    if not values.get("week"):
        return now
    start = datetime.combine(asked_week(values["week"]).days[0], time.min, wired().shop.calendar.zone)
    return max(now, start)


def _week(values: MultiDict[str, str], looked: Looked | None) -> IsoWeek:
    if looked and (values.get("day") or not values.get("week")):
        return IsoWeek.of(shop_time(looked.place.drop_off).date())
    return asked_week(values.get("week", ""))


def _needs(looked: Looked) -> dict[str, str]:
    """What the job takes in this place, in hours: the bay, and hands by role."""
    say, booking = words(), looked.place.booking
    hours = {
        say.gettext("Bay"): wired().shop.calendar.open_minutes(booking.start, booking.end),
        say.name("role", "installer"): sum(minutes for _, minutes in booking.installer_minutes),
        say.name("role", "assembler"): sum(minutes for _, minutes in booking.assembler_minutes),
    }
    return {name: say.hours(minutes / 60) for name, minutes in hours.items() if minutes}


def _with_reason(reference: str, act: Any, name: str) -> Response:
    try:
        act(reference, sent_revision(), request.form.get("reason", ""), person(), wired().desk())
    except InvalidInput as error:
        faults = {f"{name}_reason": words().fault(fault) for fault in error.faults}
        return make_response(_page(reference, MultiDict(), faults=faults, typed=request.form), 422)
    return redirect(url_for("staff.request", reference=reference), code=303)

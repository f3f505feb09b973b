"""Shared tablets: what an owner opens and ends, and the page on the tablet itself where people pick their name and type a PIN."""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.access import device_sessions
from configurator.services.access.device_sessions import HANDS_IDLE, LASTS
from configurator.services.access.logging_in import LogInRefused
from configurator.services.access.pins import may_hold_a_tablet
from configurator.web import limits
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.staff.door import safe_next
from configurator.web.staff.guard import TABLET, let_in, needs, person, staff_session, user
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired


@needs(Right.PEOPLE)
def devices() -> str:
    """The open tablets, and the way to make this browser one."""
    return _devices()


@needs(Right.PEOPLE)
def open_device() -> Response:
    """Makes the browser at hand a bay tablet; the owner is logged out on it."""
    try:
        opened = device_sessions.open_device(user(), staff_session(), request.form.get("label", ""), wired().doorkeeper)
    except InvalidInput as error:
        return make_response(_devices({fault.path: words().fault(fault) for fault in error.faults}), 422)
    let_in(opened)
    return redirect(url_for("staff.tablet"), code=303)


@needs(Right.PEOPLE)
def end_device(session_id: int) -> Response:
    """Ends a tablet's session from the desk."""
    device_sessions.end_device(session_id, person(), wired().doorkeeper)
    return redirect(url_for("staff.devices"), code=303)


@needs(TABLET)
def tablet() -> str | Response:
    """Who is it? While somebody holds it, their first page."""
    return redirect(url_for("staff.home"), code=303) if staff_session().user else _tablet()


@needs(TABLET)
@limiter.limit(limits.log_in)
def pick_up() -> Response:
    """Somebody picked a name and typed a PIN."""
    who = whole_number(request.form.get("who", "")) or 0
    try:
        device_sessions.pick_up(staff_session(), who, request.form.get("pin", "")[:20], wired().doorkeeper)
    except LogInRefused:
        return make_response(_tablet(chosen=who, refused=True), 403)
    return redirect(safe_next() or url_for("staff.home"), code=303)


@needs(TABLET)
def hand_back() -> Response:
    """Nobody holds it any more."""
    device_sessions.hand_back(staff_session(), wired().doorkeeper)
    return redirect(url_for("staff.tablet"), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/devices", "devices", devices)
    blueprint.add_url_rule("/devices", "open_device", open_device, methods=["POST"])
    blueprint.add_url_rule("/devices/<int(max=2147483647):session_id>/end", "end_device", end_device, methods=["POST"])
    blueprint.add_url_rule("/tablet", "tablet", tablet)
    blueprint.add_url_rule("/tablet", "pick_up", pick_up, methods=["POST"])
    blueprint.add_url_rule("/tablet/back", "hand_back", hand_back, methods=["POST"])


def _devices(faults: dict[str, str] | None = None) -> str:
    with wired().store.reading() as work:
        open_now = work.sessions.open_devices(wired().clock())
    minutes, days = int(HANDS_IDLE.total_seconds() // 60), LASTS.days
    return render_template(
        "staff/devices.html",
        devices=open_now,
        faults=faults or {},
        typed=request.form.get("label", ""),
        idle_minutes=minutes,
        lasts_days=days,
    )


def _tablet(*, chosen: int = 0, refused: bool = False) -> str:
    with wired().store.reading() as work:
        people = [one for one in work.users.all() if may_hold_a_tablet(one)]
    return render_template(
        "staff/tablet.html", people=people, chosen=chosen, refused=refused, next=safe_next(), label=staff_session().label
    )

"""The log-in pages: address and password, then the second factor where there is one; and the way out."""

from urllib.parse import urlsplit

from flask import Blueprint, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from configurator.services.access import logging_in
from configurator.services.access.logging_in import CodeWanted, LogInRefused
from configurator.web import limits
from configurator.web.limits import limiter
from configurator.web.staff.guard import ANY_STAFF, ANYONE, let_in, needs, staff_session
from configurator.web.wiring import wired

PENDING, PENDING_SINCE, PASSWORD_SET = "p", "s", "n"
CODE_WITHIN_SECONDS = 300


@needs(ANYONE)
def log_in() -> str | Response:
    """The form."""
    set_now = session.pop(PASSWORD_SET, False)
    return render_template(
        "staff/log_in.html", next=safe_next(), email="", refused=False, ended="next" in request.args, password_set=set_now
    )


@needs(ANYONE)
@limiter.limit(limits.log_in)
def try_log_in() -> tuple[str, int] | Response:
    """Checks address and password."""
    email, password = request.form.get("email", ""), request.form.get("password", "")
    try:
        outcome = logging_in.log_in(email, password, wired().doorkeeper, label=_device())
    except LogInRefused:
        return render_template("staff/log_in.html", next=safe_next(), email=email, refused=True, ended=False), 403
    if isinstance(outcome, CodeWanted):
        session[PENDING], session[PENDING_SINCE] = outcome.user_id, wired().clock().timestamp()
        return redirect(url_for("staff.code", next=safe_next()), code=303)
    let_in(outcome)
    return redirect(safe_next() or url_for("staff.home"), code=303)


@needs(ANYONE)
def code() -> str | Response:
    """Asks for the second factor."""
    if _pending() is None:
        return redirect(url_for("staff.log_in"), code=303)
    return render_template("staff/code.html", next=safe_next(), refused=False)


@needs(ANYONE)
@limiter.limit(limits.log_in)
def try_code() -> tuple[str, int] | Response:
    """Checks the second factor."""
    user_id = _pending()
    if user_id is None:
        return redirect(url_for("staff.log_in"), code=303)
    try:
        opened = logging_in.log_in_with_code(user_id, request.form.get("code", "")[:40], wired().doorkeeper, label=_device())
    except LogInRefused:
        return render_template("staff/code.html", next=safe_next(), refused=True), 403
    let_in(opened)
    return redirect(safe_next() or url_for("staff.home"), code=303)


@needs(ANY_STAFF)
def log_out() -> Response:
    """Ends the session here and on the server."""
    logging_in.log_out(staff_session(), wired().doorkeeper)
    session.clear()
    return redirect(url_for("staff.log_in"), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/login", "log_in", log_in)
    blueprint.add_url_rule("/login", "try_log_in", try_log_in, methods=["POST"])
    blueprint.add_url_rule("/login/code", "code", code)
    blueprint.add_url_rule("/login/code", "try_code", try_code, methods=["POST"])
    blueprint.add_url_rule("/logout", "log_out", log_out, methods=["POST"])


def _pending() -> int | None:
    """Whose password was right a moment ago."""
    user_id, since = session.get(PENDING), session.get(PENDING_SINCE, 0.0)
    fresh = isinstance(since, float) and wired().clock().timestamp() - since < CODE_WITHIN_SECONDS
    return user_id if isinstance(user_id, int) and fresh else None


def safe_next() -> str | None:
    """Where to go afterwards: only ever a page of the staff area, whatever the address says (no open redirect)."""
    target = request.values.get("next", "")
    parts = urlsplit(target)
    safe = target.startswith("/staff/") and not parts.netloc and "\\" not in target and "//" not in target
    return target if safe else None


def _device() -> str:
    """A rough name of the browser for the list of one's own sessions; no version, nothing to track by."""
    agent = request.user_agent.string
    return next((name for name in ("Firefox", "Edg", "Chrome", "Safari") if name in agent), "")

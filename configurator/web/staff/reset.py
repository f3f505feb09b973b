"""The way in without a password: asking for a link, and setting a password with one."""

from flask import Blueprint, make_response, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from configurator.errors import InvalidInput
from configurator.services.access import password_reset
from configurator.services.access.account_links import LinkRefused
from configurator.services.access.passwords import LEAST
from configurator.services.links import token_hash
from configurator.web import limits
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.staff.door import PASSWORD_SET
from configurator.web.staff.guard import ANYONE, needs
from configurator.web.wiring import wired

MOST_MAILS = "5 per hour"
"""For one e-mail address, wherever it is asked from: nobody's mailbox can be filled."""


def _address() -> str:
    return token_hash(f"reset {request.form.get('email', '')[:254].strip().casefold()}")


@needs(ANYONE)
def ask() -> str:
    """The form."""
    return render_template("staff/reset_ask.html", sent=False)


@needs(ANYONE)
@limiter.limit(limits.log_in)
@limiter.limit(MOST_MAILS, key_func=_address)
def send_link() -> str:
    """The same answer whether anybody has this address."""
    password_reset.ask_for_reset(request.form.get("email", ""), wired().desk())
    return render_template("staff/reset_ask.html", sent=True)


@needs(ANYONE)
@limiter.limit(limits.log_in)
def choose(token: str) -> Response:
    """The form for a new password; looking uses nothing up."""
    return _page(token)


@needs(ANYONE)
@limiter.limit(limits.log_in)
def set_password(token: str) -> Response:
    """Sets it and leads to the log-in, where a second factor is asked for as always."""
    try:
        password_reset.set_password(token, request.form.get("password", ""), wired().desk())
    except InvalidInput as error:
        return _page(token, {fault.path: words().fault(fault) for fault in error.faults})
    except LinkRefused:
        return _page(token)
    session[PASSWORD_SET] = True
    return redirect(url_for("staff.log_in"), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/reset", "reset", ask)
    blueprint.add_url_rule("/reset", "reset_send", send_link, methods=["POST"])
    blueprint.add_url_rule("/password/<token>", "password", choose)
    blueprint.add_url_rule("/password/<token>", "password_set", set_password, methods=["POST"])


def _page(token: str, faults: dict[str, str] | None = None) -> Response:
    try:
        user = password_reset.look_at(token, wired().desk())
    except LinkRefused:
        return make_response(render_template("staff/reset_set.html", user=None), 410)
    page = render_template("staff/reset_set.html", user=user, token=token, faults=faults or {}, least=LEAST)
    return make_response(page, 422 if faults else 200)

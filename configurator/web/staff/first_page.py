"""Where somebody begins: the first page of the rail that is theirs."""

from flask import Blueprint, redirect, url_for
from werkzeug.wrappers import Response

from configurator.web.staff.guard import ANYONE, at_tablet, needs
from configurator.web.staff.shell import navigation, staff_user


@needs(ANYONE)
def home() -> Response:
    """Leads there; nobody's browser to the log-in."""
    return redirect(first_page(), code=303)


@needs(ANYONE)
def here() -> tuple[str, int]:
    """Says whether the session still lasts, and keeps it: a page asks when somebody presses that they are still there."""
    return ("", 204) if staff_user() else ("", 401)


def first_page() -> str:
    """The address of the first page of whoever is in."""
    if staff_user() is None:
        return url_for("staff.tablet" if at_tablet() else "staff.log_in")
    for group in navigation():
        return group.entries[0].href
    return url_for("staff.tablet" if at_tablet() else "staff.account")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/", "home", home)
    blueprint.add_url_rule("/here", "here", here)

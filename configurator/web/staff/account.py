"""One's own settings: language, keys, password; and the list of keys."""

from flask import Blueprint, make_response, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from configurator.errors import InvalidInput
from configurator.services.people import change_password
from configurator.web.i18n import words
from configurator.web.staff.guard import ANY_STAFF, needs, staff_session, user
from configurator.web.staff.shell import state_meanings
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales

SAID = "said"


@needs(ANY_STAFF)
def account() -> str:
    """The page."""
    return _page()


@needs(ANY_STAFF)
def set_preferences() -> Response:
    """Language and single-letter keys."""
    language = request.form.get("language", "")
    with wired().store.writing() as work:
        work.users.set(user().id, language=language if language in available_locales() else None, keys_on="keys" in request.form)
    session[SAID] = "saved"
    return redirect(url_for("staff.account"), code=303)


@needs(ANY_STAFF)
def set_password() -> Response:
    """A new password; every other session of this person ends."""
    try:
        new, current = request.form.get("password", ""), request.form.get("current", "")
        change_password(user(), current=current, new=new, door=wired().doorkeeper, but=staff_session())
    except InvalidInput as error:
        return make_response(_page({fault.path: words().fault(fault) for fault in error.faults}), 422)
    session[SAID] = "password"
    return redirect(url_for("staff.account"), code=303)


@needs(ANY_STAFF)
def keys() -> str:
    """The list of keys and of the state marks."""
    return render_template("staff/keys.html", state_meanings=state_meanings(words()))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/account", "account", account)
    blueprint.add_url_rule("/account/preferences", "set_preferences", set_preferences, methods=["POST"])
    blueprint.add_url_rule("/account/password", "set_password", set_password, methods=["POST"])
    blueprint.add_url_rule("/keys", "keys", keys)


def _page(faults: dict[str, str] | None = None) -> str:
    said = {"saved": words().gettext("Saved."), "password": words().gettext("Your password is changed.")}.get(session.pop(SAID, ""))
    return render_template("staff/account.html", faults=faults or {}, said=said)

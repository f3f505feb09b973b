"""One's own settings: language, keys, password, PIN, sessions; and the list of keys."""

from flask import Blueprint, make_response, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from configurator.errors import InvalidInput
from configurator.services.access import pins
from configurator.services.access.logging_in import IDLE
from configurator.services.access.passwords import LEAST
from configurator.services.access.people import change_password
from configurator.services.access.second_factor import codes_left
from configurator.web import limits
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.staff.guard import ANY_STAFF, needs, staff_session, user
from configurator.web.staff.shell import state_meanings
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales

SAID = "said"


@needs(ANY_STAFF)
def account() -> str:
    """The page."""
    return account_page()


@needs(ANY_STAFF)
def set_preferences() -> Response:
    """Language and single-letter keys."""
    language = request.form.get("language", "")
    with wired().store.writing() as work:
        work.users.set(user().id, language=language if language in available_locales() else None, keys_on="keys" in request.form)
    return done("saved")


@needs(ANY_STAFF)
@limiter.limit(limits.log_in)
def set_password() -> Response:
    """A new password; every other session of this person ends."""
    try:
        new, current = request.form.get("password", ""), request.form.get("current", "")
        change_password(user(), current=current, new=new, door=wired().doorkeeper, but=staff_session())
    except InvalidInput as error:
        return refused(error)
    return done("password")


@needs(ANY_STAFF)
@limiter.limit(limits.log_in)
def set_pin() -> Response:
    """A PIN for the tablets in the bay."""
    try:
        pins.choose_pin(user(), request.form.get("pin", ""), request.form.get("pin_password", ""), wired().doorkeeper)
    except InvalidInput as error:
        return refused(error)
    return done("pin")


@needs(ANY_STAFF)
def end_session(session_id: int) -> Response:
    """Ends one of one's own sessions; anybody else's is not touched."""
    now = wired().clock()
    with wired().store.writing() as work:
        if any(one.id == session_id for one in work.sessions.of_user(user().id, now, now - IDLE)):
            work.sessions.end(session_id, now)
    return done("session")


@needs(ANY_STAFF)
def keys() -> str:
    """The list of keys and of the state marks."""
    return render_template("staff/keys.html", state_meanings=state_meanings(words()))


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/account", "account", account)
    blueprint.add_url_rule("/account/preferences", "set_preferences", set_preferences, methods=["POST"])
    blueprint.add_url_rule("/account/password", "set_password", set_password, methods=["POST"])
    blueprint.add_url_rule("/account/pin", "set_pin", set_pin, methods=["POST"])
    blueprint.add_url_rule("/account/sessions/<int(max=2147483647):session_id>/end", "end_session", end_session, methods=["POST"])
    blueprint.add_url_rule("/keys", "keys", keys)


def done(what: str) -> Response:
    """Back to the page, which says what was done."""
    session[SAID] = what
    return redirect(url_for("staff.account"), code=303)


def refused(error: InvalidInput) -> Response:
    """The page once more with what is wrong beside its field."""
    return make_response(account_page({fault.path: words().fault(fault) for fault in error.faults}), 422)


def account_page(faults: dict[str, str] | None = None) -> str:
    """The page with everything on it."""
    now = wired().clock()
    with wired().store.reading() as work:
        sessions = work.sessions.of_user(user().id, now, now - IDLE)
    return render_template(
        "staff/account.html",
        faults=faults or {},
        said=_sentences().get(session.pop(SAID, "")),
        sessions=sessions,
        this_session=staff_session().id,
        codes_left=codes_left(user(), wired().doorkeeper) if user().has_second_factor else 0,
        may_hold_a_tablet=pins.may_hold_a_tablet(user()),
        password_least=LEAST,
        pin_least=pins.LEAST,
        pin_most=pins.MOST,
    )


def _sentences() -> dict[str, str]:
    say = words()
    return {
        "saved": say.gettext("Saved."),
        "password": say.gettext("Your password is changed."),
        "pin": say.gettext("Your PIN is set."),
        "session": say.gettext("That session is ended."),
        "factor_off": say.gettext("Your second step is off."),
    }

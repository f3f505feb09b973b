"""What staff read when something can't be done: which state, who was faster, and what to do now. Never a dead end."""

from flask import Blueprint, Response, make_response, render_template, request
from werkzeug.exceptions import HTTPException

from configurator.domain.review import MoveRefused
from configurator.services.access.people import NoSuchPerson
from configurator.services.customers import NoSuchCustomer
from configurator.services.ports import ChangedMeanwhile, StoreUnavailable
from configurator.services.reviewing import NoSuchRequest
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.guard import user
from configurator.web.staff.shell import staff_user
from configurator.web.wiring import wired
from configurator.wording.history import say_event
from configurator.wording.moves import say_need, say_next
from configurator.wording.problems import problem_help, problem_title
from configurator.wording.words import Words

TYPED = ("note", "reason", "text", "words")
"""Fields whose typed text is given back when a form couldn't be taken."""


def add_to(blueprint: Blueprint) -> None:
    """Registers the pages."""
    blueprint.register_error_handler(MoveRefused, _move_refused)
    blueprint.register_error_handler(ChangedMeanwhile, _changed_meanwhile)
    blueprint.register_error_handler(NoSuchRequest, _no_such_request)
    blueprint.register_error_handler(NoSuchPerson, _no_such_person)
    blueprint.register_error_handler(NoSuchCustomer, _no_such_customer)
    blueprint.register_error_handler(StoreUnavailable, _store_unavailable)
    blueprint.register_error_handler(HTTPException, _http)


def _move_refused(refused: MoveRefused) -> Response:
    say = words()
    now, wanted = say.name("state", refused.source.value), say.name("state", refused.target.value)
    texts = [say.gettext("It is “%(now)s” and can't become “%(wanted)s” like that.") % {"now": now, "wanted": wanted}]
    if refused.reason == "not_yours":
        texts = [say.gettext("Your role can't do this step. Ask the front desk or the owner.")]
    texts += [say_need(need, say) for need in refused.missing]
    texts.append(say_next(refused.source, say))
    return _page(409, say.gettext("This step is not possible now"), texts)


def _changed_meanwhile(_error: ChangedMeanwhile) -> Response:
    say = words()
    texts = [say.gettext("Somebody changed this request after your page was made. Nothing of yours was saved.")]
    texts += _latest_changes(say)
    texts.append(say.gettext("Open it as it is now, look at the change, and do yours again if it still fits."))
    return _page(409, say.gettext("Somebody was faster"), texts)


def _latest_changes(say: Words) -> list[str]:
    reference = _reference()
    if reference is None:
        return []
    with wired().store.reading() as work:
        found = work.requests.by_reference(reference)
        history = work.requests.history(found.id) if found else ()
    return [
        f"{say.datetime(shop_time(event.at), 'weekday')}: {event.by.name or say.name('role', event.by.actor.value)} {say_event(event, say)}"
        for event in history[-2:]
        if event.by.id != user().id
    ]


def _no_such_request(_error: NoSuchRequest) -> Response:
    say = words()
    return _page(404, problem_title("not_found", say), [say.gettext("There is no request with this reference. Search for it above.")])


def _no_such_person(_error: NoSuchPerson) -> Response:
    say = words()
    return _page(
        404,
        problem_title("not_found", say),
        [say.gettext("There is nobody like that among the staff, or this can't be done with them now.")],
    )


def _no_such_customer(_error: NoSuchCustomer) -> Response:
    say = words()
    return _page(404, problem_title("not_found", say), [say.gettext("There is no such customer or car. Search for the name or the plate.")])


def _store_unavailable(_error: StoreUnavailable) -> Response:
    say = words()
    text = say.gettext("The database does not answer just now. Nothing was saved. Wait a moment and try again.")
    return _page(503, problem_title("unexpected", say), [text])


def _http(error: HTTPException) -> Response:
    status = error.code or 500
    if error.response is not None and status < 400:
        return make_response(error.response)
    code = {403: "forbidden", 404: "not_found", 405: "method_not_allowed", 413: "too_large", 429: "too_many_requests"}.get(status, "error")
    say = words()
    texts = [problem_help(code, say)]
    if status == 403 and request.method == "POST":
        texts = [say.gettext("This form is too old, or it was not sent from our own page. Load the page again and send it once more.")]
    response = _page(status, problem_title(code, say), texts)
    for name, value in error.get_headers():
        if name.lower() in {"allow", "retry-after"}:
            response.headers[name] = value
    return response


def _page(status: int, title: str, texts: list[str]) -> Response:
    typed = [(name.capitalize(), request.form[name]) for name in TYPED if request.form.get(name)] if request.method == "POST" else []
    reference = _reference() if status == 409 and staff_user() else None
    body = render_template("staff/problem.html", title=title, texts=texts, kind="care", reference=reference, kept_text=typed)
    return make_response(body, status)


def _reference() -> str | None:
    found = (request.view_args or {}).get("reference")
    return found if isinstance(found, str) else None

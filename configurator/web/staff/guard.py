"""Who may come in: the session of a request, the rights a page needs, and proof that a form was sent from our own page.

Every view names what it needs with `@needs(...)`; a view that doesn't is shut for everybody. Writes must come from the same
origin (Sec-Fetch-Site, else Origin) and carry the session's form token (OWASP ASVS 5.0, 3.5.1-3.5.3).
"""

import hashlib
import hmac
from collections.abc import Callable
from typing import Any, TypeVar, cast
from urllib.parse import urlsplit

from flask import Blueprint, Flask, Response, abort, current_app, g, redirect, request, session, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import Person
from configurator.domain.staff import Right, StaffSession, User
from configurator.services.links import new_token
from configurator.services.logging_in import Opened, session_of
from configurator.web import i18n
from configurator.web.wiring import wired

View = TypeVar("View", bound=Callable[..., Any])

blueprint = Blueprint("staff", __name__, url_prefix="/staff")
SESSION_KEY = "t"
FORM_NONCE = "f"
SAFE = {"GET", "HEAD", "OPTIONS"}
ANYONE, ANY_STAFF = "anyone", "any_staff"


def needs(right: Right | str) -> Callable[[View], View]:
    """Says what a view needs: a right, `ANY_STAFF` (to be logged in), or `ANYONE` (the log-in pages)."""

    def mark(view: View) -> View:
        view.staff_needs = right  # type: ignore[attr-defined]
        return view

    return mark


def user() -> User:
    """The staff member at hand; only in views that need one."""
    return cast(User, g.staff_user)


def person() -> Person:
    """The same as the history knows them."""
    return Person(user().role, user().id, user().name)


def staff_session() -> StaffSession:
    """The session at hand."""
    return cast(StaffSession, g.staff_session)


def let_in(opened: Opened) -> None:
    """Puts a fresh session into the cookie; everything that was in it before goes (no session fixation)."""
    session.clear()
    session.permanent = True
    session[SESSION_KEY] = opened.token


def form_token() -> str:
    """The token that a form of this session carries in its hidden field."""
    basis = session[SESSION_KEY] if SESSION_KEY in session else session.setdefault(FORM_NONCE, new_token())
    return hmac.new(wired().settings.secret_key.encode(), f"staff form {basis}".encode(), hashlib.sha256).hexdigest()


def check(*, endpoint_needs: Right | str | None) -> BaseResponse | None:
    """What stands before every staff view: the session, the rights, and where a write comes from."""
    _load_session()
    if request.method not in SAFE and not _sent_from_here():
        abort(403)
    if endpoint_needs == ANYONE:
        return None
    if g.staff_user is None:
        return _to_log_in()
    if g.staff_user.language and "lang" not in request.args:
        i18n.speak(g.staff_user.language)
    if endpoint_needs is None or (isinstance(endpoint_needs, Right) and not user().may(endpoint_needs)):
        abort(403)
    return None


def configure(app: Flask) -> None:
    """The cookie is for these pages alone."""
    app.config.update(SESSION_COOKIE_PATH="/staff", SESSION_COOKIE_SECURE=wired(app).settings.public_url.startswith("https:"))


@blueprint.before_request
def _guard() -> BaseResponse | None:
    view = current_app.view_functions.get(request.endpoint or "")
    return check(endpoint_needs=getattr(view, "staff_needs", None))


@blueprint.after_request
def _keep_private(response: Response) -> Response:
    response.headers.setdefault("Cache-Control", "no-store")
    response.headers["Referrer-Policy"] = "same-origin"
    return response


def _load_session() -> None:
    g.staff_user, g.staff_session = None, None
    token = session.get(SESSION_KEY)
    if not isinstance(token, str):
        return
    found = session_of(token, wired().doorkeeper)
    if found is None:
        session.clear()
        return
    g.staff_session, g.staff_user = found, found.user


def _sent_from_here() -> bool:
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None and site != "same-origin":
        return False
    origin = request.headers.get("Origin")
    if origin is not None and urlsplit(origin).netloc != request.host:
        return False
    given = request.form.get("form_token", "")
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), form_token().encode())


def _to_log_in() -> BaseResponse:
    back = request.full_path.rstrip("?") if request.method in SAFE else request.referrer and urlsplit(request.referrer).path
    return redirect(url_for("staff.log_in", next=back if back and back.startswith("/staff/") else None), code=303)

"""Who may come in: the session of a request, the rights a page needs, and proof that a form was sent from our own page.

Every view names what it needs with `@needs(...)`; a view that doesn't is shut for everybody. Writes must come from the same
origin (Sec-Fetch-Site, else Origin) and carry the session's form token (OWASP ASVS 5.0, 3.5.1-3.5.3). A shared tablet opens pages
that need a right of the bay, and its own; nothing else, whoever holds it.
"""

import hashlib
import hmac
from collections.abc import Callable
from typing import Any, TypeVar, cast
from urllib.parse import urlsplit

from flask import Blueprint, Flask, Response, abort, current_app, g, redirect, request, session, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import Person
from configurator.domain.staff import BAY_RIGHTS, Right, SessionKind, StaffSession, User
from configurator.services.access.device_sessions import after_idling
from configurator.services.access.logging_in import Opened, note_use, session_of
from configurator.services.links import new_token
from configurator.web import i18n
from configurator.web.wiring import wired

View = TypeVar("View", bound=Callable[..., Any])

blueprint = Blueprint("staff", __name__, url_prefix="/staff")
SESSION_KEY = "t"
FORM_NONCE = "f"
SAFE = {"GET", "HEAD", "OPTIONS"}
ANYONE, ANY_STAFF, TABLET = "anyone", "any_staff", "tablet"


def needs(right: Right | str, *, by_itself: bool = False) -> Callable[[View], View]:
    """Says what a view needs: a right, `ANY_STAFF` (to be logged in at the desk), `TABLET` (a tablet in the bay, in anybody's hands or
    nobody's), or `ANYONE` (the log-in pages). `by_itself`: a page asks for it without anybody's doing, which keeps no session alive.
    """

    def mark(view: View) -> View:
        view.staff_needs, view.staff_by_itself = right, by_itself  # type: ignore[attr-defined]
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


def at_tablet() -> bool:
    """Whether this is a shared tablet in the bay."""
    session_here: StaffSession | None = g.get("staff_session")
    return session_here is not None and session_here.kind is SessionKind.DEVICE


def let_in(opened: Opened) -> None:
    """Puts a fresh session into the cookie; everything that was in it before goes (no session fixation)."""
    session.clear()
    session.permanent = True
    session[SESSION_KEY] = opened.token


def form_token() -> str:
    """The token that a form of this session carries in its hidden field."""
    basis = session[SESSION_KEY] if SESSION_KEY in session else session.setdefault(FORM_NONCE, new_token())
    return hmac.new(wired().settings.secret_key.encode(), f"staff form {basis}".encode(), hashlib.sha256).hexdigest()


def check(*, endpoint_needs: Right | str | None, by_itself: bool = False, form_has_own_token: bool = False) -> BaseResponse | None:
    """What stands before every staff view: the session, the rights, and where a write comes from.

    `form_has_own_token`: the view itself checks a token of its own form.
    """
    _load_session(by_itself=by_itself)
    if request.method not in SAFE and not (_same_origin() and (form_has_own_token or _has_form_token())):
        abort(403)
    if endpoint_needs == ANYONE:
        return None
    if g.staff_session is None:
        return _to_log_in()
    if g.staff_user is not None and g.staff_user.language and "lang" not in request.args:
        i18n.speak(g.staff_user.language)
    return _admit_tablet(endpoint_needs) if at_tablet() else _admit_desk(endpoint_needs)


def _admit_desk(endpoint_needs: Right | str | None) -> BaseResponse | None:
    if endpoint_needs == ANY_STAFF or (isinstance(endpoint_needs, Right) and user().may(endpoint_needs)):
        return None
    abort(403)


def _admit_tablet(endpoint_needs: Right | str | None) -> BaseResponse | None:
    """Bay pages for whoever holds it; in nobody's hands it asks who that is."""
    if endpoint_needs == TABLET:
        return None
    if endpoint_needs not in BAY_RIGHTS:
        abort(403)
    if g.staff_user is None:
        return redirect(url_for("staff.tablet", next=_way_back()), code=303)
    if not user().may(cast(Right, endpoint_needs)):
        abort(403)
    return None


def configure(app: Flask) -> None:
    """The cookie is for these pages alone."""
    app.config.update(SESSION_COOKIE_PATH="/staff", SESSION_COOKIE_SECURE=wired(app).settings.public_url.startswith("https:"))


@blueprint.before_request
def _guard() -> BaseResponse | None:
    view = current_app.view_functions.get(request.endpoint or "")
    return check(endpoint_needs=getattr(view, "staff_needs", None), by_itself=getattr(view, "staff_by_itself", False))


@blueprint.after_request
def keep_private(response: Response) -> Response:
    """Staff pages are in no cache, and their addresses are told to no other site."""
    response.headers.setdefault("Cache-Control", "no-store")
    response.headers["Referrer-Policy"] = "same-origin"
    return response


def _load_session(*, by_itself: bool) -> None:
    g.staff_user, g.staff_session = None, None
    token = session.get(SESSION_KEY)
    if not isinstance(token, str):
        return
    found = session_of(token, wired().doorkeeper)
    if found is None:
        session.clear()
        return
    if found.kind is SessionKind.DEVICE:
        found = after_idling(found, wired().doorkeeper)
    if not by_itself:
        note_use(found, wired().doorkeeper)
    g.staff_session, g.staff_user = found, found.user


def _same_origin() -> bool:
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None and site != "same-origin":
        return False
    origin = request.headers.get("Origin")
    return origin is None or urlsplit(origin).netloc == request.host


def _has_form_token() -> bool:
    given = request.form.get("form_token", "")
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), form_token().encode())


def _to_log_in() -> BaseResponse:
    return redirect(url_for("staff.log_in", next=_way_back()), code=303)


def _way_back() -> str | None:
    """The page that was wanted, or the one that a form stood on."""
    back = request.full_path.rstrip("?") if request.method in SAFE else request.referrer and urlsplit(request.referrer).path
    return back if back and back.startswith("/staff/") else None

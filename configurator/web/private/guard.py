"""What stands around the private pages: the request behind the token, headers that keep the address to itself, plain refusals."""

from flask import Blueprint, Response, abort, g, make_response, render_template, request

from configurator.domain.desk import Request
from configurator.domain.review import MoveRefused
from configurator.services import reviewing
from configurator.services.ports import ChangedMeanwhile, StoreUnavailable
from configurator.services.reviewing import NoSuchRequest
from configurator.web import i18n
from configurator.web.i18n import words
from configurator.web.wiring import wired
from configurator.wording.problems import problem_title

blueprint = Blueprint("private", __name__, url_prefix="/r")


def request_of(token: str) -> Request:
    """The request of a token; 404 for one that opens nothing. The page speaks the language the visitor chose."""
    try:
        with wired().store.reading() as work:
            found = reviewing.find_by_token(token, work)
    except NoSuchRequest:
        abort(404)
    if "lang" not in request.args:
        i18n.speak(found.locale)
    g.private_token = token
    return found


@blueprint.after_request
def _keep_to_itself(response: Response) -> Response:
    response.headers.setdefault("Cache-Control", "no-store")
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    return response


@blueprint.errorhandler(MoveRefused)
@blueprint.errorhandler(ChangedMeanwhile)
def _changed(_error: Exception) -> Response:
    say = words()
    texts = [
        say.gettext("This step is not possible any more: the request has changed since your page was made."),
        say.gettext("Open your page again and look at what is there now. If something is unclear, call us."),
    ]
    return _page(409, say.gettext("Something changed in the meantime"), texts)


@blueprint.errorhandler(StoreUnavailable)
def _unavailable(_error: StoreUnavailable) -> Response:
    say = words()
    texts = [say.gettext("We can't open your page just now. Nothing is lost. Please try again in a moment.")]
    return _page(503, problem_title("unexpected", say), texts)


def _page(status: int, title: str, texts: list[str]) -> Response:
    token = g.get("private_token") or (request.view_args or {}).get("token", "")
    return make_response(render_template("private/problem.html", title=title, texts=texts, token=token), status)

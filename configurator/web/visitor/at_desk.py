"""The configurator for staff who fill it in for a caller (`/staff/configure`): the visitor's own pages behind the staff's guard."""

from flask import Blueprint, Response

from configurator.domain.staff import Right
from configurator.web.staff import guard
from configurator.web.staff.guard import needs
from configurator.web.visitor import pages, sending


@needs(Right.WORK_REQUESTS)
def configure() -> Response:
    """A step's page."""
    return pages.configure()


@needs(Right.WORK_REQUESTS)
def live() -> Response:
    """The part of it that changes."""
    return pages.live()


@needs(Right.WORK_REQUESTS)
def send() -> Response:
    """Keeps the request and opens it."""
    return sending.send()


def make_desk_blueprint() -> Blueprint:
    """The routes. The form carries the visitor's signed token, which the sending checks, in the place of the session's."""
    blueprint = Blueprint("called", __name__, url_prefix="/staff/configure")
    blueprint.before_request(lambda: guard.check(endpoint_needs=Right.WORK_REQUESTS, form_has_own_token=True))
    blueprint.before_request(lambda: pages.admit(embedded=False, at_desk=True))
    blueprint.after_request(guard.keep_private)
    blueprint.add_url_rule("", "configure", configure)
    blueprint.add_url_rule("/live", "live", live)
    blueprint.add_url_rule("/send", "send", send, methods=["POST"])
    return blueprint

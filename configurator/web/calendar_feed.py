"""The calendar as an address for calendar programs: `/calendar/<secret>.ics`. No cookies, no session, a slow rate."""

import hashlib

from flask import Blueprint, Response, abort, make_response, request

from configurator.services.places import feeds
from configurator.web.limits import limiter
from configurator.web.wiring import wired

blueprint = Blueprint("calendar_feed", __name__)
RATE = "60/hour"
"""Calendar programs ask every half hour (the feed says so); a few of them may share an address."""


@blueprint.get("/calendar/<token>.ics")
@limiter.limit(RATE)
def feed(token: str) -> Response:
    """The feed; 404 for an address that opens nothing."""
    text = feeds.read(token, wired().desk())
    if text is None:
        abort(404)
    response = make_response(text.encode())
    response.content_type = "text/calendar; charset=utf-8"
    response.set_etag(hashlib.sha256(text.encode()).hexdigest()[:24])
    response.headers["Cache-Control"] = "private, max-age=300"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    response.make_conditional(request)
    return response

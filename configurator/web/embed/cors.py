"""The API for scripts on the sites that the shop has listed (Fetch standard, CORS protocol); other sites get no such header."""

from flask import Blueprint, Response, make_response, request

from configurator.web.embed.sites import is_listed

METHODS, HEADERS, REMEMBERED_SECONDS = "GET, POST", "Content-Type, Idempotency-Key", "600"


def allow_listed_sites(blueprint: Blueprint) -> None:
    """Adds the headers to every answer of a blueprint, and answers the browser's question beforehand."""
    blueprint.before_request(_answer_preflight)
    blueprint.after_request(_share)


def _answer_preflight() -> Response | None:
    if request.method != "OPTIONS" or "Access-Control-Request-Method" not in request.headers:
        return None
    response = make_response("", 204)
    if is_listed(request.headers.get("Origin", "")):
        response.headers["Access-Control-Allow-Methods"] = METHODS
        response.headers["Access-Control-Allow-Headers"] = HEADERS
        response.headers["Access-Control-Max-Age"] = REMEMBERED_SECONDS
    return response


def _share(response: Response) -> Response:
    response.headers.add("Vary", "Origin")
    origin = request.headers.get("Origin", "")
    if origin and is_listed(origin):
        response.headers["Access-Control-Allow-Origin"] = origin
    return response

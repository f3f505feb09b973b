"""Every failure in one shape: problem+json (RFC 9457) for programs, a page for people; never a stack trace."""

import json
import logging
import secrets

from flask import Flask, Response, make_response, render_template, request
from werkzeug.exceptions import HTTPException

from configurator.errors import Fault, InvalidInput
from configurator.web.form_tokens import FormRefused
from configurator.web.i18n import words
from configurator.wording.problems import problem_help, problem_title

log = logging.getLogger("tuckline")


def wants_json() -> bool:
    """Programs talk to /api/ (and to addresses that end in .json); everything else is for people."""
    return request.path.startswith("/api/") or request.path.endswith(".json")


def problem(status: int, code: str, *, detail: str | None = None, faults: tuple[Fault, ...] = (), **more: object) -> Response:
    """An `application/problem+json` body: type, title, status, code, detail, errors [{path, message}]."""
    body: dict[str, object] = {"type": "about:blank", "title": problem_title(code, words()), "status": status, "code": code}
    if detail:
        body["detail"] = detail
    if faults:
        body["errors"] = [{"path": fault.path, "code": fault.code, "message": words().fault(fault)} for fault in faults]
    body.update(more)
    response = make_response(json.dumps(body, ensure_ascii=False), status)
    response.content_type = "application/problem+json"
    response.headers["Cache-Control"] = "no-store"
    return response


def _page(status: int, code: str, reference: str | None = None) -> Response:
    title = problem_title(code, words())
    response = make_response(
        render_template("errors/problem.html", status=status, title=title, help=problem_help(code, words()), reference=reference), status
    )
    response.headers["Cache-Control"] = "no-store"
    return response


CODES = {
    400: "bad_request", 403: "forbidden", 404: "not_found", 405: "method_not_allowed", 409: "conflict", 410: "gone",
    413: "too_large", 415: "unsupported_media_type", 422: "invalid_input", 429: "too_many_requests",
}  # fmt: skip


def _known(error: HTTPException) -> Response:
    status = error.code or 500
    code = CODES.get(status, "error")
    if error.response is not None and status < 400:
        return error.response  # type: ignore[return-value]
    response = problem(status, code) if wants_json() else _page(status, code)
    for name, value in error.get_headers():
        if name.lower() in {"allow", "retry-after"}:
            response.headers[name] = value
    return response


UNREADABLE = {"not_json", "not_utf8", "nested_too_deeply", "not_a_number", "number_out_of_range", "duplicate_name", "unreadable_text"}
"""Faults of a body that can't be read at all (400), as against one that is read and can't be (422)."""


def _invalid(error: InvalidInput) -> Response:
    codes = {fault.code for fault in error.faults}
    status = 413 if "document_too_large" in codes else 400 if codes & UNREADABLE else 422
    return problem(status, CODES[status], faults=error.faults) if wants_json() else _page(status, CODES[status])


def _form_refused(refused: FormRefused) -> Response:
    return problem(403, refused.code) if wants_json() else _page(403, refused.code)


def _unknown(error: Exception) -> Response:
    reference = secrets.token_hex(6)
    log.exception("unexpected error, reference %s", reference)
    return problem(500, "unexpected", reference=reference) if wants_json() else _page(500, "unexpected", reference)


def install(app: Flask) -> None:
    """Registers the handlers on the app (a blueprint's handler would not see unknown addresses)."""
    app.register_error_handler(HTTPException, _known)
    app.register_error_handler(InvalidInput, _invalid)
    app.register_error_handler(FormRefused, _form_refused)
    app.register_error_handler(Exception, _unknown)

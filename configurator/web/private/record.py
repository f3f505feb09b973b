"""The coverage record on the private link, as a page and a PDF; and a new request for one panel of it."""

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.bay.coverage import Coverage
from configurator.domain.bay.follow_up import FollowUpKind
from configurator.domain.desk import Request
from configurator.errors import InvalidInput
from configurator.services.bay.following_up import follow_up
from configurator.services.bay.handing_over import record_by_token
from configurator.services.bay.office import Office
from configurator.services.links import new_token
from configurator.services.reviewing import NoSuchRequest
from configurator.web import i18n, limits
from configurator.web.coverage_reading import read_record
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.pdf import paper, pdf_response
from configurator.web.private.guard import request_of
from configurator.web.wiring import wired


def record(token: str) -> str:
    """The page."""
    kept, found = _record(token)
    with wired().store.reading() as work:
        follow_ups = work.bay.follow_ups_of(kept.id)
    return render_template("private/record.html", token=token, kept=kept, record=read_record(kept, found), follow_ups=follow_ups)


def record_pdf(token: str) -> Response:
    """The same on paper."""
    kept, found = _record(token)
    html = record_document(kept, found)
    return pdf_response(html, f"{kept.reference}-coverage.pdf", print_page=url_for("private.record_print", token=token))


def record_print(token: str) -> str:
    """The paper as a page to print."""
    kept, found = _record(token)
    return record_document(kept, found, back=url_for("private.record", token=token), pdf=url_for("private.record_pdf", token=token))


def ask_follow_up(token: str) -> str:
    """Asks what happened to which panel."""
    kept, found = _record(token)
    return _form(token, kept, found, {})


@limiter.limit(limits.requests)
def send_follow_up(token: str) -> Response:
    """Sends the new request and goes to its own page."""
    kept, found = _record(token)
    form = request.form
    try:
        sent = follow_up(
            kept,
            found,
            Office(wired().desk()),
            panel=form.get("panel", ""),
            kind=form.get("kind", ""),
            notes=form.get("notes", ""),
            key=form.get("entry", "")[:64] or new_token(),
        )
    except InvalidInput as error:
        return make_response(_form(token, kept, found, {fault.path: words().fault(fault) for fault in error.faults}), 422)
    return redirect(url_for("private.page", token=sent.token), code=303)


def record_document(kept: Request, found: Coverage, *, back: str = "", pdf: str = "") -> str:
    """The record's paper, in the language that its owner reads."""
    i18n.speak(kept.locale)
    context = {"paper": paper(), "reference": kept.reference, "back": back, "pdf": pdf}
    return render_template("documents/coverage.html", kept=kept, record=read_record(kept, found), **context)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/<token>/record", "record", record)
    blueprint.add_url_rule("/<token>/record.pdf", "record_pdf", record_pdf)
    blueprint.add_url_rule("/<token>/record/print", "record_print", record_print)
    blueprint.add_url_rule("/<token>/record/follow-up", "ask_follow_up", ask_follow_up)
    blueprint.add_url_rule("/<token>/record/follow-up", "send_follow_up", send_follow_up, methods=["POST"])


def _record(token: str) -> tuple[Request, Coverage]:
    """The record behind a token; 404 while there is none."""
    request_of(token)
    try:
        with wired().store.reading() as work:
            return record_by_token(token, work)
    except NoSuchRequest:
        abort(404)


def _form(token: str, kept: Request, found: Coverage, faults: dict[str, str]) -> str:
    typed = request.form or request.args
    return render_template(
        "private/record_follow_up.html",
        token=token,
        kept=kept,
        rows=read_record(kept, found).rows,
        kinds=list(FollowUpKind),
        panel=typed.get("panel", ""),
        kind=typed.get("kind", FollowUpKind.REPLACE.value),
        notes=request.form.get("notes", ""),
        faults=faults,
        entry=new_token(),
    )

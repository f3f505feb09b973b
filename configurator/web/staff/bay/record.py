"""The coverage record for the desk: the page, the paper, and a new request for one panel of it."""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.bay.coverage import Coverage
from configurator.domain.bay.follow_up import FollowUp, FollowUpKind
from configurator.domain.desk import Request
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.bay.following_up import follow_up
from configurator.services.bay.handing_over import record_of
from configurator.services.links import new_token
from configurator.web.coverage_reading import read_record
from configurator.web.pdf import pdf_response
from configurator.web.private.record import record_document
from configurator.web.staff.bay.frame import faults_of, office, sent_entry
from configurator.web.staff.guard import needs, person
from configurator.web.wiring import wired


@needs(Right.READ_REQUESTS)
def record(reference: str) -> str:
    """The page."""
    kept, found = _record(reference)
    return _page(kept, found)


@needs(Right.READ_REQUESTS)
def record_pdf(reference: str) -> Response:
    """The paper, in the customer's language."""
    kept, found = _record(reference)
    print_page = url_for("staff.bay_record_print", reference=reference)
    return pdf_response(record_document(kept, found), f"{reference}-coverage.pdf", print_page=print_page)


@needs(Right.READ_REQUESTS)
def record_print(reference: str) -> str:
    """The paper as a page to print."""
    kept, found = _record(reference)
    addresses = {
        "back": url_for("staff.bay_record", reference=reference),
        "pdf": url_for("staff.bay_record_pdf", reference=reference),
    }
    return record_document(kept, found, **addresses)


@needs(Right.WORK_REQUESTS)
def send_follow_up(reference: str) -> Response:
    """A new request for one panel, for a customer who called."""
    kept, found = _record(reference)
    form = request.form
    try:
        sent = follow_up(
            kept,
            found,
            office(),
            panel=form.get("panel", ""),
            kind=form.get("kind", ""),
            notes=form.get("notes", ""),
            key=sent_entry(),
            by=person(),
        )
    except InvalidInput as error:
        return make_response(_page(kept, found, faults_of(error)), 422)
    return redirect(url_for("staff.request", reference=sent.reference), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/requests/<reference>/record", "bay_record", record)
    blueprint.add_url_rule("/requests/<reference>/record.pdf", "bay_record_pdf", record_pdf)
    blueprint.add_url_rule("/requests/<reference>/record/print", "bay_record_print", record_print)
    blueprint.add_url_rule("/requests/<reference>/record/follow-up", "bay_follow_up", send_follow_up, methods=["POST"])
    blueprint.context_processor(lambda: {"follow_up_of": follow_up_of})


def follow_up_of(kept: Request) -> FollowUp | None:
    """For the request page: what a request follows up, if it does."""
    with wired().store.reading() as work:
        return work.bay.follow_up(kept.id)


def _record(reference: str) -> tuple[Request, Coverage]:
    with wired().store.reading() as work:
        return record_of(reference, work)


def _page(kept: Request, found: Coverage, faults: dict[str, str] | None = None) -> str:
    with wired().store.reading() as work:
        follow_ups = work.bay.follow_ups_of(kept.id)
    return render_template(
        "staff/bay/record.html",
        kept=kept,
        record=read_record(kept, found),
        follow_ups=follow_ups,
        kinds=list(FollowUpKind),
        entry=new_token(),
        faults=faults or {},
        typed=request.form,
    )

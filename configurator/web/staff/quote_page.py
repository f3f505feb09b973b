"""The firm quote's page: lines, cautions, terms, preview, and sending it. Each form is small, so that each change has its own reason."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from flask import Blueprint, Response, abort, g, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import Request
from configurator.domain.quoting import Quote
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services.ports import ChangedMeanwhile
from configurator.services.quotes import adjusting, offering, quoting
from configurator.services.quotes.quoting import Workbench
from configurator.services.reviewing import find
from configurator.web.i18n import words
from configurator.web.pdf import pdf_response
from configurator.web.quote_documents import document_page
from configurator.web.quote_reading import offer_row
from configurator.web.request_reading import sentence, shop_time
from configurator.web.staff.before_after import compare
from configurator.web.staff.guard import needs, person
from configurator.web.staff.quote_bench import read_bench
from configurator.web.staff.quote_forms import typed_change, typed_terms
from configurator.web.staff.revisions import sent_revision
from configurator.web.staff.second_editor import changes_by_others
from configurator.web.wiring import wired

NEW_LINE = "new"


@dataclass(frozen=True)
class Sent:
    """A form that couldn't be taken: which one, what is wrong beside which field, or what others changed meanwhile."""

    form: str = ""
    faults: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    changes: list[str] | None = None
    status: int = 200


@needs(Right.WORK_REQUESTS)
def quote(reference: str) -> Response:
    """The page; `?line=` opens one line for changing."""
    line = request.args.get("line", "")
    return _page(reference, Sent(form=f"line:{line}" if line else ""))


@needs(Right.WORK_REQUESTS)
def change_line(reference: str) -> Response | BaseResponse:
    """Adjusts, strikes or puts back one line."""
    line, do = request.form.get("line", "")[:40], request.form.get("do", "")
    revision, by, desk = sent_revision(), person(), wired().desk()

    def change() -> None:
        if do == "put_back":
            adjusting.put_back(reference, revision, line, by, desk)
        elif do == "strike":
            adjusting.strike(reference, revision, line, typed_change(needs_amount=False), by, desk)
        else:
            adjusting.adjust(reference, revision, line, typed_change(), by, desk)

    return _done(reference, f"line:{line}", "lines", change)


@needs(Right.WORK_REQUESTS)
def add_line(reference: str) -> Response | BaseResponse:
    """Adds a line of the desk's own."""

    def change() -> None:
        label = request.form.get("label", "")
        adjusting.add_line(reference, sent_revision(), label, typed_change(), person(), wired().desk())

    return _done(reference, f"line:{NEW_LINE}", "lines", change)


@needs(Right.WORK_REQUESTS)
def settle(reference: str) -> Response | BaseResponse:
    """Writes down how a caution was dealt with, or takes that back."""
    key = request.form.get("key", "")[:120]

    def change() -> None:
        if request.form.get("do") == "unsettle":
            adjusting.unsettle(reference, sent_revision(), key, person(), wired().desk())
        else:
            adjusting.settle(reference, sent_revision(), key, request.form.get("how", ""), person(), wired().desk())

    return _done(reference, f"settle:{key}", "settle", change)


@needs(Right.WORK_REQUESTS)
def set_terms(reference: str) -> Response | BaseResponse:
    """Expiry, deposit, dates and opening words."""

    def change() -> None:
        bench = quoting.workbench(reference, wired().desk())
        adjusting.set_terms(reference, sent_revision(), typed_terms(bench), person(), wired().desk())

    return _done(reference, "terms", "terms", change)


@needs(Right.WORK_REQUESTS)
def ask_send(reference: str) -> Response | BaseResponse:
    """Asks once, by name, before it leaves."""
    bench = quoting.workbench(reference, wired().desk())
    if bench.missing or not bench.can_be_written:
        return redirect(url_for("staff.quote", reference=reference), code=303)
    return make_response(render_template("staff/quote_send.html", bench=bench, kept=bench.request, reading=read_bench(bench)))


@needs(Right.WORK_REQUESTS)
def send_quote(reference: str) -> Response | BaseResponse:
    """Sends it."""
    try:
        quoting.send(reference, sent_revision(), person(), wired().desk())
    except InvalidInput as error:
        return _page(reference, Sent("terms", _texts(error), status=422))
    except ChangedMeanwhile:
        return _page(reference, Sent(changes=changes_by_others(reference), status=409))
    return redirect(url_for("staff.request", reference=reference), code=303)


@needs(Right.WORK_REQUESTS)
def quote_draft(reference: str) -> Response:
    """The draft as the customer would get it; the page shows it in a frame of our own."""
    g.frame_ancestors = ("'self'",)
    bench = quoting.workbench(reference, wired().desk())
    back, pdf = (url_for(f"staff.{name}", reference=reference) for name in ("quote", "quote_draft_pdf"))
    framed = "framed" in request.args
    return make_response(document_page(bench.request, _draft(bench), draft=True, back="" if framed else back, pdf="" if framed else pdf))


@needs(Right.WORK_REQUESTS)
def quote_draft_pdf(reference: str) -> Response:
    """The same as a PDF."""
    bench = quoting.workbench(reference, wired().desk())
    name = f"quote-{reference}-{bench.next_version}-draft.pdf"
    page = document_page(bench.request, _draft(bench), draft=True)
    return pdf_response(page, name, print_page=url_for("staff.quote_draft", reference=reference))


@needs(Right.READ_REQUESTS)
def sent_quote(reference: str, version: int) -> Response | BaseResponse:
    """A quote as it was sent."""
    kept, found = _sent(reference, version)
    back, pdf = url_for("staff.quote", reference=reference), url_for("staff.sent_quote_pdf", reference=reference, version=version)
    return make_response(document_page(kept, found, back=back, pdf=pdf))


@needs(Right.READ_REQUESTS)
def sent_quote_pdf(reference: str, version: int) -> Response | BaseResponse:
    """The same as a PDF."""
    kept, found = _sent(reference, version)
    print_page = url_for("staff.sent_quote", reference=reference, version=version)
    return pdf_response(document_page(kept, found), f"quote-{reference}-{version}.pdf", print_page=print_page)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    base = "/requests/<reference>/quote"
    blueprint.add_url_rule(base, "quote", quote)
    blueprint.add_url_rule(f"{base}/draft", "quote_draft", quote_draft)
    blueprint.add_url_rule(f"{base}/draft.pdf", "quote_draft_pdf", quote_draft_pdf)
    blueprint.add_url_rule(f"{base}/<int:version>", "sent_quote", sent_quote)
    blueprint.add_url_rule(f"{base}/<int:version>.pdf", "sent_quote_pdf", sent_quote_pdf)
    blueprint.add_url_rule(f"{base}/send", "ask_send", ask_send)
    for name, view in (("send", send_quote), ("line", change_line), ("add", add_line), ("settle", settle), ("terms", set_terms)):
        blueprint.add_url_rule(f"{base}/{name}", f"quote_{name}", view, methods=["POST"])


def _done(reference: str, form: str, anchor: str, change: Callable[[], None]) -> Response | BaseResponse:
    """One form taken, or the page again with what is wrong, what others did, and what was typed."""
    try:
        change()
    except InvalidInput as error:
        return _page(reference, Sent(form, _texts(error), status=422))
    except ChangedMeanwhile:
        return _page(reference, Sent(form, changes=changes_by_others(reference), status=409))
    return redirect(url_for("staff.quote", reference=reference, _anchor=anchor), code=303)


def _sent(reference: str, version: int) -> tuple[Request, Quote]:
    """The request and one version of its quote; 404 where there is none."""
    with wired().store.reading() as work:
        kept = find(reference, work)
        found = next((one for one in work.quotes.all(kept.id) if one.version == version), None)
    if found is None:
        abort(404)
    return kept, found


def _texts(error: InvalidInput) -> dict[str, str]:
    return {fault.path: words().fault(fault) for fault in error.faults}


def _page(reference: str, sent: Sent) -> Response:
    desk = wired().desk()
    bench = quoting.workbench(reference, desk)
    original, offers = bench.original.estimate if bench.original else bench.request.estimate, _offers(bench)
    gone = [offer["row"].drop_off for offer in offers if offer["picked"] and offer["why"]]
    page = render_template(
        "staff/quote.html",
        bench=bench,
        kept=bench.request,
        reading=read_bench(bench, gone),
        comparison=compare(original, bench.request.estimate, bench.request.body, firm=bench.price.total),
        offers=offers,
        sent=sent,
        faults=sent.faults,
        typed=request.form,
        book_is_new=bench.request.estimate.price_book != desk.book.version,
    )
    return make_response(page, sent.status)


def _offers(bench: Workbench) -> list[dict[str, Any]]:
    """The drop-offs to pick from; none where today's price book can't plan this work."""
    say = words()
    try:
        with wired().store.reading() as work:
            looks = offering.choices(bench.request, bench.draft, wired().desk(), work)
    except InvalidInput:
        return []
    return [
        {
            "row": offer_row(look.offer, say),
            "picked": look.picked,
            "asked": shop_time(look.offer.drop_off).date() in bench.request.dates,
            "why": [sentence(message, say) for message in look.why],
        }
        for look in looks
    ]


def _draft(bench: Workbench) -> Quote:
    """The draft in the shape of a sent quote, for showing it."""
    content = quoting.content_of(bench, bench.draft.offers, wired().desk())
    now = wired().clock()
    by = person().name
    return Quote(
        id=0, request_id=bench.request.id, version=bench.next_version, content=content, sent_at=now, sent_by_name=by, expires_at=now
    )

"""The firm quote on the private page: the printed document, accepting with name and ticks, declining with a reason."""

from dataclasses import dataclass

from flask import Blueprint, Response, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import VISITOR, Request
from configurator.domain.quoting import Quote
from configurator.domain.review import State
from configurator.errors import InvalidInput
from configurator.services.places.placing import PlaceTaken
from configurator.services.ports import ChangedMeanwhile
from configurator.services.quotes import accepting, quoting
from configurator.services.quotes.accepting import ANOTHER_DAY, AlreadyAccepted, Answer, QuoteExpired, agreement_of
from configurator.services.quotes.offering import choices_left
from configurator.web import i18n, limits
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.pdf import pdf_response
from configurator.web.private.quote_refusals import ANSWERS_REFUSED, quoted, refused, what_happened
from configurator.web.quote_documents import document_page
from configurator.web.quote_reading import OfferRow, QuoteReading, offer_row, read_quote
from configurator.web.request_drawing import drawing_of
from configurator.web.request_reading import CautionRow, shop_time
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired

ANSWERED = accepting.ANSWERED
MOST_VERSION_DIGITS = 6


@dataclass(frozen=True)
class QuoteCard:
    """The quote on the private page: what it says and what can be done with it now."""

    quote: Quote
    reading: QuoteReading
    can_answer: bool
    accepted_as: str
    accepted_at: str
    chosen: str


def quote_card(kept: Request) -> QuoteCard | None:
    """The card of the latest quote; None where there is none to show. That it is looked at is noted once."""
    with wired().store.reading() as work:
        quote = work.quotes.current(kept.id)
    if quote is None or kept.state not in {State.QUOTED, State.EXPIRED, *ANSWERED}:
        return None
    if kept.state is State.QUOTED:
        quoting.note_opened(kept, quote, VISITOR, wired().desk())
    say, acceptance = words(), quote.acceptance
    return QuoteCard(
        quote=quote,
        reading=read_quote(kept, quote),
        can_answer=kept.state is State.QUOTED,
        accepted_as=acceptance.name if acceptance else "",
        accepted_at=say.datetime(shop_time(quote.accepted_at), "long") if quote.accepted_at else "",
        chosen=say.datetime(shop_time(acceptance.drop_off)) if acceptance and acceptance.drop_off else "",
    )


@limiter.limit(limits.estimates)
def document(token: str) -> Response | BaseResponse:
    """The quote as a page to print."""
    kept, quote = quoted(token)
    if quote is None:
        return _back(token)
    back, pdf = (url_for(f"private.{name}", token=token) for name in ("page", "quote_pdf"))
    return make_response(document_page(kept, quote, back=back, pdf=pdf))


@limiter.limit(limits.estimates)
def quote_pdf(token: str) -> Response | BaseResponse:
    """The same as a PDF."""
    kept, quote = quoted(token)
    if quote is None:
        return _back(token)
    print_page = url_for("private.quote_document", token=token)
    return pdf_response(document_page(kept, quote), f"quote-{kept.reference}-{quote.version}.pdf", print_page=print_page)


def ask_accept(token: str) -> Response | BaseResponse:
    """The page on which the quote is accepted."""
    kept, quote = quoted(token)
    if kept.state in ANSWERED:
        return refused(token, AlreadyAccepted(kept.reference))
    if kept.state is State.EXPIRED:
        return refused(token, QuoteExpired(kept.reference))
    if quote is None or kept.state is not State.QUOTED:
        return _back(token)
    return _accept_page(token, kept, quote)


def accept(token: str) -> Response | BaseResponse:
    """Accepts it. Whatever is in the way gets a page that says so and what to do; nothing is accepted by half."""
    kept, quote = quoted(token)
    try:
        accepting.accept(token, _answer(), wired().desk())
    except InvalidInput as error:
        return _accept_page(token, kept, quote, faults=error) if quote and kept.state is State.QUOTED else _back(token)
    except PlaceTaken:
        return _accept_page(token, kept, quote, taken=True) if quote else _back(token)
    except ChangedMeanwhile:
        return refused(token, what_happened(token))
    except ANSWERS_REFUSED as error:
        return refused(token, error)
    return _back(token)


def ask_decline(token: str) -> Response | BaseResponse:
    """Asks why, before it is declined: it can't be taken back."""
    kept, quote = quoted(token)
    return _decline_page(token, kept, quote) if quote and kept.state is State.QUOTED else _back(token)


def decline(token: str) -> Response | BaseResponse:
    """Declines it."""
    kept, quote = quoted(token)
    try:
        accepting.decline(token, _version(), request.form.get("reason", ""), wired().desk())
    except InvalidInput as error:
        return _decline_page(token, kept, quote, error) if quote and kept.state is State.QUOTED else _back(token)
    except ChangedMeanwhile:
        return refused(token, what_happened(token))
    except ANSWERS_REFUSED as error:
        return refused(token, error)
    return _back(token)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/<token>/quote", "quote_document", document)
    blueprint.add_url_rule("/<token>/quote.pdf", "quote_pdf", quote_pdf)
    blueprint.add_url_rule("/<token>/accept", "ask_accept", ask_accept)
    blueprint.add_url_rule("/<token>/accept", "accept", accept, methods=["POST"])
    blueprint.add_url_rule("/<token>/decline", "ask_decline", ask_decline)
    blueprint.add_url_rule("/<token>/decline", "decline", decline, methods=["POST"])


def _accept_page(token: str, kept: Request, quote: Quote, *, faults: InvalidInput | None = None, taken: bool = False) -> Response:
    i18n.speak(quote.content.locale)
    if not faults and not taken:
        quoting.note_opened(kept, quote, VISITOR, wired().desk())
    reading, agreement = read_quote(kept, quote), agreement_of(quote)
    page = render_template(
        "private/accept.html",
        token=token,
        kept=kept,
        quote=reading,
        agreement=agreement,
        acknowledge=[(lamp, text, _cautions_at(lamp, reading)) for lamp, text in agreement.acknowledge.items()],
        dates=_dates(kept, quote),
        another_day=ANOTHER_DAY,
        taken=taken,
        faults={fault.path: words().fault(fault) for fault in faults.faults} if faults else {},
        typed=request.form,
        drawing=drawing_of(reading.scope.request),
    )
    return make_response(page, 422 if faults else 409 if taken else 200)


def _dates(kept: Request, quote: Quote) -> list[tuple[OfferRow, bool, bool]]:
    """Each date with whether it can still be had and whether it was offered."""
    with wired().store.reading() as work:
        looks = choices_left(kept, quote.content.offers, wired().desk(), work)
    return [(offer_row(look.offer, words()), not look.why, look.picked) for look in looks]


def _cautions_at(lamp: str, reading: QuoteReading) -> list[CautionRow]:
    name = words().name("lamp", lamp)
    return [caution for caution in reading.cautions if caution.where == name]


def _decline_page(token: str, kept: Request, quote: Quote, faults: InvalidInput | None = None) -> Response:
    page = render_template(
        "private/decline.html",
        token=token,
        kept=kept,
        quote=read_quote(kept, quote),
        faults={fault.path: words().fault(fault) for fault in faults.faults} if faults else {},
        typed=request.form.get("reason", ""),
    )
    return make_response(page, 422 if faults else 200)


def _answer() -> Answer:
    form = request.form
    return Answer(
        version=_version(),
        name=form.get("name", ""),
        drop_off=form.get("drop_off", "")[:40],
        acknowledged=frozenset(form.getlist("ack")),
        consents=frozenset(form.getlist("consent")),
    )


def _version() -> int:
    return whole_number(request.form.get("version", ""), most_digits=MOST_VERSION_DIGITS) or 0


def _back(token: str) -> BaseResponse:
    return redirect(url_for("private.page", token=token), code=303)

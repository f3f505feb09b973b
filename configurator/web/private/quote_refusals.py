"""Answers to a quote that can't be taken: what happened, and what to do now (409)."""

from flask import Response, make_response, render_template

from configurator.domain.desk import Request
from configurator.domain.quoting import Quote
from configurator.domain.review import State
from configurator.errors import TucklineError
from configurator.services.quotes.accepting import ANSWERED, AlreadyAccepted, NoQuote, QuoteChanged, QuoteExpired
from configurator.services.quotes.expiring import expire_if_due
from configurator.web.i18n import words
from configurator.web.private.guard import request_of
from configurator.web.request_reading import shop_time
from configurator.web.wiring import wired
from configurator.wording.words import Words

ANSWERS_REFUSED = (AlreadyAccepted, QuoteChanged, QuoteExpired, NoQuote)


def quoted(token: str) -> tuple[Request, Quote | None]:
    """The request after the clock had its say, and its latest quote."""
    kept = expire_if_due(request_of(token), wired().desk())
    with wired().store.reading() as work:
        return kept, work.quotes.current(kept.id)


def what_happened(token: str) -> TucklineError:
    """Two answers at the same moment: what the other one made of it."""
    kept, _ = quoted(token)
    if kept.state in ANSWERED:
        return AlreadyAccepted(kept.reference)
    if kept.state is State.EXPIRED:
        return QuoteExpired(kept.reference)
    return QuoteChanged(kept.reference) if kept.state is State.QUOTED else NoQuote(kept.reference)


def refused(token: str, error: TucklineError) -> Response:
    """The page."""
    _, quote = quoted(token)
    title, texts = _told(error, quote, words())
    return make_response(render_template("private/problem.html", title=title, texts=texts, token=token), 409)


def _told(error: TucklineError, quote: Quote | None, say: Words) -> tuple[str, list[str]]:
    if isinstance(error, AlreadyAccepted):
        when = [shop_time(quote.accepted_at)] if quote and quote.accepted_at else []
        texts = [say.gettext("It was accepted on %(moment)s.") % {"moment": say.datetime(moment, "long")} for moment in when]
        texts.append(say.gettext("Nothing was changed and nothing was ordered twice. Your page keeps what you agreed to."))
        return say.gettext("This quote is accepted already"), texts
    if isinstance(error, QuoteExpired):
        text = say.gettext("It can't be accepted any more. Call or write to us if you still want it: we then make a new one.")
        return say.gettext("This quote has run out"), [text]
    if isinstance(error, QuoteChanged) and quote is not None:
        facts = {"total": say.money(quote.content.price.total, quote.content.price.currency)}
        text = say.gettext("We sent you a new quote while you were reading: %(total)s. Nothing was accepted.") % facts
        return say.gettext("There is a newer quote"), [text, say.gettext("Open your page, look at the new one, and decide then.")]
    return say.gettext("There is no quote to answer"), [say.gettext("Open your page to see where your request stands.")]

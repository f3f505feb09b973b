"""The printed document of a firm quote, sent or not: the same template for the private page, the desk's preview and the PDF."""

from flask import render_template

from configurator.domain.desk import Request
from configurator.domain.quoting import Quote
from configurator.services.quotes.accepting import agreement_of
from configurator.web import i18n
from configurator.web.pdf import paper
from configurator.web.quote_reading import read_quote
from configurator.web.request_drawing import drawing_of
from configurator.web.request_reading import shop_time


def document_page(kept: Request, quote: Quote, *, draft: bool = False, back: str = "", pdf: str = "") -> str:
    """The document in the language that it was written in; `draft` says on it that it isn't sent."""
    i18n.speak(quote.content.locale)
    reading = read_quote(kept, quote)
    return render_template(
        "documents/quote.html",
        paper=paper(),
        reference=kept.reference,
        quote=reading,
        kept=kept,
        agreement=agreement_of(quote),
        drawing=drawing_of(reading.scope.request),
        sent=quote,
        draft=draft,
        local=shop_time,
        back=back,
        pdf=pdf,
    )

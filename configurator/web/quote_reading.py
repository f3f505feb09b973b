"""A firm quote put into words: what the private page, the printed document and the desk's preview show of it. Never cost or margin."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from configurator.domain.desk import Request
from configurator.domain.quoting import ADDED, Offer, Quote, QuoteContent, QuoteLine
from configurator.web.i18n import words
from configurator.web.request_reading import CautionRow, RequestReading, read_request, sentence, shop_time
from configurator.wording.words import Words


@dataclass(frozen=True)
class LineRow:
    """One line as printed. `note` explains it, `reason` is the change's, where it is meant for the customer."""

    label: str
    note: str
    reason: str
    amount: str
    is_struck: bool


@dataclass(frozen=True)
class OfferRow:
    """A drop-off that is offered; `value` is what a form sends."""

    value: str
    drop_off: str
    back: str
    late: str
    days: str


@dataclass(frozen=True)
class QuoteReading:
    """A quote in words. `scope` reads the request as this quote has it."""

    content: QuoteContent
    reference: str
    version: int
    made: str
    good_until: str
    scope: RequestReading
    total: str
    tax: str
    tax_on_top: str
    lines: tuple[LineRow, ...]
    rounding: str
    tax_inside: str
    offers: tuple[OfferRow, ...]
    deposit: str
    cautions: tuple[CautionRow, ...]
    to_acknowledge: tuple[str, ...]


def read_quote(request: Request, quote: Quote) -> QuoteReading:
    """The reading of a sent quote in the language of the page at hand."""
    return read_content(request, quote.content, version=quote.version, made_at=quote.sent_at)


def read_content(request: Request, content: QuoteContent, *, version: int, made_at: datetime) -> QuoteReading:
    """The same of a quote that may not be sent yet."""
    say, price = words(), content.price
    scope = read_request(as_quoted(request, content))
    names = {lamp: say.name("lamp", lamp) for lamp in content.to_acknowledge}
    return QuoteReading(
        content=content,
        reference=request.reference,
        version=version,
        made=say.date(shop_time(made_at).date()),
        good_until=say.date(content.expiry),
        scope=scope,
        total=say.money(price.total, price.currency),
        tax=_tax(content, say),
        tax_on_top=_tax_on_top(content, say),
        lines=tuple(_lines(price.lines, price.currency, say)),
        rounding=say.money(price.rounding, price.currency) if price.rounding else "",
        tax_inside=say.money(price.tax, price.currency) if price.tax else "",
        offers=tuple(offer_row(offer, say) for offer in content.offers),
        deposit=say.money(content.terms.deposit, price.currency, short=True) if content.terms.deposit else "",
        cautions=(*scope.cautions["stop"], *scope.cautions["care"]),
        to_acknowledge=tuple(names.values()),
    )


def as_quoted(request: Request, content: QuoteContent) -> Request:
    """The request with the scope that this quote is about, however it was changed since."""
    return replace(
        request,
        selection=content.selection,
        estimate=content.estimate,
        body=content.body,
        package=content.package,
        edges=content.edges,
        region=content.region,
        acknowledged=frozenset(content.acknowledged),
    )


def line_label(line: QuoteLine, say: Words) -> str:
    """What a line is called."""
    return line.label if line.code == ADDED else say.name("line", line.code)


def _lines(lines: Iterable[QuoteLine], currency: str, say: Words) -> Iterable[LineRow]:
    for line in lines:
        if line.is_printed and (line.amount or line.is_changed):
            note = "" if line.why is None or line.is_changed else sentence(line.why, say)
            amount = "" if line.struck else say.money(line.amount, currency)
            yield LineRow(line_label(line, say), note, line.printed_reason, amount, line.struck)


def offer_row(offer: Offer, say: Words) -> OfferRow:
    """A drop-off on the shop's clock."""
    drop_off, back, late = (shop_time(moment) for moment in (offer.drop_off, offer.hand_back, offer.late_hand_back))
    return OfferRow(
        value=offer.drop_off.isoformat(),
        drop_off=say.datetime(drop_off),
        back=say.datetime(back),
        late=say.datetime(late),
        days=say.days(offer.days),
    )


def _tax(content: QuoteContent, say: Words) -> str:
    return say.gettext("tax excluded") if content.price.tax_shown == "excluded" else say.gettext("tax included")


def _tax_on_top(content: QuoteContent, say: Words) -> str:
    price = content.price
    if price.tax_on_top is None or price.tax_rate is None or not price.tax_rate:
        return ""
    facts = {
        "rate": say.percent(price.tax_rate, 1),
        "tax": say.money(price.tax_on_top, price.currency),
        "total": say.money(price.total + price.tax_on_top, price.currency),
    }
    return say.gettext("plus %(rate)s tax, %(tax)s: %(total)s in all") % facts

"""The firm quote on the desk: what is written so far, what it would cost and still needs, and sending it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from zoneinfo import ZoneInfo

from configurator.domain.desk import Event, Person, Request
from configurator.domain.estimate import Caution
from configurator.domain.firm_price import firm_price, outdated
from configurator.domain.lamps import not_sold
from configurator.domain.light import LampLight
from configurator.domain.message import Fact
from configurator.domain.price_book import Customer
from configurator.domain.quote_rules import confirmations, deposit_of, end_of, expiry_of, met_needs, unsettled
from configurator.domain.quoting import (
    EMPTY_DRAFT,
    Draft,
    FirmPrice,
    NewQuote,
    Offer,
    Original,
    Quote,
    QuoteContent,
    QuoteTerms,
    RegionalText,
)
from configurator.domain.review import Actor, Need, State, check_move
from configurator.domain.terms import RegionalWording
from configurator.errors import Fault, InvalidInput
from configurator.services.desk import Desk
from configurator.services.mail import mailing
from configurator.services.measuring_light import light_of
from configurator.services.ports import Work
from configurator.services.quotes.offering import offers_as_they_are
from configurator.services.reviewing import find, find_as_read, move
from configurator.wording.words import words_for

ALL_NEEDS = frozenset(Need)
NEEDS_OF_SENDING = check_move(State.IN_REVIEW, State.QUOTED, Actor.OWNER, ALL_NEEDS).needs
"""As the state table has them."""


@dataclass(frozen=True)
class Workbench:
    """The quote in the making. `missing`: what sending still needs; `expiry` the last day it would hold."""

    request: Request
    draft: Draft
    price: FirmPrice
    expiry: date
    deposit: Decimal
    unsettled: tuple[Caution, ...]
    outdated: tuple[str, ...]
    missing: tuple[Need, ...]
    light: tuple[LampLight, ...]
    acknowledged: tuple[str, ...]
    to_acknowledge: tuple[str, ...]
    quotes: tuple[Quote, ...]
    original: Original | None

    @property
    def next_version(self) -> int:
        return (self.quotes[-1].version if self.quotes else 0) + 1

    @property
    def can_be_written(self) -> bool:
        """Whether the state lets the desk write and send a quote."""
        return self.request.state in {State.IN_REVIEW, State.QUOTED}


def workbench(reference: str, desk: Desk) -> Workbench:
    """Everything about the quote of a request. Raises NoSuchRequest, and InvalidInput where today's price book can't make it."""
    with desk.store.reading() as work:
        return bench_of(find(reference, work), desk, work)


def bench_of(request: Request, desk: Desk, work: Work) -> Workbench:
    """The same of a request at hand."""
    draft = work.quotes.draft(request.id) or EMPTY_DRAFT
    price = firm_price(request.estimate, draft, desk.book, customer_of(request))
    zone = ZoneInfo(desk.book.hours.time_zone)
    today = desk.clock().astimezone(zone).date()
    expiry = expiry_of(draft, today, desk.book.terms, zone)
    met = met_needs(request.estimate, draft, expiry, today, zone)
    light = _light(request, desk, work)
    acknowledged, to_acknowledge = confirmations(light, request.acknowledged)
    return Workbench(
        request=request,
        draft=draft,
        price=price,
        expiry=expiry,
        deposit=deposit_of(draft, price, desk.book.terms),
        unsettled=unsettled(request.estimate, draft),
        outdated=outdated(request.estimate, draft),
        missing=tuple(need for need in NEEDS_OF_SENDING if need not in met),
        light=light,
        acknowledged=acknowledged,
        to_acknowledge=to_acknowledge,
        quotes=tuple(work.quotes.all(request.id)),
        original=work.scopes.original(request),
    )


def customer_of(request: Request) -> Customer:
    """A request that names a company is a business's; prices are then shown as the book says for one."""
    return Customer.BUSINESS if request.contact.company else Customer.CONSUMER


def edit(
    reference: str,
    revision: int,
    by: Person,
    desk: Desk,
    change: Callable[[Request, Draft], Draft],
    kind: str,
    *,
    reason: str = "",
    facts: Mapping[str, Fact] = MappingProxyType({}),
) -> Request:
    """One change of the draft, kept with who, when and why. Raises ChangedMeanwhile, MoveRefused where no quote can be written."""
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        check_move(request.state, State.QUOTED, by.actor, ALL_NEEDS)
        draft = change(request, work.quotes.draft(request.id) or EMPTY_DRAFT)
        if firm_price(request.estimate, draft, desk.book, customer_of(request)).total < 0:
            raise InvalidInput([Fault("amount", "price_below_zero")])
        return work.quotes.keep_draft(request, draft, Event(at=desk.clock(), by=by, kind=kind, reason=reason, facts=facts))


def send(reference: str, revision: int, by: Person, desk: Desk) -> Quote:
    """Sends the draft as the next version, voids the one before, and mails it in the customer's language.

    Raises MoveRefused (naming what is missing), ChangedMeanwhile, InvalidInput (an offered date that is taken or over; a lamp that was
    measured so dark that a published rule forbids the film).
    """
    with desk.store.reading() as work:
        # Looking at light and dates may measure a body, which takes a second: not while others wait to write.
        read = find_as_read(reference, revision, work)
        _light(read, desk, work)
        offers_as_they_are(read, work.quotes.draft(read.id) or EMPTY_DRAFT, desk, work)
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        bench = bench_of(request, desk, work)
        check_move(request.state, State.QUOTED, by.actor, ALL_NEEDS.difference(bench.missing))
        if refused := not_sold(bench.light, request.region, desk.book):
            raise InvalidInput([Fault("light", "forbidden_not_sold", {"lamp": lamp}) for lamp in refused])
        content = content_of(bench, offers_as_they_are(request, bench.draft, desk, work), desk)
        facts: dict[str, Fact] = {"version": bench.next_version, "total": content.price.total, "currency": content.price.currency}
        quoted = move(request, State.QUOTED, by, desk, work, met=ALL_NEEDS.difference(bench.missing), facts=facts)
        expires = end_of(content.expiry, ZoneInfo(desk.book.hours.time_zone))
        new = NewQuote(content=content, sent_at=desk.clock(), sent_by=by.id, sent_by_name=by.name, expires_at=expires)
        quote = work.quotes.send(quoted, new)
        _mail(quoted, quote, desk, work)
        return quote


def note_opened(request: Request, quote: Quote, by: Person, desk: Desk) -> None:
    """Notes that the customer has seen the quote, once."""
    if quote.opened_at is not None:
        return
    with desk.store.writing() as work:
        if work.quotes.mark_opened(quote, desk.clock()):
            work.requests.record(request.id, Event(at=desk.clock(), by=by, kind="quote_opened", facts={"version": quote.version}))


def regional_text(wording: RegionalWording, locale: str) -> RegionalText:
    """A region's wording in one language."""
    consents = {id: text.read_in(locale) for id, text in wording.consents.items()}
    return RegionalText(wording.accept.read_in(locale), wording.withdrawal.read_in(locale), MappingProxyType(consents))


def _light(request: Request, desk: Desk, work: Work) -> tuple[LampLight, ...]:
    """Lamps and glass as measured on the car or, where the shop can't work them out any more, as they were kept."""
    try:
        return light_of(request, desk, work).light
    except InvalidInput:
        return request.estimate.light


def content_of(bench: Workbench, offers: tuple[Offer, ...], desk: Desk) -> QuoteContent:
    """What the quote would say, with these drop-offs offered."""
    request, draft, terms = bench.request, bench.draft, desk.book.terms
    kept = {key: how for key, how in draft.settled.items() if how}
    return QuoteContent(
        price=bench.price,
        selection=request.selection,
        estimate=replace(request.estimate, light=bench.light),
        locale=request.locale,
        region=request.region,
        body=request.body,
        package=request.package,
        edges=request.edges,
        offers=offers,
        expiry=bench.expiry,
        terms=QuoteTerms(bench.deposit, terms.cancellation_text.read_in(request.locale) or terms.cancellation),
        regional=regional_text(terms.wording_in(request.region), request.locale),
        acknowledged=bench.acknowledged,
        to_acknowledge=bench.to_acknowledge,
        settled=MappingProxyType(kept),
        words=draft.words,
    )


def _mail(request: Request, quote: Quote, desk: Desk, work: Work) -> None:
    price, words = quote.content.price, words_for(request.locale)
    mailing.to_visitor(
        request,
        desk,
        work,
        "quote_sent",
        version=quote.version,
        total=words.money(price.total, price.currency),
        tax=price.tax_shown,
        good_until=quote.content.expiry,
        opening=quote.content.words,
    )

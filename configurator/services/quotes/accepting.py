"""The customer's answer to a firm quote, on the private page: accept with name, ticks and a date, or decline with a reason."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from configurator.domain.appointments import Choice
from configurator.domain.desk import VISITOR, Request
from configurator.domain.quoting import Acceptance, Quote
from configurator.domain.review import Need, State
from configurator.domain.work import Operation
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import LONGEST, checked_text
from configurator.services.desk import Desk
from configurator.services.mail import mailing
from configurator.services.places import placing
from configurator.services.ports import Work
from configurator.services.quotes.offering import choices_left
from configurator.services.reviewing import LONGEST_REASON, find_by_token, move
from configurator.wording.words import Words, words_for

ANOTHER_DAY = "other"
"""Instead of an offered date: none of them fits, the shop is to propose another."""
ANSWERED = frozenset({State.ACCEPTED, State.SCHEDULED, State.IN_BAY, State.HANDED_OVER})


class AlreadyAccepted(TucklineError):
    """The quote was accepted before; nothing changes."""

    code = "already_accepted"


class QuoteChanged(TucklineError):
    """There is a newer version than the one that was answered."""

    code = "quote_changed"


class QuoteExpired(TucklineError):
    """The quote's last day is over."""

    code = "quote_expired"


class NoQuote(TucklineError):
    """There is nothing to answer: no quote was sent, or the request is closed."""

    code = "no_quote"


@dataclass(frozen=True)
class Answer:
    """What was typed and ticked. `drop_off`: a moment as text (RFC 3339) that was offered or is free beside it, or `ANOTHER_DAY`."""

    version: int
    name: str
    drop_off: str = ""
    acknowledged: frozenset[str] = frozenset()
    consents: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Agreement:
    """What accepting says word for word, in the language of the quote: what is shown and what is kept."""

    acknowledge: Mapping[str, str]
    consents: Mapping[str, str]
    button: str
    withdrawal: str
    terms: str


def agreement_of(quote: Quote) -> Agreement:
    """The texts of accepting this quote."""
    content, say = quote.content, words_for(quote.content.locale)
    films = {row.lamp: row.film for row in content.estimate.light}
    return Agreement(
        acknowledge=MappingProxyType({lamp: _off_road(lamp, films.get(lamp, ""), say) for lamp in content.to_acknowledge}),
        consents=content.regional.consents,
        button=content.regional.accept or say.gettext("Accept this quote"),
        withdrawal=content.regional.withdrawal,
        terms=content.terms.cancellation,
    )


def accept(token: str, answer: Answer, desk: Desk) -> Quote:
    """Accepts the quote that is current, and holds the chosen place, both or neither.

    Raises NoSuchRequest, NoQuote, AlreadyAccepted, QuoteChanged, QuoteExpired, InvalidInput (name, ticks, date), PlaceTaken (the date
    is gone; nothing was accepted) and ChangedMeanwhile.
    """
    operations = _operations(token, answer, desk)
    with desk.store.writing() as work:
        request = find_by_token(token, work)
        quote = _to_answer(request, answer.version, desk, work)
        acceptance = _checked(answer, quote, request, desk, work)
        held = acceptance.drop_off is not None and operations is not None
        if acceptance.drop_off is not None and operations is not None:
            bay = next((offer.bay for offer in quote.content.offers if offer.drop_off == acceptance.drop_off), None)
            placing.reserve(request, Choice(acceptance.drop_off, bay), desk, work, operations=operations)
        met = [Need.CURRENT_QUOTE, Need.NAME_TYPED, Need.ACKNOWLEDGEMENTS]
        accepted = move(request, State.ACCEPTED, VISITOR, desk, work, met=met, facts={"version": quote.version})
        work.quotes.accept(quote, acceptance, desk.clock())
        _tell(accepted, quote, acceptance, desk, work, held=held)
        return quote


def decline(token: str, version: int, reason: str, desk: Desk) -> Request:
    """The customer says no. Raises InvalidInput without a reason, otherwise as `accept`."""
    faults: list[Fault] = []
    typed = checked_text(reason, "reason", faults, longest=LONGEST_REASON, required=True, lines=True)
    if faults:
        raise InvalidInput(faults)
    with desk.store.writing() as work:
        request = find_by_token(token, work)
        quote = _to_answer(request, version, desk, work)
        declined = move(request, State.DECLINED, VISITOR, desk, work, met=[Need.REASON], reason=typed)
        work.quotes.decline(quote, desk.clock())
        mailing.to_visitor(declined, desk, work, "quote_declined")
        mailing.to_shop(declined, desk, work, "quote_declined_shop", reason=typed)
        return declined


def _to_answer(request: Request, version: int, desk: Desk, work: Work) -> Quote:
    """The quote that can be answered now."""
    quote = work.quotes.current(request.id)
    if request.state in ANSWERED:
        raise AlreadyAccepted(request.reference)
    if quote is None or request.state not in {State.QUOTED, State.EXPIRED}:
        raise NoQuote(request.reference)
    if quote.version != version:
        raise QuoteChanged(request.reference)
    if quote.has_expired(desk.clock()) or request.state is State.EXPIRED:
        raise QuoteExpired(request.reference)
    return quote


def _operations(token: str, answer: Answer, desk: Desk) -> tuple[Operation, ...] | None:
    """The work of the request, worked out before the writing transaction; None where no date was chosen, or where today's price
    book can't plan this work any more: the desk then finds the place."""
    if not answer.drop_off or answer.drop_off == ANOTHER_DAY:
        return None
    with desk.store.reading() as work:
        request = find_by_token(token, work)
        try:
            return placing.operations_of(request, desk)
        except InvalidInput:
            return None


def _checked(answer: Answer, quote: Quote, request: Request, desk: Desk, work: Work) -> Acceptance:
    faults: list[Fault] = []
    name = checked_text(answer.name, "name", faults, longest=LONGEST["name"], required=True)
    agreement = agreement_of(quote)
    faults += [Fault(f"ack.{lamp}", "must_be_ticked") for lamp in agreement.acknowledge if lamp not in answer.acknowledged]
    faults += [Fault(f"consent.{id}", "must_be_ticked") for id in agreement.consents if id not in answer.consents]
    drop_off = _drop_off(answer, quote, request, faults, desk, work)
    if faults:
        raise InvalidInput(faults)
    return Acceptance(
        name=name,
        drop_off=drop_off,
        acknowledged=agreement.acknowledge,
        consents=agreement.consents,
        button=agreement.button,
        withdrawal=agreement.withdrawal,
        terms=agreement.terms,
        locale=quote.content.locale,
    )


def _drop_off(answer: Answer, quote: Quote, request: Request, faults: list[Fault], desk: Desk, work: Work) -> datetime | None:
    """The chosen moment; whether it is still free is for `placing.reserve` to say."""
    offered = {offer.drop_off.isoformat(): offer.drop_off for offer in quote.content.offers}
    if answer.drop_off in offered:
        return offered[answer.drop_off]
    if not offered or answer.drop_off == ANOTHER_DAY:
        return None
    free = {look.offer.drop_off.isoformat(): look.offer.drop_off for look in choices_left(request, quote.content.offers, desk, work)}
    if answer.drop_off not in free:
        faults.append(Fault("drop_off", "pick_a_date"))
    return free.get(answer.drop_off)


def _off_road(lamp: str, film: str, say: Words) -> str:
    facts = {"lamp": say.name("lamp", lamp), "film": say.name("lamp_film", film)}
    return say.gettext("%(lamp)s, %(film)s: I understand that with this film the car is for off-road or show use.") % facts


def _tell(request: Request, quote: Quote, acceptance: Acceptance, desk: Desk, work: Work, *, held: bool) -> None:
    price = quote.content.price
    day = mailing.shop_time(acceptance.drop_off, desk) if acceptance.drop_off else None
    for locale, send, kind in (
        (request.locale, mailing.to_visitor, "quote_accepted"),
        (desk.default_locale, mailing.to_shop, "quote_accepted_shop"),
    ):
        say = words_for(locale)
        send(
            request,
            desk,
            work,
            kind,
            version=quote.version,
            total=say.money(price.total, price.currency),
            deposit=say.money(quote.content.terms.deposit, price.currency) if quote.content.terms.deposit else "",
            drop_off=day,
            held=held,
        )

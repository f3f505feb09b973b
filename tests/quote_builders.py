"""A desk over any store with the demo shop's real engine, and requests that stand where quotes begin."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

import pytest

from configurator.domain.desk import Person, Request
from configurator.domain.quote_rules import to_settle
from configurator.domain.quoting import Quote, caution_key
from configurator.domain.review import Actor
from configurator.errors import InvalidInput
from configurator.services import estimating, reviewing
from configurator.services.access.people import add_person
from configurator.services.desk import Desk
from configurator.services.links import Links
from configurator.services.quotes import adjusting, offering, quoting
from configurator.services.quotes.accepting import Answer, agreement_of
from configurator.services.quotes.adjusting import Change, TermsChange
from configurator.services.submitting import submit
from configurator.storage.store import SqlStore
from configurator.web.letters import TemplateLetters
from configurator.wire.selection import dump_selection, load_selection
from tests.desk_builders import a_draft
from tests.services.conftest import Clock
from tests.shops import chosen, demo_shop

REASON = Change(None, "Seen on the car.")


def real_desk(store: SqlStore, clock: Clock) -> Desk:
    """The demo shop's desk, engine and all, over a store."""
    shop = demo_shop()
    return Desk(
        store=store,
        clock=clock,
        shop=shop,
        book=shop.book,
        closed_days=shop.closed_days,
        estimate=lambda selection: estimating.estimate(shop, selection),
        light=lambda selection, measured: estimating.light(shop, selection, measured),
        dump_selection=dump_selection,
        load_selection=load_selection,
        letters=TemplateLetters(),
        links=Links("a test secret that is long enough to be one"),
    )


def advisor(desk: Desk, name: str = "Robin Hale") -> Person:
    """A person of the desk, kept as one of the staff."""
    email = f"{name.split()[0].lower()}@film.example"
    with desk.store.reading() as work:
        known = work.users.credentials(email)
    user = (
        known.user if known else add_person(email=email, name=name, role=Actor.ADVISOR, password=None, store=desk.store, now=desk.clock())
    )
    return Person(Actor.ADVISOR, user.id, user.name)


def taken(desk: Desk, by: Person, **changes: object) -> tuple[str, str]:
    """Reference and token of a request that somebody has taken into review."""
    values: dict[str, object] = {"selection": chosen("sedan", "full_front"), "price_book": desk.book.version, **changes}
    sent = submit(a_draft(**values), desk)
    reviewing.take(sent.reference, 1, by, desk)
    return sent.reference, sent.token


def stands(reference: str, desk: Desk) -> Request:
    """The request as it now stands."""
    with desk.store.reading() as work:
        return reviewing.find(reference, work)


def settle_all(reference: str, by: Person, desk: Desk) -> None:
    """Deals with every caution that has to be."""
    for caution in to_settle(stands(reference, desk).estimate.cautions):
        adjusting.settle(reference, stands(reference, desk).revision, caution_key(caution), "Talked it through.", by, desk)


def offer(reference: str, by: Person, desk: Desk, *, count: int = 2) -> tuple[datetime, ...]:
    """Offers the first free drop-offs that are a week away or more."""
    request = stands(reference, desk)
    with desk.store.reading() as work:
        free = [look.offer.drop_off for look in offering.choices(request, quoting.EMPTY_DRAFT, desk, work)][-count:]
    adjusting.set_terms(reference, request.revision, TermsChange(None, None, "", tuple(free)), by, desk)
    return tuple(free)


def adjust(reference: str, line: str, amount: str | None, by: Person, desk: Desk, *, change: Change = REASON) -> None:
    """Changes a line, or strikes it (None)."""
    revision = stands(reference, desk).revision
    if amount is None:
        adjusting.strike(reference, revision, line, change, by, desk)
    else:
        adjusting.adjust(reference, revision, line, replace(change, amount=Decimal(amount)), by, desk)


def send(reference: str, by: Person, desk: Desk) -> Quote:
    """Sends what is written."""
    return quoting.send(reference, stands(reference, desk).revision, by, desk)


def quoted(desk: Desk, by: Person, **changes: object) -> tuple[str, str, Quote]:
    """Reference, token and quote of a request that waits for its customer."""
    reference, token = taken(desk, by, **changes)
    settle_all(reference, by, desk)
    offer(reference, by, desk)
    return reference, token, send(reference, by, desk)


def yes(quote: Quote, **changes: object) -> Answer:
    """An answer that accepts everything, on the first date that is offered."""
    agreement = agreement_of(quote)
    values: dict[str, object] = {
        "version": quote.version,
        "name": "Mara Ellison",
        "drop_off": quote.content.offers[0].drop_off.isoformat() if quote.content.offers else "",
        "acknowledged": frozenset(agreement.acknowledge),
        "consents": frozenset(agreement.consents),
    }
    return Answer(**{**values, **changes})  # type: ignore[arg-type]


def faults_of(call: Callable[[], object]) -> list[tuple[str, str]]:
    """(path, code) of each fault that a call is refused for."""
    with pytest.raises(InvalidInput) as refused:
        call()
    return [(fault.path, fault.code) for fault in refused.value.faults]


def mails(reference: str, desk: Desk) -> list[str]:
    """Kinds of the mails about a request, in their order."""
    with desk.store.reading() as work:
        return [mail.kind for mail in work.mails.about(stands(reference, desk).id)]

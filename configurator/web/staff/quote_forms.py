"""What the desk types on the quote's page, read as figures and dates; a fault names its field."""

from datetime import date, datetime
from decimal import Decimal

from flask import request

from configurator.domain.money import to_money
from configurator.domain.quoting import Reader
from configurator.errors import Fault, InvalidInput
from configurator.services.quotes.adjusting import Change, TermsChange
from configurator.services.quotes.quoting import Workbench
from configurator.web.i18n import words
from configurator.web.typed_numbers import typed_number
from configurator.web.wiring import wired

MOST_OFFERS_SENT = 20


def typed_change(*, needs_amount: bool = True) -> Change:
    """Amount, reason and reader of a line. Raises InvalidInput for an amount that is no number."""
    reader = Reader.SHOP if request.form.get("reader") == Reader.SHOP else Reader.PRINTED
    amount = typed_money("amount") if needs_amount else None
    return Change(amount, request.form.get("reason", ""), reader)


def typed_money(name: str) -> Decimal | None:
    """An amount in the shop's currency, with a sign if need be; None for an empty field."""
    text = request.form.get(name, "").replace("−", "-").strip()
    negative = text.startswith("-")
    number = typed_number(text.removeprefix("-"), name, words().locale)
    if number is None:
        return None
    amount = to_money(number, wired().shop.book.currency)
    return -amount if negative else amount


def typed_terms(bench: Workbench) -> TermsChange:
    """The terms; what stands as the price book has it stays with the price book. Raises InvalidInput."""
    faults: list[Fault] = []
    expiry, deposit = _typed_day(faults), None
    try:
        deposit = typed_money("deposit")
    except InvalidInput as error:
        faults.extend(error.faults)
    offers = _typed_offers(faults)
    if faults:
        raise InvalidInput(faults)
    return TermsChange(
        expiry=None if bench.draft.expiry is None and expiry == bench.expiry else expiry,
        deposit=None if bench.draft.deposit is None and deposit == bench.deposit else deposit,
        words=request.form.get("words", ""),
        offers=offers,
    )


def _typed_day(faults: list[Fault]) -> date | None:
    text = request.form.get("expiry", "").strip()
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        faults.append(Fault("expiry", "must_be_a_date"))
        return None


def _typed_offers(faults: list[Fault]) -> tuple[datetime, ...]:
    moments = []
    for text in request.form.getlist("offer")[:MOST_OFFERS_SENT]:
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            moment = None
        if moment is None or moment.tzinfo is None:
            faults.append(Fault("offers", "must_be_a_date"))
        else:
            moments.append(moment)
    return tuple(moments)

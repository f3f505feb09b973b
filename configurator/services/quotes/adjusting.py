"""Changes of a quote's lines and terms, each with its reason and who reads it; one without a reason is refused beside its field."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from types import MappingProxyType
from zoneinfo import ZoneInfo

from configurator.domain.desk import Person, Request
from configurator.domain.firm_price import MAY_BE_NEGATIVE, estimated_amount
from configurator.domain.message import Fact
from configurator.domain.quote_rules import is_within_offers, to_settle
from configurator.domain.quoting import Addition, Adjustment, Draft, Reader, caution_key
from configurator.errors import Fault, InvalidInput
from configurator.services.contacts import checked_text
from configurator.services.desk import Desk
from configurator.services.quotes.offering import picked_offers
from configurator.services.quotes.quoting import edit
from configurator.services.reviewing import find_as_read

LONGEST_REASON = 300
LONGEST_LABEL = 80
LONGEST_WORDS = 1500
MOST_ADDITIONS = 20
LARGEST = Decimal(1_000_000)
FURTHEST_DAYS = 365


@dataclass(frozen=True)
class Change:
    """What was typed for a line: the amount (None where the field was left empty), why, and who reads it."""

    amount: Decimal | None
    reason: str
    reader: Reader = Reader.PRINTED


@dataclass(frozen=True)
class TermsChange:
    """What was typed for the terms; `expiry` and `deposit` None: as the price book says."""

    expiry: date | None
    deposit: Decimal | None
    words: str
    offers: tuple[datetime, ...]


def adjust(reference: str, revision: int, line: str, change: Change, by: Person, desk: Desk) -> Request:
    """Another amount for a line of the estimate. Raises InvalidInput without an amount or a reason."""
    faults: list[Fault] = []
    reason, amount = _reason(change, faults), _amount(change.amount, faults)
    if amount < 0 and line not in MAY_BE_NEGATIVE:
        faults.append(Fault("amount", "line_below_zero"))
    if faults:
        raise InvalidInput(faults)
    return _change_line(reference, revision, line, amount, reason, change.reader, by, desk)


def strike(reference: str, revision: int, line: str, change: Change, by: Person, desk: Desk) -> Request:
    """Takes a line out. Raises InvalidInput without a reason."""
    faults: list[Fault] = []
    reason = _reason(change, faults)
    if faults:
        raise InvalidInput(faults)
    return _change_line(reference, revision, line, None, reason, change.reader, by, desk)


def put_back(reference: str, revision: int, line: str, by: Person, desk: Desk) -> Request:
    """A line as the estimate has it; a line that the desk added goes away."""

    def change(request: Request, draft: Draft) -> Draft:
        rest = {code: kept for code, kept in draft.adjustments.items() if code != line}
        return replace(draft, adjustments=MappingProxyType(rest), additions=tuple(one for one in draft.additions if one.id != line))

    return edit(reference, revision, by, desk, change, "line_restored")


def add_line(reference: str, revision: int, label: str, change: Change, by: Person, desk: Desk) -> Request:
    """A line that the estimate hasn't. Raises InvalidInput without words, an amount or a reason."""
    faults: list[Fault] = []
    words = checked_text(label, "label", faults, longest=LONGEST_LABEL, required=True)
    reason, amount = _reason(change, faults), _amount(change.amount, faults)
    if faults:
        raise InvalidInput(faults)

    def add(request: Request, draft: Draft) -> Draft:
        if len(draft.additions) >= MOST_ADDITIONS:
            raise InvalidInput([Fault("label", "too_many", {"most": MOST_ADDITIONS})])
        number = 1 + max((int(one.id.removeprefix("added-")) for one in draft.additions), default=0)
        return replace(draft, additions=(*draft.additions, Addition(f"added-{number}", words, amount, reason, change.reader)))

    facts: dict[str, Fact] = {"label": words, "after": amount, "currency": desk.book.currency}
    return edit(reference, revision, by, desk, add, "line_added", reason=reason, facts=facts)


def settle(reference: str, revision: int, key: str, how: str, by: Person, desk: Desk) -> Request:
    """Writes down how a caution was dealt with. It stays on the quote: nothing here makes a forbidden film fine."""
    faults: list[Fault] = []
    words = checked_text(how, "how", faults, longest=LONGEST_REASON, required=True, lines=True)
    if faults:
        raise InvalidInput(faults)
    return edit(reference, revision, by, desk, _settled(key, words), "caution_settled", reason=words)


def unsettle(reference: str, revision: int, key: str, by: Person, desk: Desk) -> Request:
    """Takes that back."""
    return edit(reference, revision, by, desk, _settled(key, ""), "caution_unsettled")


def set_terms(reference: str, revision: int, typed: TermsChange, by: Person, desk: Desk) -> Request:
    """Expiry, deposit, opening words and the dates that are offered. Raises InvalidInput for a date that isn't free."""
    faults: list[Fault] = []
    words = checked_text(typed.words, "words", faults, longest=LONGEST_WORDS, lines=True)
    if typed.deposit is not None and not 0 <= typed.deposit <= LARGEST:
        faults.append(Fault("deposit", "too_small" if typed.deposit < 0 else "too_large", {"least": 0, "most": LARGEST}))
    faults.extend(_expiry_faults(typed.expiry, desk))
    with desk.store.reading() as work:
        # Looking at dates may measure a body; it needs no lock, since sending looks once more.
        request = find_as_read(reference, revision, work)
        try:
            offers = picked_offers(request, typed.offers, desk, work)
        except InvalidInput as error:
            faults.extend(error.faults)
            offers = ()
    if typed.expiry is not None and not is_within_offers(typed.expiry, offers, ZoneInfo(desk.book.hours.time_zone)):
        faults.append(Fault("expiry", "expiry_after_last_date"))
    if faults:
        raise InvalidInput(faults)

    def change(request: Request, draft: Draft) -> Draft:
        return replace(draft, expiry=typed.expiry, deposit=typed.deposit, words=words, offers=offers)

    return edit(reference, revision, by, desk, change, "quote_terms_changed")


def _change_line(
    reference: str, revision: int, line: str, amount: Decimal | None, reason: str, reader: Reader, by: Person, desk: Desk
) -> Request:
    facts: dict[str, Fact] = {"line": line, "currency": desk.book.currency}

    def change(request: Request, draft: Draft) -> Draft:
        estimated = estimated_amount(request.estimate, line)
        if estimated is None:
            raise InvalidInput([Fault("line", "unknown_id", {"id": line[:60]})])
        facts["before"] = _stands_at(draft, line, estimated)
        if amount is not None:
            facts["after"] = amount
        return replace(draft, adjustments=MappingProxyType({**draft.adjustments, line: Adjustment(estimated, amount, reason, reader)}))

    return edit(reference, revision, by, desk, change, "line_struck" if amount is None else "line_adjusted", reason=reason, facts=facts)


def _stands_at(draft: Draft, line: str, estimated: Decimal) -> Decimal:
    before = draft.adjustments.get(line)
    return estimated if before is None or before.amount is None else before.amount


def _settled(key: str, words: str) -> Callable[[Request, Draft], Draft]:
    def change(request: Request, draft: Draft) -> Draft:
        if key not in {caution_key(caution) for caution in to_settle(request.estimate.cautions)}:
            raise InvalidInput([Fault("key", "unknown_id", {"id": key[:60]})])
        rest = {other: how for other, how in draft.settled.items() if other != key}
        return replace(draft, settled=MappingProxyType({**rest, **({key: words} if words else {})}))

    return change


def _reason(change: Change, faults: list[Fault]) -> str:
    reason = checked_text(change.reason, "reason", faults, longest=LONGEST_REASON)
    if not reason:
        faults.append(Fault("reason", "reason_per_change"))
    return reason


def _amount(amount: Decimal | None, faults: list[Fault]) -> Decimal:
    if amount is None:
        faults.append(Fault("amount", "missing"))
    elif abs(amount) > LARGEST:
        faults.append(Fault("amount", "too_large", {"most": LARGEST}))
    return amount or Decimal(0)


def _expiry_faults(expiry: date | None, desk: Desk) -> list[Fault]:
    today = desk.clock().astimezone(ZoneInfo(desk.book.hours.time_zone)).date()
    if expiry is None:
        return []
    if expiry < today:
        return [Fault("expiry", "date_past", {"first": today})]
    return [Fault("expiry", "too_far_ahead", {"most": FURTHEST_DAYS})] if (expiry - today).days > FURTHEST_DAYS else []

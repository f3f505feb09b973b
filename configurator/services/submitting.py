"""Sending a request: worked out again here, checked, and kept whole or not at all."""

import hashlib
import json
from dataclasses import asdict, replace
from datetime import date
from zoneinfo import ZoneInfo

from configurator.domain.answering import answer_due
from configurator.domain.desk import VISITOR, Event, NewRequest, Person, Request
from configurator.domain.estimate import Estimate
from configurator.domain.kept_estimate import keep
from configurator.domain.lamps import needs_acknowledging, submission_faults
from configurator.domain.price_book import PriceBook
from configurator.domain.review import RequestDraft, State, SubmittedRequest
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import LONGEST, checked_car, checked_contact, checked_text
from configurator.services.desk import Desk
from configurator.services.links import new_nonce, token_hash
from configurator.services.mail import mailing
from configurator.services.ports import AlreadyThere, Work
from configurator.services.references import new_reference

MOST_DATES = 3


class StaleEstimate(TucklineError):
    """The visitor saw another price book than the one in force; `fresh` is the estimate by today's."""

    code = "estimate_stale"

    def __init__(self, fresh: Estimate) -> None:
        self.fresh = fresh
        super().__init__(f"price book is {fresh.price_book} now")


class KeyReused(TucklineError):
    """An idempotency key came again with another content."""

    code = "idempotency_key_reused"


def submit(draft: RequestDraft, desk: Desk, *, idempotency_key: str | None = None, by: Person = VISITOR) -> SubmittedRequest:
    """Keeps a request and puts the mails about it into the outbox, in one transaction.

    Raises InvalidInput (422: contact, dates, selection, acknowledgements, a film that isn't sold), StaleEstimate (409),
    KeyReused (422). The same key with the same content gives the same answer again and keeps nothing new.
    """
    draft = _checked(draft, desk)
    fingerprint = _fingerprint(draft, desk)
    if idempotency_key and (kept := _kept_before(idempotency_key, fingerprint, desk)):
        return _answer(kept, _estimated(draft, desk), desk, replayed=True)
    estimate = _estimated(draft, desk)
    _refuse_stale(draft, estimate)
    _refuse_light(draft, estimate, desk.book)
    try:
        with desk.store.writing() as work:
            request = work.requests.add(_new_request(draft, estimate, desk, work, idempotency_key, fingerprint))
            work.requests.record(request.id, Event(at=request.received_at, by=by, kind="moved", target=State.RECEIVED))
            mailing.about_new_request(request, desk, work)
    except AlreadyThere:
        kept = _kept_before(idempotency_key or "", fingerprint, desk)
        if kept is None:
            raise
        return _answer(kept, estimate, desk, replayed=True)
    return _answer(request, estimate, desk, replayed=False)


def _checked(draft: RequestDraft, desk: Desk) -> RequestDraft:
    faults: list[Fault] = []
    notes = checked_text(draft.notes, "notes", faults, longest=LONGEST["notes"], lines=True)
    contact, car = draft.contact, draft.car
    try:
        contact = checked_contact(draft.contact, country=desk.book.shop.country)
    except InvalidInput as error:
        faults.extend(error.faults)
    try:
        car = checked_car(draft.car)
    except InvalidInput as error:
        faults.extend(error.faults)
    faults.extend(_date_faults(draft.dates, _today(desk)))
    if faults:
        raise InvalidInput(faults)
    return replace(draft, contact=contact, car=car, notes=notes, dates=tuple(dict.fromkeys(draft.dates)))


def _date_faults(dates: tuple[date, ...], today: date) -> list[Fault]:
    if len(dates) > MOST_DATES:
        return [Fault("dates", "too_many", {"most": MOST_DATES})]
    return [Fault(f"dates[{place}]", "date_past", {"first": today}) for place, day in enumerate(dates) if day < today]


def _today(desk: Desk) -> date:
    return desk.clock().astimezone(ZoneInfo(desk.book.hours.time_zone)).date()


def _estimated(draft: RequestDraft, desk: Desk) -> Estimate:
    try:
        estimate = desk.estimate(draft.selection)
    except InvalidInput as error:
        raise InvalidInput(replace(fault, path=f"selection.{fault.path}".rstrip(".")) for fault in error.faults) from None
    if estimate.reason is not None:
        raise InvalidInput([Fault("selection", estimate.reason)])
    return estimate


def _refuse_stale(draft: RequestDraft, estimate: Estimate) -> None:
    if draft.price_book != estimate.price_book:
        raise StaleEstimate(estimate)


def _refuse_light(draft: RequestDraft, estimate: Estimate, book: PriceBook) -> None:
    """Films that aren't sold in the region, and lamps whose film the visitor hasn't acknowledged."""
    region = estimate.selection.region or book.default_region
    faults = submission_faults(estimate.light, draft.acknowledged, region, book)
    if faults:
        raise InvalidInput(faults)


def _new_request(draft: RequestDraft, estimate: Estimate, desk: Desk, work: Work, key: str | None, fingerprint: str) -> NewRequest:
    now = desk.clock()
    nonce = new_nonce()
    return NewRequest(
        reference=new_reference(desk.book.shop.name, is_taken=work.requests.has_reference),
        link_nonce=nonce,
        link_hash=token_hash(desk.links.private_token(nonce)),
        received_at=now,
        answer_due=answer_due(now, desk.book.hours, desk.closed_days),
        contact=draft.contact,
        car=draft.car,
        dates=draft.dates,
        notes=draft.notes,
        acknowledged=draft.acknowledged & set(needs_acknowledging(estimate.light)),
        consents=draft.consents,
        source=draft.source,
        locale=draft.contact.language or desk.default_locale,
        selection=desk.dump_selection(estimate.selection),
        body=estimate.selection.vehicle.body,
        package=estimate.selection.package.value,
        region=estimate.selection.region or desk.book.default_region,
        edges=estimate.selection.edges.value,
        estimate=keep(estimate, desk.book),
        idempotency_key=key,
        fingerprint=fingerprint,
    )


def _kept_before(key: str, fingerprint: str, desk: Desk) -> Request | None:
    with desk.store.reading() as work:
        kept = work.requests.by_key(key)
    if kept is not None and kept.fingerprint != fingerprint:
        raise KeyReused("the key was used for another request")
    return kept


def _answer(request: Request, estimate: Estimate, desk: Desk, *, replayed: bool) -> SubmittedRequest:
    return SubmittedRequest(request.reference, desk.links.private_token(request.link_nonce), estimate, replayed)


def _fingerprint(draft: RequestDraft, desk: Desk) -> str:
    """SHA-256 over everything that was sent, so that a key can't stand for two requests."""
    content = {
        "selection": desk.dump_selection(draft.selection),
        "contact": asdict(draft.contact),
        "car": asdict(draft.car),
        "dates": [day.isoformat() for day in draft.dates],
        "notes": draft.notes,
        "acknowledged": sorted(draft.acknowledged),
        "consents": dict(draft.consents),
    }
    return hashlib.sha256(json.dumps(content, sort_keys=True, ensure_ascii=True).encode()).hexdigest()

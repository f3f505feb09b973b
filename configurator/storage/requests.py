"""Requests in the database: kept, found, moved, and their histories."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from types import MappingProxyType
from typing import Any

from sqlalchemy import delete, exists, insert, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from configurator.domain.desk import Event, NewRequest, Person, Request
from configurator.domain.finding import search_words
from configurator.domain.inbox import desk_rank
from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.message import Fact
from configurator.domain.money import CURRENCIES
from configurator.domain.quoting import NewScope
from configurator.domain.review import Actor, CarWords, Contact, State
from configurator.services.ports import AlreadyThere, ChangedMeanwhile
from configurator.storage.known_customers import customer_and_car
from configurator.storage.models import EventRow, RequestRow, SearchWordRow
from configurator.storage.typed_json import decode, encode, encode_fact

FACTS = Mapping[str, Fact]
_UNIQUE = ("idempotency_key", "reference", "link_hash")


class SqlRequests:
    """The requests of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def add(self, new: NewRequest) -> Request:
        """Keeps a request with its customer and vehicle. Raises AlreadyThere."""
        customer_id, vehicle_id = customer_and_car(self._session, new)
        row = RequestRow(**_columns(new), customer_id=customer_id, vehicle_id=vehicle_id)
        self._session.add(row)
        try:
            self._session.flush()
        except IntegrityError as error:
            raise AlreadyThere(next((name for name in _UNIQUE if name in str(error.orig)), "request")) from error
        self._index(row)
        return to_request(row)

    def by_key(self, idempotency_key: str) -> Request | None:
        return self._one(RequestRow.idempotency_key == idempotency_key)

    def by_reference(self, reference: str) -> Request | None:
        return self._one(RequestRow.reference == reference)

    def by_link(self, link_hash: str) -> Request | None:
        return self._one(RequestRow.link_hash == link_hash)

    def by_id(self, request_id: int) -> Request | None:
        return self._one(RequestRow.id == request_id)

    def has_reference(self, reference: str) -> bool:
        return bool(self._session.scalar(select(exists().where(RequestRow.reference == reference))))

    def move(self, request: Request, target: State, event: Event) -> Request:
        """Changes the state and writes the history, if nobody changed the request since it was read. Raises ChangedMeanwhile."""
        self.change(request, {"state": target.value, "desk_rank": desk_rank(target), "state_since": event.at})
        self.record(request.id, event)
        return self._again(request.id)

    def assign(self, request: Request, user_id: int | None, event: Event) -> Request:
        """Gives a request to a staff member (None: to no one)."""
        self.change(request, {"assigned_to": user_id})
        self.record(request.id, event)
        return self._again(request.id)

    def mark_opened(self, request: Request, event: Event) -> None:
        """Notes that somebody of the staff has opened it, once."""
        opened = update(RequestRow).where(RequestRow.id == request.id, RequestRow.opened_at.is_(None)).values(opened_at=event.at)
        if self._session.execute(opened).rowcount:  # type: ignore[attr-defined]
            self.record(request.id, event)

    def edit(self, request: Request, values: Mapping[str, Any], event: Event) -> Request:
        """Changes what is kept of it without moving it, with an entry in the history. Raises ChangedMeanwhile."""
        self.change(request, values)
        self.record(request.id, event)
        edited = self._again(request.id)
        if edited.body != request.body:
            self._index(self._session.get_one(RequestRow, request.id))
        return edited

    def change(self, request: Request, values: Mapping[str, Any]) -> None:
        """Writes columns if the revision is still the one that was read. Raises ChangedMeanwhile."""
        statement = (
            update(RequestRow)
            .where(RequestRow.id == request.id, RequestRow.revision == request.revision)
            .values(**values, revision=request.revision + 1)
        )
        if not self._session.execute(statement).rowcount:  # type: ignore[attr-defined]
            raise ChangedMeanwhile(request.reference)

    def record(self, request_id: int | None, event: Event) -> None:
        self._session.execute(insert(EventRow).values(**_event_columns(request_id, event)))

    def history(self, request_id: int) -> tuple[Event, ...]:
        """A request's history, oldest first."""
        rows = self._session.scalars(select(EventRow).where(EventRow.request_id == request_id).order_by(EventRow.id))
        return tuple(to_event(row) for row in rows)

    def _one(self, condition: Any) -> Request | None:
        row = self._session.scalar(select(RequestRow).where(condition))
        return to_request(row) if row is not None else None

    def _again(self, request_id: int) -> Request:
        self._session.expire_all()
        return to_request(self._session.get_one(RequestRow, request_id))

    def _index(self, row: RequestRow) -> None:
        """Rewrites the words a request is found by."""
        texts = (row.name, row.company or "", row.body, row.car.get("description", ""), row.car.get("colour", ""))
        words = search_words(reference=row.reference, email=row.email, phone=row.phone, plate=row.car.get("plate", ""), texts=texts)
        self._session.execute(delete(SearchWordRow).where(SearchWordRow.request_id == row.id))
        self._session.execute(insert(SearchWordRow), [{"word": word, "request_id": row.id} for word in sorted(words)])


def minor(amount: Any, currency: str) -> int:
    """A `Decimal` amount in the currency's smallest units."""
    return int(amount.scaleb(CURRENCIES[currency]).to_integral_value())


def _columns(new: NewRequest) -> dict[str, Any]:
    return {
        **scope_columns(new),
        "reference": new.reference,
        "link_nonce": new.link_nonce,
        "link_hash": new.link_hash,
        "idempotency_key": new.idempotency_key,
        "fingerprint": new.fingerprint,
        "state": State.RECEIVED.value,
        "desk_rank": desk_rank(State.RECEIVED),
        "state_since": new.received_at,
        "revision": 1,
        "received_at": new.received_at,
        "answer_due": new.answer_due,
        "name": new.contact.name,
        "email": new.contact.email,
        "phone": new.contact.phone,
        "company": new.contact.company,
        "language": new.contact.language,
        "car": asdict(new.car),
        "dates": [day.isoformat() for day in new.dates],
        "notes": new.notes,
        "acknowledged": sorted(new.acknowledged),
        "consents": dict(new.consents),
        "source": new.source,
        "locale": new.locale,
    }


def scope_columns(new: NewRequest | NewScope) -> dict[str, Any]:
    """What is kept of a scope: the selection, its estimate, and the figures that lists show and sort by."""
    estimate, price = new.estimate, new.estimate.price
    severities = [caution.severity for caution in estimate.cautions]
    return {
        "selection": dict(new.selection),
        "estimate": encode(estimate),
        "price_book": estimate.price_book,
        "body": new.body,
        "package": new.package,
        "region": new.region,
        "edges": new.edges,
        "currency": price.currency,
        "price_low_minor": minor(price.low, price.currency),
        "price_typical_minor": minor(price.typical, price.currency),
        "price_high_minor": minor(price.high, price.currency),
        "days_typical": estimate.typical.days_off_road if estimate.typical else 0,
        "days_high": estimate.high.days_off_road if estimate.high else 0,
        "to_settle": severities.count("stop"),
        "to_know": severities.count("care"),
    }


def to_request(row: RequestRow) -> Request:
    """The record of a row."""
    return Request(
        id=row.id,
        revision=row.revision,
        state=State(row.state),
        state_since=row.state_since,
        reference=row.reference,
        link_nonce=row.link_nonce,
        received_at=row.received_at,
        answer_due=row.answer_due,
        opened_at=row.opened_at,
        assigned_to=row.assigned_to,
        customer_id=row.customer_id,
        vehicle_id=row.vehicle_id,
        contact=Contact(row.name, row.email, row.phone, row.company, row.language),
        car=CarWords(**row.car),
        dates=tuple(date.fromisoformat(day) for day in row.dates),
        notes=row.notes,
        acknowledged=frozenset(row.acknowledged),
        consents=MappingProxyType(dict(row.consents)),
        source=row.source,
        locale=row.locale,
        selection=MappingProxyType(row.selection),
        body=row.body,
        package=row.package,
        region=row.region,
        edges=row.edges,
        estimate=decode(KeptEstimate, row.estimate),
        fingerprint=row.fingerprint,
    )


def _event_columns(request_id: int | None, event: Event) -> dict[str, Any]:
    return {
        "request_id": request_id,
        "at": event.at,
        "kind": event.kind,
        "source": event.source.value if event.source else None,
        "target": event.target.value if event.target else None,
        "actor": event.by.actor.value,
        "user_id": event.by.id,
        "actor_name": event.by.name,
        "reason": event.reason,
        "facts": {name: encode_fact(value) for name, value in event.facts.items()},
    }


def to_event(row: EventRow) -> Event:
    """The record of a row."""
    return Event(
        at=row.at,
        by=Person(Actor(row.actor), row.user_id, row.actor_name),
        kind=row.kind,
        source=State(row.source) if row.source else None,
        target=State(row.target) if row.target else None,
        reason=row.reason,
        facts=MappingProxyType(decode(FACTS, row.facts)),
    )

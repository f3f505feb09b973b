"""Tables of the desk: customers, vehicles, requests, their histories, and the words they are found by."""

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code
from configurator.storage.models.base import Base


class CustomerRow(Base):
    """A person or company. `email_key` is the address in lower case, for finding a returning owner."""

    __tablename__ = "customers"

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    email: Mapped[str] = mapped_column(String(254))
    email_key: Mapped[str] = mapped_column(code(254), index=True)
    phone: Mapped[str | None] = mapped_column(String(60))
    company: Mapped[str | None] = mapped_column(String(120))
    tax_number: Mapped[str | None] = mapped_column(String(40))
    language: Mapped[str] = mapped_column(String(20))
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    erased_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    revision: Mapped[int] = mapped_column(Integer, default=1, server_default="1")


class VehicleRow(Base):
    """A car of a customer. `plate_key` is the plate without spaces and dashes, in upper case."""

    __tablename__ = "vehicles"
    __table_args__ = (Index("ix_vehicles_plate", "plate_key"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    customer_id: Mapped[int] = mapped_column(ForeignKey("customers.id"), index=True)
    body: Mapped[str] = mapped_column(code())
    description: Mapped[str] = mapped_column(String(200))
    colour: Mapped[str] = mapped_column(String(60))
    plate: Mapped[str] = mapped_column(String(20))
    plate_key: Mapped[str] = mapped_column(code(20))
    odometer: Mapped[int | None] = mapped_column(Integer)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    revision: Mapped[int] = mapped_column(Integer, default=1, server_default="1")


class RequestRow(Base):
    """A request. The contact is as this request gave it; `estimate` holds the figures that the visitor was told."""

    __tablename__ = "requests"
    __table_args__ = (
        CheckConstraint("price_low_minor <= price_typical_minor AND price_typical_minor <= price_high_minor", name="price_in_order"),
        Index("ix_requests_inbox", "desk_rank", "received_at", "id"),
        Index("ix_requests_assigned", "assigned_to", "desk_rank", "received_at", "id"),
        Index("ix_requests_expiring", "desk_rank", "quote_expires_at", "id"),
        Index("ix_requests_body", "body", "desk_rank", "received_at", "id"),
    )

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    reference: Mapped[str] = mapped_column(code(20), unique=True)
    link_nonce: Mapped[str] = mapped_column(code(64))
    link_hash: Mapped[str] = mapped_column(code(64), unique=True)
    idempotency_key: Mapped[str | None] = mapped_column(code(200), unique=True)
    fingerprint: Mapped[str] = mapped_column(code(64))

    state: Mapped[str] = mapped_column(code(20))
    desk_rank: Mapped[int] = mapped_column(Integer)
    state_since: Mapped[datetime] = mapped_column(UtcDateTime)
    revision: Mapped[int] = mapped_column(Integer)
    received_at: Mapped[datetime] = mapped_column(UtcDateTime)
    answer_due: Mapped[datetime] = mapped_column(UtcDateTime)
    opened_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    assigned_to: Mapped[int | None] = mapped_column(ForeignKey("users.id"))

    customer_id: Mapped[int] = mapped_column(ForeignKey("customers.id"), index=True)
    vehicle_id: Mapped[int] = mapped_column(ForeignKey("vehicles.id"), index=True)
    name: Mapped[str] = mapped_column(String(120))
    email: Mapped[str] = mapped_column(String(254))
    phone: Mapped[str | None] = mapped_column(String(60))
    company: Mapped[str | None] = mapped_column(String(120))
    language: Mapped[str | None] = mapped_column(String(20))
    car: Mapped[dict[str, str]] = mapped_column(JsonDocument)
    dates: Mapped[list[str]] = mapped_column(JsonDocument)
    notes: Mapped[str] = mapped_column(Text)
    acknowledged: Mapped[list[str]] = mapped_column(JsonDocument)
    consents: Mapped[dict[str, bool]] = mapped_column(JsonDocument)
    source: Mapped[str] = mapped_column(String(300))
    locale: Mapped[str] = mapped_column(String(20))

    selection: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    estimate: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    price_book: Mapped[str] = mapped_column(String(60))
    body: Mapped[str] = mapped_column(code())
    package: Mapped[str] = mapped_column(code())
    region: Mapped[str] = mapped_column(code())
    edges: Mapped[str] = mapped_column(code())
    currency: Mapped[str] = mapped_column(code(3))
    price_low_minor: Mapped[int] = mapped_column(BigInteger)
    price_typical_minor: Mapped[int] = mapped_column(BigInteger)
    price_high_minor: Mapped[int] = mapped_column(BigInteger)
    days_typical: Mapped[int] = mapped_column(Integer)
    days_high: Mapped[int] = mapped_column(Integer)
    to_settle: Mapped[int] = mapped_column(Integer)
    to_know: Mapped[int] = mapped_column(Integer)
    quote_expires_at: Mapped[datetime | None] = mapped_column(UtcDateTime)

    customer: Mapped[CustomerRow] = relationship(lazy="raise")
    vehicle: Mapped[VehicleRow] = relationship(lazy="raise")


class EventRow(Base):
    """One entry of a request's history. Nothing here is ever changed, except that erasing a person clears their words."""

    __tablename__ = "events"
    __table_args__ = (
        Index("ix_events_request", "request_id", "id"),
        Index("ix_events_at", "at", "id"),
        Index("ix_events_user", "user_id", "id"),
        Index("ix_events_kind", "kind", "id"),
    )

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int | None] = mapped_column(ForeignKey("requests.id"))
    at: Mapped[datetime] = mapped_column(UtcDateTime)
    kind: Mapped[str] = mapped_column(code())
    source: Mapped[str | None] = mapped_column(code(20))
    target: Mapped[str | None] = mapped_column(code(20))
    actor: Mapped[str] = mapped_column(code(20))
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    actor_name: Mapped[str] = mapped_column(String(120))
    reason: Mapped[str] = mapped_column(Text)
    facts: Mapped[dict[str, object]] = mapped_column(JsonDocument)


class SearchWordRow(Base):
    """A word (lower case, no accents) that a request is found by. A prefix of it is enough."""

    __tablename__ = "search_words"

    word: Mapped[str] = mapped_column(code(60), primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id", ondelete="CASCADE"), primary_key=True, index=True)

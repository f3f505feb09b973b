"""Customers and their cars as records of their own, so that a returning owner or a second car is found."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum

from configurator.domain.desk import Person
from configurator.domain.review import State

PAGE_ROWS = 50


@dataclass(frozen=True, kw_only=True)
class Customer:
    """A person or company as the shop knows them; each request keeps the contact it was sent with. `language` is a locale."""

    id: int
    revision: int
    name: str
    email: str
    phone: str | None
    company: str | None
    tax_number: str | None
    language: str
    created_at: datetime


@dataclass(frozen=True, kw_only=True)
class Vehicle:
    """A car of a customer. `description`: make, model and year in the owner's own words; `odometer` as it was read last."""

    id: int
    revision: int
    customer_id: int
    body: str
    description: str
    colour: str
    plate: str
    odometer: int | None
    created_at: datetime


@dataclass(frozen=True, kw_only=True)
class RequestLine:
    """A request as a customer's or a car's page lists it."""

    reference: str
    vehicle_id: int
    state: State
    received_at: datetime
    body: str
    package: str
    currency: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True)
class CustomerHit:
    """One line of a search."""

    customer: Customer
    vehicles: tuple[Vehicle, ...]
    requests: int
    last_request_at: datetime | None


@dataclass(frozen=True)
class CustomerPage:
    hits: tuple[CustomerHit, ...]
    has_more: bool


class ChangeKind(StrEnum):
    CUSTOMER = "customer_changed"
    VEHICLE = "vehicle_changed"
    MERGED = "customers_merged"


@dataclass(frozen=True, kw_only=True)
class Change:
    """One change of a customer or of a car of theirs. `fields`: name -> (before, after) as text."""

    at: datetime
    by: Person
    kind: ChangeKind
    fields: Mapping[str, tuple[str, str]]
    vehicle_id: int | None = None


def changed_fields(before: object, values: Mapping[str, object]) -> dict[str, tuple[str, str]]:
    """What of these values differs from the record, as the history keeps it."""
    pairs = {name: (_text(getattr(before, name)), _text(value)) for name, value in values.items()}
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def _text(value: object) -> str:
    return "" if value is None else str(value)

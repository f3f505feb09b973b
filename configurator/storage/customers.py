"""Customers and their cars in the database: found, changed, merged."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from sqlalchemy import Column, and_, delete, exists, func, insert, or_, select, update
from sqlalchemy.orm import Session

from configurator.domain.customers import Change, ChangeKind, Customer, CustomerHit, CustomerPage, RequestLine, Vehicle
from configurator.domain.desk import Person
from configurator.domain.finding import query_words
from configurator.domain.money import CURRENCIES
from configurator.domain.review import Actor, State
from configurator.services.ports import ChangedMeanwhile
from configurator.storage.known_customers import index_customer, plate_key
from configurator.storage.models import (
    Base,
    CustomerChangeRow,
    CustomerRow,
    CustomerWordRow,
    MergedCustomerRow,
    RequestRow,
    VehicleRow,
)  # fmt: skip

AFTER_ANY_WORD = "\U0010ffff"
MOST_REQUESTS = 50
MOST_ALIKE = 10


class SqlCustomers:
    """The customers of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def find(self, text: str, *, before_id: int | None = None, rows: int = 50) -> CustomerPage:
        """A page of those who are found."""
        longest, *others = sorted(query_words(text), key=len, reverse=True) or [""]
        wanted = [CustomerRow.id.in_(_beginning_with(longest)), *map(_has_word, others)] if longest else []
        statement = select(CustomerRow).where(CustomerRow.erased_at.is_(None), *wanted)
        if before_id is not None:
            statement = statement.where(CustomerRow.id < before_id)
        found = self._session.scalars(statement.order_by(CustomerRow.id.desc()).limit(rows + 1)).all()
        return CustomerPage(self._hits(found[:rows]), len(found) > rows)

    def by_id(self, customer_id: int) -> Customer | None:
        kept = self._session.scalar(select(MergedCustomerRow.customer_id).where(MergedCustomerRow.old_id == customer_id))
        row = self._session.scalar(select(CustomerRow).where(CustomerRow.id == (kept or customer_id), CustomerRow.erased_at.is_(None)))
        return to_customer(row) if row is not None else None

    def alike(self, customer: Customer) -> Sequence[Customer]:
        """Others with the same e-mail address, phone or plate."""
        mine = select(VehicleRow.plate_key).where(VehicleRow.customer_id == customer.id, VehicleRow.plate_key != "")
        same_plate = select(VehicleRow.customer_id).where(VehicleRow.plate_key.in_(mine))
        same = [CustomerRow.email_key == customer.email.casefold(), CustomerRow.id.in_(same_plate)]
        if customer.phone:
            digits = "".join(sign for sign in customer.phone.split(";")[0] if sign.isdigit())
            same.append(CustomerRow.id.in_(select(CustomerWordRow.customer_id).where(CustomerWordRow.word == digits)))
        statement = select(CustomerRow).where(CustomerRow.id != customer.id, CustomerRow.erased_at.is_(None), or_(*same))
        return tuple(map(to_customer, self._session.scalars(statement.order_by(CustomerRow.id).limit(MOST_ALIKE))))

    def vehicles_of(self, customer_id: int) -> Sequence[Vehicle]:
        """Their cars, newest first."""
        rows = self._session.scalars(select(VehicleRow).where(VehicleRow.customer_id == customer_id).order_by(VehicleRow.id.desc()))
        return tuple(map(to_vehicle, rows))

    def vehicle(self, vehicle_id: int) -> Vehicle | None:
        row = self._session.get(VehicleRow, vehicle_id, populate_existing=True)
        return to_vehicle(row) if row is not None else None

    def requests_of(self, customer_id: int, *, vehicle_id: int | None = None) -> Sequence[RequestLine]:
        """Their latest requests, newest first."""
        wanted = [RequestRow.customer_id == customer_id]
        if vehicle_id is not None:
            wanted = [RequestRow.vehicle_id == vehicle_id]
        columns = (
            RequestRow.reference, RequestRow.vehicle_id, RequestRow.state, RequestRow.received_at, RequestRow.body, RequestRow.package,
            RequestRow.currency, RequestRow.price_low_minor, RequestRow.price_high_minor,
        )  # fmt: skip
        statement = select(*columns).where(*wanted).order_by(RequestRow.id.desc()).limit(MOST_REQUESTS)
        return tuple(map(_request_line, self._session.execute(statement)))

    def history(self, customer_id: int, *, vehicle_id: int | None = None) -> Sequence[Change]:
        """What was changed, newest first."""
        statement = select(CustomerChangeRow).where(CustomerChangeRow.customer_id == customer_id)
        if vehicle_id is not None:
            statement = statement.where(CustomerChangeRow.vehicle_id == vehicle_id)
        return tuple(map(_to_change, self._session.scalars(statement.order_by(CustomerChangeRow.id.desc()))))

    def change(self, customer: Customer, values: Mapping[str, str | None], change: Change) -> None:
        """Writes fields of a customer, if the revision is still the one that was read."""
        columns: dict[str, Any] = dict(values)
        if values.get("email"):
            columns["email_key"] = str(values["email"]).casefold()
        self._write(CustomerRow, customer, columns)
        self._record(customer.id, change)
        index_customer(self._session, customer.id)

    def change_vehicle(self, vehicle: Vehicle, values: Mapping[str, str | int | None], change: Change) -> None:
        """Writes fields of a car, if the revision is still the one that was read."""
        columns: dict[str, Any] = dict(values)
        if "plate" in values:
            columns["plate_key"] = plate_key(str(values["plate"]))
        self._write(VehicleRow, vehicle, columns)
        self._record(vehicle.customer_id, change)
        index_customer(self._session, vehicle.customer_id)

    def merge(self, kept: Customer, gone: Customer, change: Change) -> None:
        """Everything of the one that goes becomes the other's; their old address leads there."""
        self._write(CustomerRow, kept, {})
        self._write(CustomerRow, gone, {})
        self._session.execute(delete(CustomerWordRow).where(CustomerWordRow.customer_id == gone.id))
        for column in _columns_that_name_a_customer():
            self._session.execute(update(column.table).where(column == gone.id).values({column: kept.id}))
        self._session.execute(delete(CustomerRow).where(CustomerRow.id == gone.id))
        self._session.execute(insert(MergedCustomerRow).values(old_id=gone.id, customer_id=kept.id))
        self._record(kept.id, change)
        index_customer(self._session, kept.id)

    def _write(self, row: Any, record: Customer | Vehicle, values: Mapping[str, Any]) -> None:
        same = and_(row.id == record.id, row.revision == record.revision)
        if not self._session.execute(update(row).where(same).values(**values, revision=record.revision + 1)).rowcount:  # type: ignore[attr-defined]
            raise ChangedMeanwhile

    def _record(self, customer_id: int, change: Change) -> None:
        fields = {name: list(pair) for name, pair in change.fields.items()}
        by = {"user_id": change.by.id, "actor": change.by.actor.value, "actor_name": change.by.name}
        values = {"customer_id": customer_id, "vehicle_id": change.vehicle_id, "at": change.at, "kind": change.kind.value, **by}
        self._session.execute(insert(CustomerChangeRow).values(**values, fields=fields))

    def _hits(self, rows: Sequence[CustomerRow]) -> tuple[CustomerHit, ...]:
        ids = [row.id for row in rows]
        vehicles: dict[int, list[Vehicle]] = {number: [] for number in ids}
        for row in self._session.scalars(select(VehicleRow).where(VehicleRow.customer_id.in_(ids)).order_by(VehicleRow.id.desc())):
            vehicles[row.customer_id].append(to_vehicle(row))
        counted = select(RequestRow.customer_id, func.count(), func.max(RequestRow.received_at)).where(RequestRow.customer_id.in_(ids))
        requests = {number: (count, last) for number, count, last in self._session.execute(counted.group_by(RequestRow.customer_id))}
        return tuple(CustomerHit(to_customer(row), tuple(vehicles[row.id]), *requests.get(row.id, (0, None))) for row in rows)


def _columns_that_name_a_customer() -> Iterator[Column[Any]]:
    """Every column of every table that does: what is kept beside customers later is merged too."""
    for table in Base.metadata.sorted_tables:
        for key in table.foreign_keys:
            if key.column is CustomerRow.__table__.columns["id"]:
                yield key.parent


def to_customer(row: CustomerRow) -> Customer:
    """The record of a row."""
    return Customer(
        id=row.id, revision=row.revision, name=row.name, email=row.email, phone=row.phone, company=row.company,
        tax_number=row.tax_number, language=row.language, created_at=row.created_at,
    )  # fmt: skip


def to_vehicle(row: VehicleRow) -> Vehicle:
    """The record of a row."""
    return Vehicle(
        id=row.id, revision=row.revision, customer_id=row.customer_id, body=row.body, description=row.description, colour=row.colour,
        plate=row.plate, odometer=row.odometer, created_at=row.created_at,
    )  # fmt: skip


def _beginning_with(word: str) -> Any:
    """Customers with a word that begins like this; a range, so that the index answers it on both databases."""
    return select(CustomerWordRow.customer_id).where(CustomerWordRow.word >= word, CustomerWordRow.word < word + AFTER_ANY_WORD)


def _has_word(word: str) -> Any:
    within = (CustomerWordRow.word >= word, CustomerWordRow.word < word + AFTER_ANY_WORD)
    return exists().where(CustomerWordRow.customer_id == CustomerRow.id, *within)


def _request_line(row: Any) -> RequestLine:
    digits = CURRENCIES[row.currency]
    return RequestLine(
        reference=row.reference, vehicle_id=row.vehicle_id, state=State(row.state), received_at=row.received_at, body=row.body,
        package=row.package, currency=row.currency, low=Decimal(row.price_low_minor).scaleb(-digits),
        high=Decimal(row.price_high_minor).scaleb(-digits),
    )  # fmt: skip


def _to_change(row: CustomerChangeRow) -> Change:
    fields = {name: (pair[0], pair[1]) for name, pair in row.fields.items()}
    by = Person(Actor(row.actor), row.user_id, row.actor_name)
    return Change(at=row.at, by=by, kind=ChangeKind(row.kind), fields=fields, vehicle_id=row.vehicle_id)

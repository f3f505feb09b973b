"""One person's data across all tables: found by e-mail address, followed along the foreign keys, written out or erased."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import Column, Table, Text, and_, cast, delete, exists, func, not_, or_, select, update
from sqlalchemy.orm import Session

from configurator.domain.data_rights import HeldRequest, Holding, Remains, Treatment
from configurator.domain.inbox import FINISHED, desk_rank
from configurator.domain.review import State
from configurator.storage.erasing import erased, without_names
from configurator.storage.models import Base, CustomerChangeRow, CustomerRow, EventRow, MailRow, PhotoRow, RequestRow, UserRow, VehicleRow
from configurator.storage.personal_columns import COLUMNS, DROPPED

ERASED = "erased"
"""Kind of the history's entry that says so."""
Rows = Sequence[Mapping[str, Any]]
_UNSENT = ("waiting", "failed")
_NOT_EXPORTED = {Treatment.KEY, Treatment.STAFF}


class SqlDataRights:
    """The data rights of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def held(self, email: str) -> Holding:
        """By the customer's address, and by the address of each request."""
        key = email.strip().casefold()
        if not key:
            return Holding()
        customers = frozenset(self._session.scalars(select(CustomerRow.id).where(CustomerRow.email_key == key))) | self._once_under(key)
        mine = or_(RequestRow.customer_id.in_(customers), func.lower(RequestRow.email) == key)
        requests = self._requests(mine)
        vehicles = frozenset(self._session.scalars(select(VehicleRow.id).where(VehicleRow.customer_id.in_(customers))))
        mails = frozenset(self._session.scalars(select(MailRow.id).where(func.lower(MailRow.recipient) == key, MailRow.user_id.is_(None))))
        return Holding(customers, vehicles | self._vehicles_of(requests), requests, mails)

    def finished_before(self, moment: datetime, *, limit: int) -> Holding:
        ended = and_(
            RequestRow.desk_rank.in_([desk_rank(state) for state in FINISHED]), RequestRow.state_since < moment, not_(_is_erased())
        )
        requests = self._requests(ended, limit=limit)
        ids = [request.id for request in requests]
        named = exists().where(RequestRow.customer_id == CustomerRow.id, not_(RequestRow.id.in_(ids)), not_(_is_erased()))
        theirs = select(RequestRow.customer_id).where(RequestRow.id.in_(ids))
        customers = frozenset(self._session.scalars(select(CustomerRow.id).where(CustomerRow.id.in_(theirs), not_(named))))
        return Holding(customers, self._vehicles_of(requests), requests)

    def everything(self, holding: Holding) -> Mapping[str, Rows]:
        staff = frozenset(self._session.scalars(select(UserRow.name)))
        return {
            table.name: [without_names(_exported(table, row), staff) for row in rows]
            for table, rows in self._reach(holding)
            if rows and (table.name not in DROPPED or table.name == PhotoRow.__tablename__) and table.name in COLUMNS
        }

    def erase(self, holding: Holding, now: datetime) -> Remains:
        """Every row that the person's keys lead to; mails that have not left are not sent any more."""
        ids = [request.id for request in holding.requests]
        # Held first, so that a photo that is just being added comes before this, or finds the request closed.
        self._session.execute(select(RequestRow.id).where(RequestRow.id.in_(ids)).order_by(RequestRow.id).with_for_update())
        reached = list(self._reach(holding))
        staff, own = frozenset(self._session.scalars(select(UserRow.name))), _own_words(reached)
        photos = tuple(row["name"] for table, rows in reached if table.name == PhotoRow.__tablename__ for row in rows)
        mails = tuple(row["message_id"] for table, rows in reached if table.name == MailRow.__tablename__ for row in rows)
        for table, rows in reversed(reached):
            for row in rows:
                self._erase_row(table, row, staff, own)
        self._session.execute(update(RequestRow).where(RequestRow.id.in_(ids)).values(revision=RequestRow.revision + 1))
        self._session.execute(update(CustomerRow).where(CustomerRow.id.in_(holding.customers)).values(erased_at=now))
        self._session.expire_all()
        return Remains(photos, mails)

    def _erase_row(self, table: Table, row: Mapping[str, Any], staff: frozenset[str], own: frozenset[str]) -> None:
        this = and_(*(column == row[column.name] for column in table.primary_key))
        if table.name in DROPPED or (table.name == MailRow.__tablename__ and row["state"] in _UNSENT):
            self._session.execute(delete(table).where(this))
            return
        changed = {}
        for name, treatment in COLUMNS.get(table.name, {}).items():
            value = erased(table.columns[name], treatment, row, staff, own)
            if value != row[name]:
                changed[name] = value
        if changed:
            self._session.execute(update(table).where(this).values(**changed))

    def _reach(self, holding: Holding) -> Iterator[tuple[Table, Rows]]:
        """Each table with its rows that belong to the person, parents before children."""
        start: dict[str, Collection[int]] = {
            "customers": holding.customers,
            "vehicles": holding.vehicles,
            "requests": [request.id for request in holding.requests],
            "mails": holding.mails,
        }
        keys: dict[str, list[Any]] = {}
        for table in Base.metadata.sorted_tables:
            belongs = [table.primary_key.columns.values()[0].in_(start[table.name])] if start.get(table.name) else []
            if table.name not in {"requests", "vehicles"}:
                belongs += [column.in_(keys[parent]) for column, parent in _parents(table) if keys.get(parent)]
            rows: Rows = [dict(row._mapping) for row in self._session.execute(select(table).where(or_(*belongs)))] if belongs else []
            if len(table.primary_key.columns) == 1:
                keys[table.name] = [row[table.primary_key.columns.values()[0].name] for row in rows]
            yield table, rows

    def _once_under(self, key: str) -> frozenset[int]:
        """Customers who had this address before it was corrected, or before somebody found two to be the same person."""
        written = func.lower(cast(CustomerChangeRow.fields, Text)).contains(key, autoescape=True)
        rows = self._session.execute(select(CustomerChangeRow.customer_id, CustomerChangeRow.fields).where(written))
        return frozenset(customer for customer, fields in rows if key in {str(each).casefold() for each in fields.get("email", ())})

    def _requests(self, condition: Any, *, limit: int | None = None) -> tuple[HeldRequest, ...]:
        statement = select(RequestRow.id, RequestRow.reference, RequestRow.state).where(condition).order_by(RequestRow.id).limit(limit)
        return tuple(HeldRequest(row.id, row.reference, State(row.state)) for row in self._session.execute(statement))

    def _vehicles_of(self, requests: Sequence[HeldRequest]) -> frozenset[int]:
        """Cars that only these requests are about."""
        ids = [request.id for request in requests]
        others = exists().where(RequestRow.vehicle_id == VehicleRow.id, not_(RequestRow.id.in_(ids)), not_(_is_erased()))
        theirs = select(RequestRow.vehicle_id).where(RequestRow.id.in_(ids))
        return frozenset(self._session.scalars(select(VehicleRow.id).where(VehicleRow.id.in_(theirs), not_(others))))


def _is_erased() -> Any:
    return exists().where(EventRow.request_id == RequestRow.id, EventRow.kind == ERASED)


def _parents(table: Table) -> Iterator[tuple[Column[Any], str]]:
    for column in table.columns:
        for key in column.foreign_keys:
            yield column, key.column.table.name


def _own_words(reached: list[tuple[Table, Rows]]) -> frozenset[str]:
    """What the person is known by, in lower case: the values themselves, and each word of a name."""
    words: set[str] = set()
    for table, rows in reached:
        if table.name in {"customers", "vehicles", "requests"}:
            for row in rows:
                given = [row.get(name) for name in ("name", "email", "phone", "company", "plate")]
                given.append((row.get("car") or {}).get("plate"))
                for text in (text.casefold() for text in given if text):
                    words |= {text, *re.findall(r"\w+", text)}
    return frozenset(words)


def _exported(table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
    treatments = COLUMNS[table.name]
    wanted = [column for column in table.columns if treatments.get(column.name) not in _NOT_EXPORTED and column.name != "user_id"]
    return {column.name: _plain(row[column.name]) for column in wanted}


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, (date, datetime)) else value

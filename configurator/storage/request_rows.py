"""Requests as plain values, read column by column: the documents they hold stay in the database."""

from collections.abc import Collection, Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from configurator.domain.money import CURRENCIES
from configurator.storage.models import RequestRow, UserRow

_COLUMNS = (
    RequestRow.id, RequestRow.reference, RequestRow.state, RequestRow.state_since, RequestRow.received_at, RequestRow.answer_due,
    RequestRow.name, RequestRow.company, RequestRow.email, RequestRow.phone, RequestRow.locale, RequestRow.car, RequestRow.body,
    RequestRow.package, RequestRow.edges, RequestRow.region, RequestRow.dates, RequestRow.currency, RequestRow.price_low_minor,
    RequestRow.price_typical_minor, RequestRow.price_high_minor, RequestRow.days_typical, RequestRow.days_high, RequestRow.to_settle,
    RequestRow.to_know, RequestRow.price_book, RequestRow.source, UserRow.name.label("whose"),
)  # fmt: skip


class SqlRequestRows:
    """The rows of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def of(self, ids: Collection[int]) -> Mapping[int, Mapping[str, Any]]:
        statement = select(*_COLUMNS).outerjoin(UserRow, UserRow.id == RequestRow.assigned_to).where(RequestRow.id.in_(ids))
        return {row.id: _plain(row) for row in self._session.execute(statement)}


def _plain(row: Any) -> dict[str, Any]:
    money = {name: _amount(getattr(row, f"price_{name}_minor"), row.currency) for name in ("low", "typical", "high")}
    return {
        "reference": row.reference, "state": row.state, "state_since": row.state_since.isoformat(),
        "received_at": row.received_at.isoformat(), "answer_due": row.answer_due.isoformat(), "assigned_to": row.whose,
        "name": row.name, "company": row.company, "email": row.email, "phone": row.phone, "language": row.locale,
        "car": row.car.get("description", ""), "colour": row.car.get("colour", ""), "plate": row.car.get("plate", ""),
        "body": row.body, "package": row.package, "edges": row.edges, "region": row.region, "dates": " ".join(row.dates),
        "currency": row.currency, **money, "days_typical": row.days_typical, "days_high": row.days_high,
        "cautions_to_settle": row.to_settle, "cautions_to_know": row.to_know, "price_book": row.price_book, "came_from": row.source,
    }  # fmt: skip


def _amount(minor: int, currency: str) -> str:
    """A decimal string with the currency's own number of decimals, as everywhere on the wire."""
    places = CURRENCIES[currency]
    text = f"{abs(minor):0{places + 1}d}"
    sign = "-" if minor < 0 else ""
    return f"{sign}{text[:-places]}.{text[-places:]}" if places else f"{sign}{text}"

"""Firm quotes in the database: the draft, what was sent, and what became of it."""

from datetime import datetime
from typing import Any

from sqlalchemy import func, null, select, update
from sqlalchemy.orm import Session

from configurator.domain.desk import Event, Request
from configurator.domain.inbox import desk_rank
from configurator.domain.quoting import Acceptance, Draft, NewQuote, Quote, QuoteContent
from configurator.domain.review import State
from configurator.storage.models import QuoteDraftRow, QuoteRow, RequestRow
from configurator.storage.requests import SqlRequests, minor
from configurator.storage.typed_json import decode, encode


class SqlQuotes:
    """The quotes of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._requests = SqlRequests(session)

    def draft(self, request_id: int) -> Draft | None:
        """What the desk has written so far."""
        row = self._session.get(QuoteDraftRow, request_id)
        return decode(Draft, row.document) if row is not None else None

    def keep_draft(self, request: Request, draft: Draft, event: Event) -> Request:
        """Keeps the draft with an entry in the history. Raises ChangedMeanwhile."""
        changed = self._requests.edit(request, {}, event)
        row = self._session.get(QuoteDraftRow, request.id)
        values: dict[str, Any] = {"document": encode(draft), "user_id": event.by.id, "at": event.at}
        if row is None:
            self._session.add(QuoteDraftRow(request_id=request.id, **values))
        else:
            for name, value in values.items():
                setattr(row, name, value)
        self._session.flush()
        return changed

    def send(self, request: Request, new: NewQuote) -> Quote:
        """The next version; the ones before are void from now on."""
        older = QuoteRow.request_id == request.id
        version = (self._session.scalar(select(func.max(QuoteRow.version)).where(older)) or 0) + 1
        self._session.execute(update(QuoteRow).where(older, QuoteRow.voided_at.is_(None)).values(voided_at=new.sent_at))
        price = new.content.price
        row = QuoteRow(
            request_id=request.id, version=version, document=encode(new.content), currency=price.currency,
            total_minor=minor(price.total, price.currency), sent_at=new.sent_at, sent_by=new.sent_by, sent_by_name=new.sent_by_name,
            expires_at=new.expires_at, acceptance=null(),
        )  # fmt: skip
        self._session.add(row)
        self._session.execute(update(RequestRow).where(RequestRow.id == request.id).values(quote_expires_at=new.expires_at))
        self._session.flush()
        self._session.refresh(row)
        return to_quote(row)

    def current(self, request_id: int) -> Quote | None:
        """The latest quote."""
        row = self._session.scalar(select(QuoteRow).where(QuoteRow.request_id == request_id).order_by(QuoteRow.version.desc()).limit(1))
        return to_quote(row) if row is not None else None

    def all(self, request_id: int) -> tuple[Quote, ...]:
        """Every quote of a request, the first one first."""
        rows = self._session.scalars(select(QuoteRow).where(QuoteRow.request_id == request_id).order_by(QuoteRow.version))
        return tuple(to_quote(row) for row in rows)

    def mark_opened(self, quote: Quote, now: datetime) -> bool:
        """Notes when the customer first saw it; whether this was the first time."""
        opened = update(QuoteRow).where(QuoteRow.id == quote.id, QuoteRow.opened_at.is_(None)).values(opened_at=now)
        return bool(self._session.execute(opened).rowcount)  # type: ignore[attr-defined]

    def accept(self, quote: Quote, acceptance: Acceptance, now: datetime) -> None:
        """Notes how it was accepted; lamps that were confirmed with it count as confirmed for the work that follows."""
        self._note(quote, accepted_at=now, acceptance=encode(acceptance))
        if acceptance.acknowledged:
            request = self._session.get_one(RequestRow, quote.request_id)
            request.acknowledged = sorted({*request.acknowledged, *acceptance.acknowledged})
            self._session.flush()

    def decline(self, quote: Quote, now: datetime) -> None:
        self._note(quote, declined_at=now)

    def run_out(self, now: datetime, *, limit: int) -> tuple[str, ...]:
        """References of quoted requests whose quote doesn't hold any more, the one that ran out first at the head."""
        quoted = RequestRow.desk_rank == desk_rank(State.QUOTED)
        statement = select(RequestRow.reference).where(quoted, RequestRow.quote_expires_at <= now).order_by(RequestRow.quote_expires_at)
        return tuple(self._session.scalars(statement.limit(limit)))

    def _note(self, quote: Quote, **values: Any) -> None:
        self._session.execute(update(QuoteRow).where(QuoteRow.id == quote.id).values(**values))


def to_quote(row: QuoteRow) -> Quote:
    """The record of a row."""
    return Quote(
        id=row.id,
        request_id=row.request_id,
        version=row.version,
        content=decode(QuoteContent, row.document),
        sent_at=row.sent_at,
        sent_by_name=row.sent_by_name,
        expires_at=row.expires_at,
        opened_at=row.opened_at,
        voided_at=row.voided_at,
        accepted_at=row.accepted_at,
        declined_at=row.declined_at,
        acceptance=decode(Acceptance, row.acceptance) if row.acceptance is not None else None,
    )

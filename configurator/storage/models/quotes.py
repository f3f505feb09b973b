"""Tables of firm quotes: the desk's draft, what was sent, and the visitor's own scope where the desk changed it."""

from datetime import datetime

from sqlalchemy import BigInteger, ForeignKey, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code
from configurator.storage.models.base import Base


class QuoteDraftRow(Base):
    """What the desk has written of a quote that isn't sent yet."""

    __tablename__ = "quote_drafts"

    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"), primary_key=True)
    document: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    at: Mapped[datetime] = mapped_column(UtcDateTime)


class QuoteRow(Base):
    """A quote as it was sent. `acceptance` holds the name that was typed and the texts that were agreed to."""

    __tablename__ = "quotes"
    __table_args__ = (UniqueConstraint("request_id", "version"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"))
    version: Mapped[int] = mapped_column(Integer)
    document: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    currency: Mapped[str] = mapped_column(code(3))
    total_minor: Mapped[int] = mapped_column(BigInteger)
    sent_at: Mapped[datetime] = mapped_column(UtcDateTime)
    sent_by: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    sent_by_name: Mapped[str] = mapped_column(String(120))
    expires_at: Mapped[datetime] = mapped_column(UtcDateTime)
    opened_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    voided_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    accepted_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    declined_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    acceptance: Mapped[dict[str, object] | None] = mapped_column(JsonDocument)


class OriginalScopeRow(Base):
    """A request's selection, estimate and acknowledgements as the visitor sent them."""

    __tablename__ = "original_scopes"

    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"), primary_key=True)
    selection: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    estimate: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    acknowledged: Mapped[list[str]] = mapped_column(JsonDocument)
    kept_at: Mapped[datetime] = mapped_column(UtcDateTime)

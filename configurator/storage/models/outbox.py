"""The outbox, and the sign of life of whoever empties it."""

from datetime import datetime

from sqlalchemy import ForeignKey, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, UtcDateTime, code
from configurator.storage.models.base import Base


class MailRow(Base):
    """A mail to be sent. `state`: waiting, sent or failed (given up); `due_at` is the next try.

    `user_id`: the staff member whose account it is about; no foreign key, since SQLite can't add one to a table that is there.
    """

    __tablename__ = "mails"
    __table_args__ = (Index("ix_mails_due", "state", "due_at", "id"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int | None] = mapped_column(ForeignKey("requests.id"), index=True)
    user_id: Mapped[int | None] = mapped_column(Id)
    kind: Mapped[str] = mapped_column(code())
    recipient: Mapped[str] = mapped_column(String(254))
    locale: Mapped[str] = mapped_column(String(20))
    subject: Mapped[str] = mapped_column(String(300))
    text: Mapped[str] = mapped_column(Text)
    calendar: Mapped[str | None] = mapped_column(Text)
    message_id: Mapped[str] = mapped_column(code(200))
    state: Mapped[str] = mapped_column(code(10))
    tries: Mapped[int] = mapped_column(Integer)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    due_at: Mapped[datetime] = mapped_column(UtcDateTime)
    sent_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    last_error: Mapped[str] = mapped_column(String(300))


class HeartbeatRow(Base):
    """When a background worker last said that it is there."""

    __tablename__ = "heartbeats"

    worker: Mapped[str] = mapped_column(code(), primary_key=True)
    at: Mapped[datetime] = mapped_column(UtcDateTime)

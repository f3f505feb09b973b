"""Tables of the staff: people who may log in, and their sessions."""

from datetime import datetime

from sqlalchemy import Boolean, ForeignKey, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code
from configurator.storage.models.base import Base


class UserRow(Base):
    """A staff member. Secrets that must be known again (TOTP) are derived from the server's key and a nonce kept here."""

    __tablename__ = "users"

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    email: Mapped[str] = mapped_column(code(254), unique=True)
    name: Mapped[str] = mapped_column(String(120))
    role: Mapped[str] = mapped_column(code(20))
    password_hash: Mapped[str | None] = mapped_column(code(200))
    is_active: Mapped[bool] = mapped_column(Boolean)
    language: Mapped[str | None] = mapped_column(String(20))
    keys_on: Mapped[bool] = mapped_column(Boolean)
    failed_tries: Mapped[int] = mapped_column(Integer)
    locked_until: Mapped[datetime | None] = mapped_column(UtcDateTime)
    totp_nonce: Mapped[str | None] = mapped_column(code(64))
    totp_on_since: Mapped[datetime | None] = mapped_column(UtcDateTime)
    totp_last_step: Mapped[int | None] = mapped_column(Integer)
    recovery_hashes: Mapped[list[str]] = mapped_column(JsonDocument)
    pin_hash: Mapped[str | None] = mapped_column(code(200))
    pin_failed_tries: Mapped[int] = mapped_column(Integer)
    pin_locked_until: Mapped[datetime | None] = mapped_column(UtcDateTime)
    reset_nonce: Mapped[str | None] = mapped_column(code(64))
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)


class SessionRow(Base):
    """A session at the desk (`desk`) or of a tablet in the bay (`device`), by the hash of its token."""

    __tablename__ = "sessions"

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    token_hash: Mapped[str] = mapped_column(code(64), unique=True)
    kind: Mapped[str] = mapped_column(code(10))
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"), index=True)
    opened_by: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    label: Mapped[str] = mapped_column(String(80))
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    seen_at: Mapped[datetime] = mapped_column(UtcDateTime)
    expires_at: Mapped[datetime] = mapped_column(UtcDateTime)
    ended_at: Mapped[datetime | None] = mapped_column(UtcDateTime)

"""Tables of the calendar: bookings of bays, blocked time, and addresses for calendar programs."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code
from configurator.storage.models.base import Base


class BookingRow(Base):
    """A request's place: one row for its whole life, so that calendar programs know it again by `uid` and a rising `sequence`.

    `end_at` is the late hand-back: the bay is held up to it. Minutes are lists of [day, minutes].
    """

    __tablename__ = "bookings"
    __table_args__ = (CheckConstraint("start_at < end_at AND typical_end_at <= end_at", name="in_order"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"), unique=True)
    uid: Mapped[str] = mapped_column(code(80), unique=True)
    sequence: Mapped[int] = mapped_column(Integer)
    bay: Mapped[int] = mapped_column(Integer)
    start_at: Mapped[datetime] = mapped_column(UtcDateTime)
    typical_end_at: Mapped[datetime] = mapped_column(UtcDateTime)
    end_at: Mapped[datetime] = mapped_column(UtcDateTime, index=True)
    settles_from: Mapped[datetime | None] = mapped_column(UtcDateTime)
    settles_until: Mapped[datetime | None] = mapped_column(UtcDateTime)
    days_typical: Mapped[int] = mapped_column(Integer)
    days_high: Mapped[int] = mapped_column(Integer)
    installer_minutes: Mapped[list[tuple[str, float]]] = mapped_column(JsonDocument)
    assembler_minutes: Mapped[list[tuple[str, float]]] = mapped_column(JsonDocument)
    made_at: Mapped[datetime] = mapped_column(UtcDateTime)
    changed_at: Mapped[datetime] = mapped_column(UtcDateTime)
    released_at: Mapped[datetime | None] = mapped_column(UtcDateTime)


class BlockRow(Base):
    """A bay that can't be used for a while, or a person who isn't in; `person` is a name of the price book."""

    __tablename__ = "blocks"
    __table_args__ = (CheckConstraint("start_at < end_at AND (bay IS NULL) <> (person = '')", name="bay_or_person"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    bay: Mapped[int | None] = mapped_column(Integer)
    person: Mapped[str] = mapped_column(String(120))
    start_at: Mapped[datetime] = mapped_column(UtcDateTime)
    end_at: Mapped[datetime] = mapped_column(UtcDateTime, index=True)
    reason: Mapped[str] = mapped_column(String(200))
    made_by: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    made_at: Mapped[datetime] = mapped_column(UtcDateTime)
    removed_at: Mapped[datetime | None] = mapped_column(UtcDateTime)


class FeedRow(Base):
    """The address under which a staff member's calendar program reads the calendar: its token is never stored, only its hash."""

    __tablename__ = "calendar_feeds"

    user_id: Mapped[int] = mapped_column(ForeignKey("users.id"), primary_key=True, autoincrement=False)
    nonce: Mapped[str] = mapped_column(code(64))
    token_hash: Mapped[str] = mapped_column(code(64), unique=True)
    made_at: Mapped[datetime] = mapped_column(UtcDateTime)

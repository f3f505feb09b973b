"""Tables of the bay: a job per checked-in car, its tasks with their timers, ticks, boxes of film, remakes, and what became of it."""

from datetime import datetime

from sqlalchemy import Boolean, Float, ForeignKey, Index, Integer, String, Text, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code
from configurator.storage.models.base import Base


class BayJobRow(Base):
    """A car from check-in to hand-over. `check_in` holds what the customer signed; `cut_plan` is long and read only when asked for."""

    __tablename__ = "bay_jobs"

    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"), primary_key=True, autoincrement=False)
    body: Mapped[str] = mapped_column(code())
    edges: Mapped[str] = mapped_column(code())
    price_book: Mapped[str] = mapped_column(String(60))
    selection: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    check_in: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    rolls: Mapped[list[dict[str, object]]] = mapped_column(JsonDocument)
    seams: Mapped[list[dict[str, object]]] = mapped_column(JsonDocument)
    cut_plan: Mapped[dict[str, object]] = mapped_column(JsonDocument, deferred=True)
    coverage: Mapped[dict[str, object] | None] = mapped_column(JsonDocument, deferred=True)
    opened_at: Mapped[datetime] = mapped_column(UtcDateTime)
    closed_at: Mapped[datetime | None] = mapped_column(UtcDateTime, index=True)


class BayTaskRow(Base):
    """A task of a work order with what it really took. `body` stands here too, so that the last time is found by one index."""

    __tablename__ = "bay_tasks"
    __table_args__ = (
        UniqueConstraint("request_id", "key"),
        Index("ix_bay_tasks_last_time", "body", "kind", "panel", "finished_at"),
    )

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("bay_jobs.request_id"))
    key: Mapped[str] = mapped_column(code(80))
    place: Mapped[int] = mapped_column(Integer)
    body: Mapped[str] = mapped_column(code())
    kind: Mapped[str] = mapped_column(code())
    panel: Mapped[str | None] = mapped_column(code(80))
    part: Mapped[str | None] = mapped_column(code())
    bag: Mapped[int] = mapped_column(Integer)
    role: Mapped[str | None] = mapped_column(code(20))
    zone: Mapped[str] = mapped_column(code(20))
    after: Mapped[list[str]] = mapped_column(JsonDocument)
    least: Mapped[float] = mapped_column(Float)
    usual: Mapped[float] = mapped_column(Float)
    most: Mapped[float] = mapped_column(Float)
    planned: Mapped[float] = mapped_column(Float)
    steps: Mapped[list[dict[str, object]]] = mapped_column(JsonDocument)
    laid: Mapped[dict[str, object] | None] = mapped_column(JsonDocument)
    state: Mapped[str] = mapped_column(code(10))
    minutes: Mapped[float | None] = mapped_column(Float)
    finished_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    finished_by: Mapped[str] = mapped_column(String(120))
    finished_by_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    reason: Mapped[str] = mapped_column(Text)
    clips: Mapped[int] = mapped_column(Integer)


class BayTimerRow(Base):
    """A stretch of one person's work on a task. The index lets nobody run two timers on one task."""

    __tablename__ = "bay_timers"
    __table_args__ = (
        Index(
            "uq_bay_timers_running",
            "task_id",
            "user_id",
            unique=True,
            sqlite_where=text("stopped_at IS NULL"),
            postgresql_where=text("stopped_at IS NULL"),
        ),
    )

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    task_id: Mapped[int] = mapped_column(ForeignKey("bay_tasks.id"), index=True)
    user_id: Mapped[int] = mapped_column(ForeignKey("users.id"))
    name: Mapped[str] = mapped_column(String(120))
    started_at: Mapped[datetime] = mapped_column(UtcDateTime)
    stopped_at: Mapped[datetime | None] = mapped_column(UtcDateTime)


class BayMarkRow(Base):
    """A tick: a check, a signature, a piece that is cut, a seam that is closed."""

    __tablename__ = "bay_marks"

    request_id: Mapped[int] = mapped_column(ForeignKey("bay_jobs.request_id"), primary_key=True)
    kind: Mapped[str] = mapped_column(code(20), primary_key=True)
    key: Mapped[str] = mapped_column(code(120), primary_key=True)
    is_good: Mapped[bool] = mapped_column(Boolean)
    note: Mapped[str] = mapped_column(Text)
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    name: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(UtcDateTime)


class BayBoxRow(Base):
    """A box of film that was opened. `entry` comes with the form, so that a form sent twice counts once."""

    __tablename__ = "bay_boxes"
    __table_args__ = (UniqueConstraint("request_id", "entry"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("bay_jobs.request_id"))
    entry: Mapped[str] = mapped_column(code(64))
    film: Mapped[str] = mapped_column(code())
    roll_width_mm: Mapped[float] = mapped_column(Float)
    batch: Mapped[str] = mapped_column(String(60))
    metres: Mapped[float] = mapped_column(Float)
    offcut_m: Mapped[float] = mapped_column(Float)
    panels: Mapped[list[str]] = mapped_column(JsonDocument)
    by: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(UtcDateTime)


class BayRemakeRow(Base):
    """A piece that was cut again. `entry` as with boxes."""

    __tablename__ = "bay_remakes"
    __table_args__ = (UniqueConstraint("request_id", "entry"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("bay_jobs.request_id"))
    entry: Mapped[str] = mapped_column(code(64))
    piece: Mapped[str] = mapped_column(code(120))
    panel: Mapped[str] = mapped_column(code(80))
    film: Mapped[str] = mapped_column(code())
    metres: Mapped[float] = mapped_column(Float)
    reason: Mapped[str] = mapped_column(code(20))
    by: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(UtcDateTime)


class FollowUpRow(Base):
    """A request that came out of a coverage record: which panel of which job, to be replaced or claimed, and what happened to it."""

    __tablename__ = "follow_ups"

    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"), primary_key=True, autoincrement=False)
    origin_id: Mapped[int] = mapped_column(ForeignKey("bay_jobs.request_id"), index=True)
    panel: Mapped[str] = mapped_column(code(80))
    kind: Mapped[str] = mapped_column(code(20))
    film: Mapped[str] = mapped_column(code())
    batches: Mapped[list[str]] = mapped_column(JsonDocument)

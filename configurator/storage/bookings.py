"""Bookings of bays in the database. Whoever places something does so alone (`SqlBookings.alone`), so no place is given twice."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any
from uuid import uuid4

from sqlalchemy import Row, Select, and_, func, or_, select, text
from sqlalchemy.orm import Session

from configurator.domain.agenda import Agenda, Taken, Today
from configurator.domain.appointments import BookedJob, KeptBooking, Place, WaitingJob
from configurator.domain.desk import Request
from configurator.domain.review import CarWords, State
from configurator.domain.timeline import Booking
from configurator.storage.blocks import SqlBlocks
from configurator.storage.models import BookingRow, EventRow, RequestRow

PLACING_LOCK = 7_240_004
"""Any number of our own: PostgreSQL's advisory lock that everybody takes who places something."""

HOLDING = (State.ACCEPTED, State.SCHEDULED, State.IN_BAY, State.HANDED_OVER)
"""States in which a booking counts."""

_OF_BOOKING = tuple(BookingRow.__table__.columns)
_OF_REQUEST = (
    RequestRow.reference, RequestRow.state, RequestRow.state_since, RequestRow.name, RequestRow.car, RequestRow.body, RequestRow.package,
    RequestRow.edges,
)  # fmt: skip
"""Columns, not rows of the session: its memory of a row read before the lock would hide what others have changed since, and a
request's estimate weighs a hundred times what is needed here."""


class SqlBookings:
    """The bookings of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def alone(self) -> None:
        """Waits until nobody else places anything, and keeps it so until the transaction ends.

        SQLite: a writing transaction is alone anyway (BEGIN IMMEDIATE). PostgreSQL: an advisory lock of the transaction. A bay
        could be guarded by an exclusion constraint, but that the hands of a day suffice is a sum over rows, which no constraint
        can hold; and serializable transactions would fail by chance where these wait a few milliseconds.
        """
        if self._session.get_bind().dialect.name == "postgresql":
            self._session.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": PLACING_LOCK})

    def of(self, request: Request) -> KeptBooking | None:
        row = self._row(request)
        return _to_booking(row) if row else None

    def keep(self, request: Request, place: Place, now: datetime) -> KeptBooking:
        """Books a place, or moves the booking there; the row, its uid and the count of its changes stay."""
        row = self._row(request)
        if row is None:
            row = BookingRow(request_id=request.id, uid=str(uuid4()), sequence=-1, made_at=now)
            self._session.add(row)
        row.sequence += 1
        row.changed_at, row.released_at = now, None
        for name, value in _columns(place).items():
            setattr(row, name, value)
        self._session.flush()
        return _to_booking(row)

    def release(self, request: Request, now: datetime) -> KeptBooking | None:
        row = self._row(request)
        if row is None or row.released_at is not None:
            return None
        row.sequence += 1
        row.changed_at = row.released_at = now
        self._session.flush()
        return _to_booking(row)

    def agenda(self, today: Today) -> Agenda:
        jobs = self._jobs(_holding(today.start), today.start, today)
        taken = tuple(Taken(job.reference, job.booking.place.booking) for job in jobs)
        return Agenda(taken, tuple(SqlBlocks(self._session).between(today.start, None)))

    def stamp(self) -> int:
        return self._session.scalar(select(func.max(EventRow.id))) or 0

    def jobs(self, start: datetime, end: datetime, today: Today) -> Sequence[BookedJob]:
        return self._jobs(_holding(start).where(BookingRow.start_at < end), start, today)

    def waiting(self) -> Sequence[WaitingJob]:
        statement = (
            select(*_OF_REQUEST, *_OF_BOOKING)
            .outerjoin(BookingRow, and_(BookingRow.request_id == RequestRow.id, BookingRow.released_at.is_(None)))
            .where(RequestRow.state == State.ACCEPTED.value)
            .order_by(RequestRow.state_since, RequestRow.id)
        )
        return tuple(_to_waiting(row) for row in self._session.execute(statement))

    def _jobs(self, statement: Select[Any], since: datetime, today: Today) -> tuple[BookedJob, ...]:
        found = (_to_job(row, today) for row in self._session.execute(statement))
        return tuple(job for job in found if job.booking.place.late_end > max(since, job.booking.place.drop_off))

    def _row(self, request: Request) -> BookingRow | None:
        statement = select(BookingRow).where(BookingRow.request_id == request.id)
        return self._session.scalar(statement.execution_options(populate_existing=True))


def _holding(since: datetime) -> Select[Any]:
    """What may still hold something after `since`: what is booked so long, and cars that are in the bay however long that was."""
    return (
        select(*_OF_REQUEST, *_OF_BOOKING)
        .select_from(BookingRow)
        .join(RequestRow, RequestRow.id == BookingRow.request_id)
        .where(or_(BookingRow.end_at > since, RequestRow.state == State.IN_BAY.value))
        .where(BookingRow.released_at.is_(None), RequestRow.state.in_([state.value for state in HOLDING]))
        .order_by(BookingRow.start_at, BookingRow.bay, BookingRow.id)
    )


def _columns(place: Place) -> dict[str, object]:
    settles_from, settles_until = place.settles or (None, None)
    return {
        "bay": place.bay,
        "start_at": place.drop_off,
        "typical_end_at": place.typical_end,
        "end_at": place.late_end,
        "settles_from": settles_from,
        "settles_until": settles_until,
        "days_typical": place.days_typical,
        "days_high": place.days_high,
        "installer_minutes": _written(place.booking.installer_minutes),
        "assembler_minutes": _written(place.booking.assembler_minutes),
    }


def _written(minutes: Iterable[tuple[date, float]]) -> list[tuple[str, float]]:
    return [(day.isoformat(), spent) for day, spent in minutes]


def _read(minutes: Iterable[tuple[str, float]]) -> tuple[tuple[date, float], ...]:
    return tuple((date.fromisoformat(day), float(spent)) for day, spent in minutes)


def _ends(row: Row[Any], today: Today) -> datetime:
    """Until when the bay is really held: a car that was handed over has left it, one that should have left and hasn't is still there."""
    booked: datetime = row.end_at
    moved: datetime = row.state_since
    if row.state == State.HANDED_OVER.value:
        return min(booked, moved)
    return today.end if _is_overdue(row, today) else booked


def _is_overdue(row: Row[Any], today: Today) -> bool:
    return bool(row.state == State.IN_BAY.value and row.end_at <= today.now)


def _to_booking(row: BookingRow | Row[Any], end: datetime | None = None) -> KeptBooking:
    settles = (row.settles_from, row.settles_until) if row.settles_from and row.settles_until else None
    booking = Booking(row.bay, row.start_at, end or row.end_at, _read(row.installer_minutes), _read(row.assembler_minutes))
    return KeptBooking(
        request_id=row.request_id,
        uid=row.uid,
        sequence=row.sequence,
        place=Place(booking, min(row.typical_end_at, booking.end), row.days_typical, row.days_high, settles),
        made_at=row.made_at,
        changed_at=row.changed_at,
        released_at=row.released_at,
    )


def _to_job(row: Row[Any], today: Today) -> BookedJob:
    return BookedJob(
        booking=_to_booking(row, max(_ends(row, today), row.start_at)),
        state=State(row.state),
        is_overdue=_is_overdue(row, today),
        **_shown(row),
    )


def _to_waiting(row: Row[Any]) -> WaitingJob:
    return WaitingJob(since=row.state_since, held=_to_booking(row) if row.uid else None, **_shown(row))


def _shown(row: Row[Any]) -> dict[str, Any]:
    """What the calendar shows of a request."""
    return {
        "reference": row.reference,
        "name": row.name,
        "car": CarWords(**row.car),
        "body": row.body,
        "package": row.package,
        "edges": row.edges,
    }

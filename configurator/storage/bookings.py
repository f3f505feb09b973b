"""Bookings of bays in the database. Whoever places something does so alone (`SqlBookings.alone`), so no place is given twice."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from uuid import uuid4

from sqlalchemy import Select, and_, case, select, text
from sqlalchemy.orm import Session

from configurator.domain.agenda import Agenda, Taken
from configurator.domain.appointments import BookedJob, KeptBooking, Place, WaitingJob
from configurator.domain.desk import Request
from configurator.domain.review import CarWords, State
from configurator.domain.timeline import Booking
from configurator.storage.blocks import SqlBlocks
from configurator.storage.models import BookingRow, RequestRow

PLACING_LOCK = 7_240_004
"""Any number of our own: PostgreSQL's advisory lock that everybody takes who places something."""

HOLDING = (State.ACCEPTED, State.SCHEDULED, State.IN_BAY, State.HANDED_OVER)
"""States in which a booking counts. A car that was handed over has left its bay, however long that was booked."""

_ENDS = case(
    (and_(RequestRow.state == State.HANDED_OVER.value, RequestRow.state_since < BookingRow.end_at), RequestRow.state_since),
    else_=BookingRow.end_at,
)


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

    def agenda(self, since: datetime) -> Agenda:
        jobs = self._jobs(_holding(since))
        taken = tuple(Taken(job.reference, job.booking.place.booking) for job in jobs)
        return Agenda(taken, tuple(SqlBlocks(self._session).between(since, None)))

    def jobs(self, start: datetime, end: datetime) -> Sequence[BookedJob]:
        return self._jobs(_holding(start).where(BookingRow.start_at < end))

    def waiting(self) -> Sequence[WaitingJob]:
        statement = (
            select(RequestRow, BookingRow)
            .outerjoin(BookingRow, and_(BookingRow.request_id == RequestRow.id, BookingRow.released_at.is_(None)))
            .where(RequestRow.state == State.ACCEPTED.value)
            .order_by(RequestRow.state_since, RequestRow.id)
        )
        return tuple(_to_waiting(request, booking) for request, booking in self._session.execute(statement))

    def _jobs(self, statement: Select[BookingRow, RequestRow, datetime]) -> tuple[BookedJob, ...]:
        return tuple(_to_job(row, request, end) for row, request, end in self._session.execute(statement))

    def _row(self, request: Request) -> BookingRow | None:
        return self._session.scalar(select(BookingRow).where(BookingRow.request_id == request.id))


def _holding(since: datetime) -> Select[BookingRow, RequestRow, datetime]:
    """What still holds something after `since`. `end_at` is asked as well, since that is what the index knows."""
    return (
        select(BookingRow, RequestRow, _ENDS)
        .join(RequestRow, RequestRow.id == BookingRow.request_id)
        .where(BookingRow.end_at > since, since < _ENDS)
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


def _to_booking(row: BookingRow, end: datetime | None = None) -> KeptBooking:
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


def _to_job(row: BookingRow, request: RequestRow, end: datetime) -> BookedJob:
    return BookedJob(
        booking=_to_booking(row, max(end, row.start_at)),
        reference=request.reference,
        state=State(request.state),
        name=request.name,
        car=CarWords(**request.car),
        body=request.body,
        package=request.package,
        edges=request.edges,
    )


def _to_waiting(request: RequestRow, booking: BookingRow | None) -> WaitingJob:
    return WaitingJob(
        reference=request.reference,
        since=request.state_since,
        name=request.name,
        car=CarWords(**request.car),
        body=request.body,
        package=request.package,
        edges=request.edges,
        held=_to_booking(booking) if booking else None,
    )

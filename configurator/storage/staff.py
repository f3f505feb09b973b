"""Staff members and their sessions in the database."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import func, or_, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from configurator.domain.desk import Event
from configurator.domain.review import Actor
from configurator.domain.staff import Credentials, SessionKind, StaffSession, User
from configurator.services.ports import AlreadyThere
from configurator.storage.models import EventRow, SessionRow, UserRow
from configurator.storage.requests import to_event


class SqlUsers:
    """The staff of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def add(self, *, email: str, name: str, role: Actor, password_hash: str | None, now: datetime) -> User:
        """A new staff member. Raises AlreadyThere for an e-mail address that is taken."""
        row = UserRow(
            email=email.casefold(), name=name, role=role.value, password_hash=password_hash, is_active=True, language=None, keys_on=True,
            failed_tries=0, recovery_hashes=[], pin_failed_tries=0, created_at=now,
        )  # fmt: skip
        self._session.add(row)
        try:
            self._session.flush()
        except IntegrityError as error:
            raise AlreadyThere("email") from error
        return to_user(row)

    def all(self) -> Sequence[User]:
        """Everybody, by name."""
        return tuple(to_user(row) for row in self._session.scalars(select(UserRow).order_by(func.lower(UserRow.name), UserRow.id)))

    def count(self) -> int:
        return self._session.scalar(select(func.count()).select_from(UserRow)) or 0

    def by_id(self, user_id: int) -> User | None:
        row = self._session.get(UserRow, user_id)
        return to_user(row) if row else None

    def credentials(self, email: str) -> Credentials | None:
        """What logging in checks, for an e-mail address."""
        return self._credentials(UserRow.email == email.strip().casefold())

    def credentials_of(self, user_id: int, *, to_use: bool = False) -> Credentials | None:
        """The same by id; `to_use` locks them until the transaction ends."""
        return self._credentials(UserRow.id == user_id, to_use=to_use)

    def set(self, user_id: int, **values: Any) -> None:
        """Writes columns of one staff member."""
        self._session.execute(update(UserRow).where(UserRow.id == user_id).values(**values))

    def active_owners(self) -> frozenset[int]:
        """Who can still do everything, locked so that two owners can't shut each other out at the same moment."""
        owners = select(UserRow.id).where(UserRow.role == Actor.OWNER.value, UserRow.is_active).order_by(UserRow.id).with_for_update()
        return frozenset(self._session.scalars(owners))

    def last_seen(self) -> Mapping[int, datetime]:
        """When each of them last used a session."""
        seen = select(SessionRow.user_id, func.max(SessionRow.seen_at)).where(SessionRow.user_id.is_not(None)).group_by(SessionRow.user_id)
        return {user_id: at for user_id, at in self._session.execute(seen) if user_id is not None}

    def lately(self, kinds: Collection[str], limit: int) -> Sequence[Event]:
        """Entries of these kinds in the shop's own history (no request's), newest first."""
        newest = select(EventRow).where(EventRow.request_id.is_(None), EventRow.kind.in_(kinds)).order_by(EventRow.id.desc()).limit(limit)
        return tuple(to_event(row) for row in self._session.scalars(newest))

    def _credentials(self, condition: Any, *, to_use: bool = False) -> Credentials | None:
        statement = select(UserRow).where(condition).execution_options(populate_existing=True)
        row = self._session.scalar(statement.with_for_update() if to_use else statement)
        if row is None:
            return None
        return Credentials(
            user=to_user(row),
            password_hash=row.password_hash,
            failed_tries=row.failed_tries,
            locked_until=row.locked_until,
            totp_nonce=row.totp_nonce,
            totp_on=row.totp_on_since is not None,
            totp_last_step=row.totp_last_step,
            recovery_hashes=tuple(row.recovery_hashes),
            pin_hash=row.pin_hash,
            pin_failed_tries=row.pin_failed_tries,
            pin_locked_until=row.pin_locked_until,
            reset_nonce=row.reset_nonce,
        )


class SqlSessions:
    """The staff sessions of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def add(
        self, *, token_hash: str, kind: str, user_id: int | None, opened_by: int | None, label: str, now: datetime, expires_at: datetime
    ) -> None:
        """Opens a session."""
        row = SessionRow(token_hash=token_hash, kind=kind, user_id=user_id, opened_by=opened_by, label=label)
        row.created_at, row.seen_at, row.expires_at = now, now, expires_at
        self._session.add(row)

    def live(self, token_hash: str, now: datetime, idle_since: datetime) -> StaffSession | None:
        """The session of a token, if it has neither ended nor run out, nor lain idle, and its user is still active."""
        statement = (
            select(SessionRow, UserRow)
            .outerjoin(UserRow, UserRow.id == SessionRow.user_id)
            .where(
                SessionRow.token_hash == token_hash,
                SessionRow.ended_at.is_(None),
                SessionRow.expires_at > now,
                or_(SessionRow.seen_at > idle_since, SessionRow.kind == SessionKind.DEVICE.value),
                or_(SessionRow.user_id.is_(None), UserRow.is_active),
            )
        )
        found = self._session.execute(statement).first()
        return _to_session(*found) if found else None

    def seen(self, session_id: int, now: datetime) -> None:
        self._session.execute(update(SessionRow).where(SessionRow.id == session_id).values(seen_at=now))

    def set_user(self, session_id: int, user_id: int | None) -> None:
        """Whose hands hold a bay tablet now."""
        self._session.execute(update(SessionRow).where(SessionRow.id == session_id).values(user_id=user_id))

    def end(self, session_id: int, now: datetime) -> None:
        self._session.execute(update(SessionRow).where(SessionRow.id == session_id, SessionRow.ended_at.is_(None)).values(ended_at=now))

    def end_all_of(self, user_id: int, now: datetime, *, but: int | None = None) -> None:
        """Ends every desk session of a staff member, except one."""
        mine = update(SessionRow).where(
            SessionRow.user_id == user_id, SessionRow.kind == SessionKind.DESK.value, SessionRow.ended_at.is_(None)
        )
        self._session.execute((mine.where(SessionRow.id != but) if but is not None else mine).values(ended_at=now))

    def of_user(self, user_id: int, now: datetime, idle_since: datetime) -> Sequence[StaffSession]:
        """A staff member's live desk sessions, latest used first."""
        mine = (
            SessionRow.user_id == user_id, SessionRow.kind == SessionKind.DESK.value, SessionRow.ended_at.is_(None),
            SessionRow.expires_at > now, SessionRow.seen_at > idle_since,
        )  # fmt: skip
        found = select(SessionRow, UserRow).join(UserRow, UserRow.id == SessionRow.user_id).where(*mine)
        rows = self._session.execute(found.order_by(SessionRow.seen_at.desc(), SessionRow.id.desc()))
        return tuple(_to_session(*row) for row in rows)

    def release(self, user_id: int) -> None:
        """Takes bay tablets out of this person's hands."""
        held = update(SessionRow).where(SessionRow.user_id == user_id, SessionRow.kind == SessionKind.DEVICE.value)
        self._session.execute(held.values(user_id=None))

    def open_devices(self, now: datetime) -> Sequence[StaffSession]:
        """Bay tablets with an open session, newest first."""
        statement = (
            select(SessionRow, UserRow)
            .outerjoin(UserRow, UserRow.id == SessionRow.user_id)
            .where(SessionRow.kind == SessionKind.DEVICE.value, SessionRow.ended_at.is_(None), SessionRow.expires_at > now)
            .order_by(SessionRow.id.desc())
        )
        return tuple(_to_session(*found) for found in self._session.execute(statement))


def to_user(row: UserRow) -> User:
    """The record of a row, without its secrets."""
    return User(
        id=row.id,
        email=row.email,
        name=row.name,
        role=Actor(row.role),
        is_active=row.is_active,
        language=row.language,
        keys_on=row.keys_on,
        has_password=row.password_hash is not None,
        has_second_factor=row.totp_on_since is not None,
        has_pin=row.pin_hash is not None,
    )


def _to_session(row: SessionRow, user: UserRow | None) -> StaffSession:
    kind = SessionKind(row.kind)
    return StaffSession(
        id=row.id,
        kind=kind,
        user=replace(to_user(user), on_tablet=kind is SessionKind.DEVICE) if user else None,
        label=row.label,
        created_at=row.created_at,
        seen_at=row.seen_at,
        expires_at=row.expires_at,
    )

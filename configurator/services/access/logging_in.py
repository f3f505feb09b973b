"""Staff log-in: password, second factor, lock-out, and the sessions that follow."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial

from configurator.domain.desk import Event, Person
from configurator.domain.staff import Credentials, SessionKind, StaffSession, User
from configurator.errors import TucklineError
from configurator.services.access import one_time_codes, passwords
from configurator.services.access.locking import locked_until
from configurator.services.links import Links, new_token, token_hash
from configurator.services.ports import Clock, Store, Work

IDLE = timedelta(hours=2)
SEEN_EVERY = timedelta(minutes=1)
"""A session's last use is written at most this often: a page view should not be a write."""


class LogInRefused(TucklineError):
    """Wrong address, password or code, or locked for now: on purpose one and the same."""

    code = "log_in_refused"


@dataclass(frozen=True)
class Opened:
    """A fresh session: its token (for the cookie alone) and until when it lasts at most."""

    token: str
    user: User
    expires_at: datetime


@dataclass(frozen=True)
class CodeWanted:
    """The password was right; the second factor is still to come."""

    user_id: int


@dataclass(frozen=True)
class Doorkeeper:
    """What logging in works with."""

    store: Store
    clock: Clock
    links: Links
    session_hours: int


def log_in(email: str, password: str, door: Doorkeeper, *, label: str = "") -> Opened | CodeWanted:
    """Opens a session, or asks for the second factor. Raises LogInRefused; wrong tries count and lock for a while."""
    with door.store.reading() as work:
        found = work.users.credentials(email)
    right = passwords.is_right(password, found.password_hash if found else None)
    if found is None:
        raise LogInRefused
    if not _may_try(found, door.clock()) or not right or not found.user.is_active:
        _count_wrong_try(found.user, door)
        raise LogInRefused
    if found.password_hash and passwords.is_outdated(found.password_hash):
        with door.store.writing() as work:
            work.users.set(found.user.id, password_hash=passwords.hash_password(password))
    return CodeWanted(found.user.id) if found.totp_on else _open(found.user, door, label=label)


def log_in_with_code(user_id: int, code: str, door: Doorkeeper, *, label: str = "") -> Opened:
    """The second step: an authenticator's code, or a recovery code that is used up by it. Raises LogInRefused."""
    with door.store.writing() as work:
        found = work.users.credentials_of(user_id, to_use=True)
        right = found is not None and _may_try(found, door.clock()) and found.user.is_active and _use_code(found, code, work, door)
    if found is None or not right:
        if found is not None:
            _count_wrong_try(found.user, door)
        raise LogInRefused
    return _open(found.user, door, label=label)


def log_out(session: StaffSession, door: Doorkeeper) -> None:
    """Ends the session on the server, whatever becomes of the cookie."""
    with door.store.writing() as work:
        work.sessions.end(session.id, door.clock())


def session_of(token: str, door: Doorkeeper) -> StaffSession | None:
    """The live session of a token."""
    now = door.clock()
    with door.store.reading() as work:
        return work.sessions.live(token_hash(token), now, now - IDLE)


def note_use(session: StaffSession, door: Doorkeeper) -> None:
    """Somebody is there: the session's time of lying idle begins anew."""
    if door.clock() - session.seen_at >= SEEN_EVERY:
        with door.store.writing() as work:
            work.sessions.seen(session.id, door.clock())


def _may_try(found: Credentials, now: datetime) -> bool:
    return found.locked_until is None or found.locked_until <= now


def _count_wrong_try(user: User, door: Doorkeeper) -> None:
    now = door.clock()
    with door.store.writing() as work:
        found = work.users.credentials_of(user.id, to_use=True)
        if found is None or not _may_try(found, now):
            return
        tries = found.failed_tries + 1
        work.users.set(user.id, failed_tries=tries, locked_until=locked_until(tries, now))
        work.requests.record(None, Event(at=now, by=_person(user), kind="log_in_refused", facts={"tries": tries}))


def _use_code(found: Credentials, code: str, work: Work, door: Doorkeeper) -> bool:
    if found.totp_nonce is None:
        return False
    secret = one_time_codes.secret_for(door.links, found.totp_nonce)
    step = one_time_codes.matching_step(secret, code, door.clock(), after=found.totp_last_step)
    if step is not None:
        work.users.set(found.user.id, totp_last_step=step)
        return True
    used = one_time_codes.recovery_hash(code)
    if used in found.recovery_hashes:
        work.users.set(found.user.id, recovery_hashes=[kept for kept in found.recovery_hashes if kept != used])
        return True
    return False


def _open(user: User, door: Doorkeeper, *, label: str) -> Opened:
    now, token = door.clock(), new_token()
    expires_at = now + timedelta(hours=door.session_hours)
    with door.store.writing() as work:
        work.users.set(user.id, failed_tries=0, locked_until=None)
        add = partial(work.sessions.add, token_hash=token_hash(token), kind=SessionKind.DESK.value, user_id=user.id, opened_by=None)
        add(label=label[:80], now=now, expires_at=expires_at)
        work.requests.record(None, Event(at=now, by=_person(user), kind="logged_in"))
    return Opened(token, user, expires_at)


def _person(user: User) -> Person:
    return Person(user.role, user.id, user.name)

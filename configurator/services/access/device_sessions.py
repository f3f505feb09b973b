"""Shared tablets in the bay: opened by an owner, held by whoever typed their PIN, handed back after a while of nothing."""

from dataclasses import replace
from datetime import timedelta

from configurator.domain.desk import Event, Person
from configurator.domain.staff import SessionKind, StaffSession, User
from configurator.errors import Fault, InvalidInput
from configurator.services.access import pins
from configurator.services.access.logging_in import Doorkeeper, LogInRefused, Opened
from configurator.services.access.password_reset import person_of
from configurator.services.contacts import checked_text
from configurator.services.links import new_token, token_hash

LASTS = timedelta(days=90)
"""A tablet's own session; an owner can end it at any moment."""
HANDS_IDLE = timedelta(minutes=15)
"""Nobody touches it for this long: it is handed back, and the next one types a PIN."""
LONGEST_LABEL = 60


def open_device(owner: User, session: StaffSession, label: str, door: Doorkeeper) -> Opened:
    """Makes the browser at hand a bay tablet: the owner's own session on it ends. Raises InvalidInput (`label`)."""
    faults: list[Fault] = []
    tidy = checked_text(label, "label", faults, longest=LONGEST_LABEL, required=True)
    if faults:
        raise InvalidInput(faults)
    now, token = door.clock(), new_token()
    with door.store.writing() as work:
        work.sessions.end(session.id, now)
        work.sessions.add(
            token_hash=token_hash(token), kind=SessionKind.DEVICE.value, user_id=None, opened_by=owner.id, label=tidy, now=now,
            expires_at=now + LASTS,
        )  # fmt: skip
        work.requests.record(None, Event(at=now, by=person_of(owner), kind="device_opened", facts={"label": tidy}))
    return Opened(token, owner, now + LASTS)


def pick_up(session: StaffSession, user_id: int, pin: str, door: Doorkeeper) -> User:
    """Whoever picked this name holds the tablet, if the PIN is theirs. Raises LogInRefused: a wrong name, PIN or moment look the same."""
    with door.store.reading() as work:
        found = work.users.credentials_of(user_id)
    right = pins.fits(found, pin, door)
    with door.store.writing() as work:
        if found is not None and right:
            work.users.set(user_id, pin_failed_tries=0, pin_locked_until=None)
            work.sessions.set_user(session.id, user_id)
            work.sessions.seen(session.id, door.clock())
            event = Event(at=door.clock(), by=person_of(found.user), kind="device_picked_up", facts={"label": session.label})
            work.requests.record(None, event)
        elif (now_found := work.users.credentials_of(user_id, to_use=True)) is not None:
            pins.count_wrong_try(now_found, work, door)
    if found is None or not right:
        raise LogInRefused
    return replace(found.user, on_tablet=True)


def hand_back(session: StaffSession, door: Doorkeeper) -> None:
    """Nobody holds it any more; the tablet stays open for the next one."""
    with door.store.writing() as work:
        work.sessions.set_user(session.id, None)


def after_idling(session: StaffSession, door: Doorkeeper) -> StaffSession:
    """The session as it is now: out of the hands that left it lying."""
    if session.user is None or door.clock() - session.seen_at < HANDS_IDLE:
        return session
    hand_back(session, door)
    return replace(session, user=None)


def end_device(session_id: int, by: Person, door: Doorkeeper) -> None:
    """The tablet is an ordinary browser again, wherever it lies."""
    with door.store.writing() as work:
        device = next((one for one in work.sessions.open_devices(door.clock()) if one.id == session_id), None)
        if device is not None:
            work.sessions.end(device.id, door.clock())
            work.requests.record(None, Event(at=door.clock(), by=by, kind="device_ended", facts={"label": device.label}))

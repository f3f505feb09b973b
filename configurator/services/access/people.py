"""The staff as the owner keeps it: invite, give another role, shut out; one's own password."""

from datetime import datetime

from email_validator import EmailNotValidError, validate_email

from configurator.domain.desk import Event, Person
from configurator.domain.message import Fact
from configurator.domain.review import Actor
from configurator.domain.staff import STAFF_ROLES, StaffSession, User
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.access.account_links import Purpose
from configurator.services.access.logging_in import Doorkeeper
from configurator.services.access.password_reset import send_link
from configurator.services.access.passwords import checked_password, hash_password, is_right
from configurator.services.contacts import LONGEST, checked_text
from configurator.services.desk import Desk
from configurator.services.ports import AlreadyThere, Clock, Store, Work


class NoSuchPerson(TucklineError):
    """No staff member with this id."""

    code = "not_found"


def add_person(*, email: str, name: str, role: Actor, password: str | None, store: Store, now: datetime, by: Person | None = None) -> User:
    """A new staff member; without a password they get in by a link that sets one. Raises InvalidInput, AlreadyThere."""
    tidy_email, tidy_name = _checked(email, name, role)
    hashed = hash_password(checked_password(password, _not_yet(tidy_email, tidy_name, role))) if password is not None else None
    with store.writing() as work:
        return _add(work, tidy_email, tidy_name, role, hashed, now, by or Person(Actor.OWNER, None, ""))


def invite(*, email: str, name: str, role: Actor, by: Person, desk: Desk) -> User:
    """A new staff member who gets a mail with a link that sets their password. Raises InvalidInput."""
    tidy_email, tidy_name = _checked(email, name, role)
    try:
        with desk.store.writing() as work:
            user = _add(work, tidy_email, tidy_name, role, None, desk.clock(), by)
            send_link(user, Purpose.INVITATION, desk, work)
    except AlreadyThere:
        raise InvalidInput([Fault("email", "email_taken")]) from None
    return user


def invite_again(user_id: int, by: Person, desk: Desk) -> User:
    """Another link for somebody who hasn't set a password yet; the one before stops working. Raises NoSuchPerson."""
    with desk.store.writing() as work:
        user = find(user_id, work)
        if user.has_password or not user.is_active:
            raise NoSuchPerson
        send_link(user, Purpose.INVITATION, desk, work)
        _record(work, "person_invited", user, by, desk.clock)
    return user


def change_role(user_id: int, role: Actor, by: Person, desk: Desk) -> None:
    """Another role from the next page on. Raises NoSuchPerson, InvalidInput (the last owner stays one)."""
    if role not in STAFF_ROLES:
        raise InvalidInput([Fault("role", "unknown_id", {"id": role.value})])
    with desk.store.writing() as work:
        user = find(user_id, work)
        if user.role is role:
            return
        _keep_an_owner(user, "role", work)
        work.users.set(user.id, role=role.value)
        work.sessions.release(user.id)
        _record(work, "role_changed", user, by, desk.clock, role=role.value)


def shut_out(user_id: int, by: Person, desk: Desk) -> None:
    """No log-in, no PIN, no link, and every session ends at once. Raises NoSuchPerson, InvalidInput (the last owner stays in)."""
    with desk.store.writing() as work:
        user = find(user_id, work)
        _keep_an_owner(user, "is_active", work)
        work.users.set(user.id, is_active=False, reset_nonce=None)
        _end_sessions(user, work, desk.clock)
        _record(work, "person_shut_out", user, by, desk.clock)


def let_back(user_id: int, by: Person, desk: Desk) -> None:
    """May log in again, with the password from before. Raises NoSuchPerson."""
    with desk.store.writing() as work:
        user = find(user_id, work)
        work.users.set(user.id, is_active=True)
        _record(work, "person_let_back", user, by, desk.clock)


def end_sessions(user_id: int, by: Person, desk: Desk) -> None:
    """Logs somebody out everywhere. Raises NoSuchPerson."""
    with desk.store.writing() as work:
        user = find(user_id, work)
        _end_sessions(user, work, desk.clock)
        _record(work, "sessions_ended", user, by, desk.clock)


def find(user_id: int, work: Work) -> User:
    """A staff member. Raises NoSuchPerson."""
    user = work.users.by_id(user_id)
    if user is None:
        raise NoSuchPerson
    return user


def change_password(user: User, *, current: str, new: str, door: Doorkeeper, but: StaffSession | None = None) -> None:
    """One's own password, proved by the one now; every other session and link ends. Raises InvalidInput (`current`, `password`)."""
    prove(user, current, door)
    hashed = hash_password(checked_password(new, user))
    with door.store.writing() as work:
        work.users.set(user.id, password_hash=hashed, reset_nonce=None)
        work.sessions.end_all_of(user.id, door.clock(), but=but.id if but else None)
        work.requests.record(None, Event(at=door.clock(), by=Person(user.role, user.id, user.name), kind="password_changed"))


def prove(user: User, password: str, door: Doorkeeper, *, path: str = "current") -> None:
    """That whoever asks knows the password, before what guards the account changes (OWASP ASVS 5.0, 7.5.1). Raises InvalidInput."""
    with door.store.reading() as work:
        found = work.users.credentials_of(user.id)
    if found is None or not is_right(password, found.password_hash):
        raise InvalidInput([Fault(path, "password_wrong")])


def _checked(email: str, name: str, role: Actor) -> tuple[str, str]:
    faults: list[Fault] = []
    tidy_name = checked_text(name, "name", faults, longest=LONGEST["name"], required=True)
    tidy_email = _email(email, faults)
    if role not in STAFF_ROLES:
        faults.append(Fault("role", "unknown_id", {"id": role.value}))
    if faults:
        raise InvalidInput(faults)
    return tidy_email, tidy_name


def _add(work: Work, email: str, name: str, role: Actor, hashed: str | None, now: datetime, by: Person) -> User:
    user = work.users.add(email=email, name=name, role=role, password_hash=hashed, now=now)
    _record(work, "person_added", user, by, lambda: now, role=role.value)
    return user


def _keep_an_owner(user: User, path: str, work: Work) -> None:
    """Owners are locked while we look, so that two of them can't shut each other out in the same moment."""
    if work.users.active_owners() <= {user.id}:
        raise InvalidInput([Fault(path, "last_owner")])


def _end_sessions(user: User, work: Work, clock: Clock) -> None:
    work.sessions.end_all_of(user.id, clock())
    work.sessions.release(user.id)


def _record(work: Work, kind: str, user: User, by: Person, clock: Clock, **facts: Fact) -> None:
    work.requests.record(None, Event(at=clock(), by=by, kind=kind, facts={"name": user.name, **facts}))


def _email(text: str, faults: list[Fault]) -> str:
    try:
        return validate_email(text.strip(), check_deliverability=False).normalized.casefold()
    except EmailNotValidError:
        faults.append(Fault("email", "email_invalid"))
        return ""


def _not_yet(email: str, name: str, role: Actor) -> User:
    return User(
        id=0, email=email, name=name, role=role, is_active=True, language=None, keys_on=True,
        has_password=False, has_second_factor=False, has_pin=False,
    )  # fmt: skip

"""The staff as the owner keeps it: add, change, shut out; one's own password."""

from datetime import datetime

from email_validator import EmailNotValidError, validate_email

from configurator.domain.desk import Event, Person
from configurator.domain.review import Actor
from configurator.domain.staff import STAFF_ROLES, StaffSession, User
from configurator.errors import Fault, InvalidInput
from configurator.services.contacts import LONGEST, checked_text
from configurator.services.logging_in import Doorkeeper
from configurator.services.passwords import checked_password, hash_password, is_right
from configurator.services.ports import Store


def add_person(*, email: str, name: str, role: Actor, password: str | None, store: Store, now: datetime, by: Person | None = None) -> User:
    """A new staff member; without a password they get in by a link that sets one. Raises InvalidInput, AlreadyThere."""
    faults: list[Fault] = []
    tidy_name = checked_text(name, "name", faults, longest=LONGEST["name"], required=True)
    tidy_email = _email(email, faults)
    if role not in STAFF_ROLES:
        faults.append(Fault("role", "unknown_id", {"id": role.value}))
    if faults:
        raise InvalidInput(faults)
    hashed = hash_password(checked_password(password, _not_yet(tidy_email, tidy_name, role))) if password is not None else None
    with store.writing() as work:
        user = work.users.add(email=tidy_email, name=tidy_name, role=role, password_hash=hashed, now=now)
        who = by or Person(Actor.OWNER, None, "")
        work.requests.record(None, Event(at=now, by=who, kind="person_added", facts={"name": user.name, "role": role.value}))
    return user


def change_password(user: User, *, current: str, new: str, door: Doorkeeper, but: StaffSession | None = None) -> None:
    """One's own password, proved by the one now; every other session ends. Raises InvalidInput (`current`, `password`)."""
    with door.store.reading() as work:
        found = work.users.credentials_of(user.id)
    if found is None or not is_right(current, found.password_hash):
        raise InvalidInput([Fault("current", "password_wrong")])
    hashed = hash_password(checked_password(new, user))
    with door.store.writing() as work:
        work.users.set(user.id, password_hash=hashed)
        work.sessions.end_all_of(user.id, door.clock(), but=but.id if but else None)
        work.requests.record(None, Event(at=door.clock(), by=Person(user.role, user.id, user.name), kind="password_changed"))


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

"""PINs for the shared tablets in the bay: short, so they open bay pages only, on a tablet that an owner opened, and lock after wrong tries.

A PIN is mixed with a key derived from the server's secret before it is hashed: ten thousand guesses against a stolen database alone
find nothing.
"""

from itertools import pairwise

from configurator.domain.desk import Event, Person
from configurator.domain.staff import BAY_RIGHTS, RIGHTS, Credentials, User
from configurator.errors import Fault, InvalidInput
from configurator.services.access.locking import locked_until
from configurator.services.access.logging_in import Doorkeeper
from configurator.services.access.password_reset import person_of
from configurator.services.access.passwords import hash_password, is_right
from configurator.services.access.people import find, prove
from configurator.services.desk import Desk
from configurator.services.links import Links
from configurator.services.ports import Work

LEAST, MOST = 4, 8


def may_hold_a_tablet(user: User) -> bool:
    """Whether this person has anything to do on a tablet in the bay."""
    return user.is_active and bool(RIGHTS[user.role] & BAY_RIGHTS)


def give_pin(user_id: int, pin: str, by: Person, desk: Desk) -> None:
    """The owner sets somebody's PIN. Raises NoSuchPerson, InvalidInput (`pin`)."""
    checked = checked_pin(pin)
    with desk.store.writing() as work:
        user = find(user_id, work)
        _keep(user, hash_password(_mixed(checked, user.id, desk.links)), by, work, desk)


def clear_pin(user_id: int, by: Person, desk: Desk) -> None:
    """No PIN, and any tablet leaves this person's hands. Raises NoSuchPerson."""
    with desk.store.writing() as work:
        _keep(find(user_id, work), None, by, work, desk)


def choose_pin(user: User, pin: str, password: str, door: Doorkeeper) -> None:
    """One's own PIN, proved by the password. Raises InvalidInput (`pin_password`, `pin`)."""
    prove(user, password, door, path="pin_password")
    hashed = hash_password(_mixed(checked_pin(pin), user.id, door.links))
    with door.store.writing() as work:
        _keep(user, hashed, person_of(user), work, door)


def checked_pin(pin: str) -> str:
    """The PIN, if it may be one: digits only, neither all the same nor counting up or down. Raises InvalidInput."""
    if not (pin.isascii() and pin.isdigit() and LEAST <= len(pin) <= MOST):
        raise InvalidInput([Fault("pin", "pin_form", {"least": LEAST, "most": MOST})])
    steps = {int(after) - int(before) for before, after in pairwise(pin)}
    if len(steps) == 1 and steps <= {-1, 0, 1}:
        raise InvalidInput([Fault("pin", "pin_guessable")])
    return pin


def fits(found: Credentials | None, pin: str, door: Doorkeeper) -> bool:
    """Whether the PIN is this person's and may be tried now; the same work is done when there is nobody or no PIN."""
    right = is_right(_mixed(pin, found.user.id if found else 0, door.links), found.pin_hash if found else None)
    waits = found is not None and found.pin_locked_until is not None and found.pin_locked_until > door.clock()
    return right and not waits and found is not None and may_hold_a_tablet(found.user)


def count_wrong_try(found: Credentials, work: Work, door: Doorkeeper) -> None:
    """Notes a wrong PIN; after some, trying rests for a while."""
    now = door.clock()
    if found.pin_locked_until is not None and found.pin_locked_until > now:
        return
    tries = found.pin_failed_tries + 1
    work.users.set(found.user.id, pin_failed_tries=tries, pin_locked_until=locked_until(tries, now))
    work.requests.record(None, Event(at=now, by=person_of(found.user), kind="pin_refused", facts={"tries": tries}))


def _keep(user: User, hashed: str | None, by: Person, work: Work, place: Doorkeeper | Desk) -> None:
    work.users.set(user.id, pin_hash=hashed, pin_failed_tries=0, pin_locked_until=None)
    if hashed is None:
        work.sessions.release(user.id)
    kind = "pin_cleared" if hashed is None else "pin_set"
    work.requests.record(None, Event(at=place.clock(), by=by, kind=kind, facts={"name": user.name}))


def _mixed(pin: str, user_id: int, links: Links) -> str:
    return links.derive("bay pin", f"{user_id} {pin}").hex()

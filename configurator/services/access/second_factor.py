"""A staff member's second factor: set up with an authenticator app, proved once, taken off; recovery codes for a lost phone."""

from configurator.domain.desk import Event, Person
from configurator.domain.staff import Credentials, StaffSession, User
from configurator.errors import Fault, InvalidInput
from configurator.services.access import one_time_codes
from configurator.services.access.logging_in import Doorkeeper
from configurator.services.access.password_reset import NO_SECOND_STEP, person_of
from configurator.services.access.people import find, prove
from configurator.services.desk import Desk
from configurator.services.links import Links, new_nonce
from configurator.services.ports import Work


def begin(user: User, password: str, door: Doorkeeper) -> None:
    """Makes a secret for an app to be set up with; nothing is asked for at the log-in until it is proved. Raises InvalidInput."""
    prove(user, password, door, path="factor_password")
    with door.store.writing() as work:
        if not _credentials(user, work).totp_on:
            work.users.set(user.id, **{**NO_SECOND_STEP, "totp_nonce": new_nonce()})


def secret_in_set_up(user: User, door: Doorkeeper) -> bytes | None:
    """The secret while it is being set up; None when nothing was begun, or when it is in use and therefore not shown again."""
    with door.store.reading() as work:
        found = _credentials(user, work)
    return None if found.totp_on or found.totp_nonce is None else one_time_codes.secret_for(door.links, found.totp_nonce)


def confirm(user: User, code: str, door: Doorkeeper, *, but: StaffSession | None = None) -> tuple[str, ...]:
    """Turns it on once a code shows that the app has the secret; gives the recovery codes. Other sessions end. Raises InvalidInput."""
    with door.store.writing() as work:
        found = _credentials(user, work, to_use=True)
        step = _step(found, code, door.links, door)
        if found.totp_on or step is None:
            raise InvalidInput([Fault("code", "code_wrong")])
        codes = one_time_codes.new_recovery_codes()
        work.users.set(user.id, totp_on_since=door.clock(), totp_last_step=step, recovery_hashes=_hashes(codes))
        work.sessions.end_all_of(user.id, door.clock(), but=but.id if but else None)
        _record(work, "second_factor_on", person_of(user), user, door)
    return codes


def new_codes(user: User, password: str, door: Doorkeeper) -> tuple[str, ...]:
    """Fresh recovery codes; the old ones stop working. Raises InvalidInput."""
    prove(user, password, door, path="factor_password")
    codes = one_time_codes.new_recovery_codes()
    with door.store.writing() as work:
        work.users.set(user.id, recovery_hashes=_hashes(codes))
        _record(work, "recovery_codes_made", person_of(user), user, door)
    return codes


def turn_off(user: User, password: str, door: Doorkeeper) -> None:
    """Takes one's own second factor off. Raises InvalidInput."""
    prove(user, password, door, path="factor_password")
    with door.store.writing() as work:
        work.users.set(user.id, **NO_SECOND_STEP)
        _record(work, "second_factor_off", person_of(user), user, door)


def take_off(user_id: int, by: Person, desk: Desk) -> None:
    """The owner helps somebody who lost phone and codes; their sessions end. Raises NoSuchPerson."""
    with desk.store.writing() as work:
        user = find(user_id, work)
        work.users.set(user.id, **NO_SECOND_STEP)
        work.sessions.end_all_of(user.id, desk.clock())
        _record(work, "second_factor_off", by, user, desk)


def codes_left(user: User, door: Doorkeeper) -> int:
    """How many recovery codes are still good."""
    with door.store.reading() as work:
        return len(_credentials(user, work).recovery_hashes)


def _credentials(user: User, work: Work, *, to_use: bool = False) -> Credentials:
    found = work.users.credentials_of(user.id, to_use=to_use)
    assert found is not None, "whoever is logged in is there"
    return found


def _step(found: Credentials, code: str, links: Links, door: Doorkeeper) -> int | None:
    if found.totp_nonce is None:
        return None
    return one_time_codes.matching_step(one_time_codes.secret_for(links, found.totp_nonce), code, door.clock(), after=found.totp_last_step)


def _hashes(codes: tuple[str, ...]) -> list[str]:
    return [one_time_codes.recovery_hash(code) for code in codes]


def _record(work: Work, kind: str, by: Person, user: User, place: Doorkeeper | Desk) -> None:
    work.requests.record(None, Event(at=place.clock(), by=by, kind=kind, facts={"name": user.name}))

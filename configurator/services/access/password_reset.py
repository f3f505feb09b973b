"""The way in without a password: an invited person's first one, and a new one for somebody who forgot theirs."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from configurator.domain.desk import Event, NewMail, Person
from configurator.domain.review import Actor
from configurator.domain.staff import Credentials, User
from configurator.services.access.account_links import ACCOUNT_LINK, LASTS, AccountLink, Purpose, opened
from configurator.services.access.passwords import checked_password, hash_password
from configurator.services.desk import Desk
from configurator.services.links import new_nonce
from configurator.services.mail.mailing import shop_time
from configurator.services.ports import Work

NO_SECOND_STEP: Mapping[str, Any] = {"totp_nonce": None, "totp_on_since": None, "totp_last_step": None, "recovery_hashes": []}
"""What is written of a staff member to take the second step off."""


def ask_for_reset(email: str, desk: Desk) -> None:
    """Mails a link to whoever has this address. Whether anybody does is never told, not by the answer and hardly by its time."""
    with desk.store.writing() as work:
        found = work.users.credentials(email[:254])
        if found is not None and found.user.is_active:
            send_link(found.user, Purpose.RESET, desk, work)
            work.requests.record(None, Event(at=desk.clock(), by=person_of(found.user), kind="password_reset_asked"))


def send_link(user: User, purpose: Purpose, desk: Desk, work: Work) -> None:
    """Puts a mail with a fresh link into the outbox; links made before stop working."""
    now, locale = desk.clock(), user.language or desk.default_locale
    work.users.set(user.id, reset_nonce=new_nonce())
    letter = desk.letters.write(
        purpose.value,
        locale,
        name=user.name,
        shop=desk.book.shop.name,
        until=shop_time(now + LASTS[purpose], desk),
        account_link=ACCOUNT_LINK,
    )
    work.mails.add(NewMail(kind=purpose.value, recipient=user.email, letter=letter, locale=locale, user_id=user.id), now)


def way_in(email: str, desk: Desk, *, second_step_off: bool) -> str | None:
    """The path of a fresh one-time link, for whoever runs the server; None when nobody who may log in has this address."""
    nonce, until = new_nonce(), desk.clock() + LASTS[Purpose.RESET]
    with desk.store.writing() as work:
        found = work.users.credentials(email)
        if found is None or not found.user.is_active:
            return None
        work.users.set(found.user.id, reset_nonce=nonce, **(NO_SECOND_STEP if second_step_off else {}))
        event = Event(at=desk.clock(), by=Person(Actor.OWNER), kind="account_link_made", facts={"name": found.user.name})
        work.requests.record(None, event)
    return f"/staff/password/{AccountLink(found.user.id, until).token(nonce, desk.links)}"


def look_at(token: str, desk: Desk) -> User:
    """Whose link this is; looking uses nothing up, since mail programs look first. Raises LinkRefused."""
    with desk.store.reading() as work:
        return opened(token, work, desk.links, desk.clock()).user


def set_password(token: str, password: str, desk: Desk) -> User:
    """Sets the password and uses the link up; every session ends, a second factor stays. Raises LinkRefused, InvalidInput."""
    hashed = hash_password(checked_password(password, look_at(token, desk)))
    with desk.store.writing() as work:
        found = opened(token, work, desk.links, desk.clock(), to_use=True)
        _keep(found, hashed, desk.clock(), work)
    return found.user


def _keep(found: Credentials, hashed: str, now: datetime, work: Work) -> None:
    work.users.set(found.user.id, password_hash=hashed, reset_nonce=None, failed_tries=0, locked_until=None)
    work.sessions.end_all_of(found.user.id, now)
    work.sessions.release(found.user.id)
    work.requests.record(None, Event(at=now, by=person_of(found.user), kind="password_set"))


def person_of(user: User) -> Person:
    """The same as the history knows them."""
    return Person(user.role, user.id, user.name)

"""The shop's calendar for a calendar program: a secret address for each staff member, which can be renewed or ended.

The address is the only key (calendar programs send no cookies), so it carries no person: reference, car in the visitor's words, bay.
"""

import base64
from datetime import timedelta

from configurator.domain.staff import Right
from configurator.services.desk import Desk
from configurator.services.links import TOKEN_BYTES, Links, new_nonce, token_hash
from configurator.services.places import ics

BACK, AHEAD = timedelta(days=31), timedelta(days=366)
"""What of the calendar a feed holds."""


def token_of(user_id: int, desk: Desk) -> str | None:
    """The token of a staff member's address; None when there is none."""
    with desk.store.reading() as work:
        nonce = work.feeds.nonce_of(user_id)
    return _token(nonce, desk.links) if nonce else None


def renew(user_id: int, desk: Desk) -> str:
    """A new address; the one before opens nothing any more."""
    nonce = new_nonce()
    token = _token(nonce, desk.links)
    with desk.store.writing() as work:
        work.feeds.set(user_id, nonce, token_hash(token), desk.clock())
    return token


def end(user_id: int, desk: Desk) -> None:
    """No address any more."""
    with desk.store.writing() as work:
        work.feeds.end(user_id)


def read(token: str, desk: Desk) -> str | None:
    """The feed behind a token; None for one that opens nothing, or whose owner may see the calendar no longer."""
    now = desk.clock()
    with desk.store.reading() as work:
        user_id = work.feeds.user_of(token_hash(token))
        user = work.users.by_id(user_id) if user_id is not None else None
        if user is None or not user.may(Right.PLAN):
            return None
        jobs = tuple(work.bookings.jobs(now - BACK, now + AHEAD, desk.today()))
    return ics.feed(jobs, desk.book, user.language or desk.default_locale)


def _token(nonce: str, links: Links) -> str:
    return base64.urlsafe_b64encode(links.derive("calendar feed", nonce)[:TOKEN_BYTES]).decode()

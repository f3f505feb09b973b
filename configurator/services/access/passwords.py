"""Passwords: hashed with Argon2id (RFC 9106, second recommended option: 64 MiB, 3 passes, 4 lanes), checked in even time."""

from functools import lru_cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from configurator.domain.staff import User
from configurator.errors import Fault, InvalidInput

LEAST = 12
MOST = 128
"""OWASP ASVS 5.0, 6.2.1 and 6.2.9: at least 8 (15 advised), and at least 64 must be allowed."""
LEAST_DIFFERENT = 6

_hasher = PasswordHasher()


def hash_password(password: str) -> str:
    """An Argon2id hash with its own salt; takes about a tenth of a second and 64 MiB on purpose."""
    return _hasher.hash(password)


def is_right(password: str, stored: str | None) -> bool:
    """Whether a password fits. Without a stored hash the same work is done for nothing, so that time tells no one who exists."""
    try:
        return _hasher.verify(stored or _nobodys_hash(), password) and stored is not None
    except (VerificationError, InvalidHashError):
        return False


def is_outdated(stored: str) -> bool:
    """Whether a hash was made with weaker figures than today's."""
    return _hasher.check_needs_rehash(stored)


def checked_password(password: str, user: User) -> str:
    """The password, if it may be one. Raises InvalidInput with the path `password`."""
    if len(password) < LEAST:
        raise InvalidInput([Fault("password", "password_short", {"least": LEAST})])
    if len(password) > MOST:
        raise InvalidInput([Fault("password", "text_too_long", {"most": MOST})])
    about_them = {user.email.casefold(), user.name.casefold(), *user.name.casefold().split(), user.email.casefold().split("@")[0]}
    remains = password.casefold()
    for word in sorted(about_them, key=len, reverse=True):
        remains = remains.replace(word, "")
    if len(set(remains)) < LEAST_DIFFERENT:
        raise InvalidInput([Fault("password", "password_guessable")])
    return password


@lru_cache(maxsize=1)
def _nobodys_hash() -> str:
    return _hasher.hash("nobody has this password")

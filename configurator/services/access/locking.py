"""How long trying rests after wrong passwords, codes or PINs: the one place that decides it."""

from datetime import datetime, timedelta

TRIES_BEFORE_LOCK = 5
LONGEST_LOCK = timedelta(minutes=15)
_MOST_DOUBLINGS = 4


def locked_until(tries: int, now: datetime) -> datetime | None:
    """Five wrong tries lock for a minute; each further one doubles it, up to a quarter of an hour. None: not yet."""
    beyond = tries - TRIES_BEFORE_LOCK
    return now + min(timedelta(minutes=2 ** min(beyond, _MOST_DOUBLINGS)), LONGEST_LOCK) if beyond >= 0 else None

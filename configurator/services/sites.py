"""The owner's list of sites that may show the configurator: put on, taken off, and asked about."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from urllib.parse import urlsplit

import idna

from configurator.domain.desk import Event, Person
from configurator.domain.sites import LONGEST, MOST_SITES, AllowedSite, TurnedAway, is_loopback, listable
from configurator.errors import Fault, InvalidInput
from configurator.services.ports import AlreadyThere, Store

COUNTED_DAYS = 30


@dataclass(frozen=True)
class SitesOverview:
    """What the owner sees: the list, who was turned away, and the requests of the last `COUNTED_DAYS` by site."""

    allowed: tuple[AllowedSite, ...]
    turned_away: tuple[TurnedAway, ...]
    last_seen: Mapping[str, datetime]
    requests: Mapping[str, int]


@dataclass(frozen=True)
class Verdict:
    """Whether the configurator shows on a site. `nearest` is a listed site that differs in its scheme, its `www.` or its port alone."""

    origin: str
    allowed: bool
    nearest: str = ""


def allow(text: str, by: Person, store: Store, now: datetime) -> str:
    """Puts a site on the list; its origin. Raises InvalidInput (`site`)."""
    origin = listable(in_ascii(text))
    try:
        with store.writing() as work:
            if len(work.sites.origins()) >= MOST_SITES:
                raise InvalidInput([Fault("site", "site_too_many", {"most": MOST_SITES})])
            work.sites.add(origin, user_id=by.id, now=now)
            work.requests.record(None, Event(at=now, by=by, kind="site_allowed", facts={"site": origin}))
    except AlreadyThere:
        raise InvalidInput([Fault("site", "site_there_already", {"origin": origin})]) from None
    return origin


def remove(origin: str, by: Person, store: Store, now: datetime) -> bool:
    """Takes a site off the list; False when it wasn't there any more."""
    with store.writing() as work:
        gone = work.sites.remove(origin)
        if gone:
            work.requests.record(None, Event(at=now, by=by, kind="site_removed", facts={"site": origin}))
    return gone


def overview(store: Store, now: datetime) -> SitesOverview:
    """The list as the owner's page shows it."""
    with store.reading() as work:
        requests = work.sites.requests_since(now - timedelta(days=COUNTED_DAYS))
        return SitesOverview(tuple(work.sites.all()), tuple(work.sites.turned_away()), work.sites.last_seen(), requests)


def judge(text: str, listed: Collection[str]) -> Verdict:
    """Whether a site may show the configurator, given the origins that may. Raises InvalidInput (`site`) for what can't be on the list."""
    origin = listable(in_ascii(text))
    if origin in listed:
        return Verdict(origin, allowed=True)
    near = [other for other in sorted(listed) if _bare_name(other) == _bare_name(origin)]
    return Verdict(origin, allowed=False, nearest=near[0] if near else "")


def in_ascii(text: str) -> str:
    """An address with its host as browsers send it (UTS 46, non-transitional); what isn't one is left as it is."""
    text = text.strip()[: LONGEST + 1]
    try:
        host = urlsplit(text).hostname or ""
        return text if host.isascii() else text.lower().replace(host, idna.encode(host, uts46=True).decode(), 1)
    except (ValueError, idna.IDNAError):
        return text


def _bare_name(origin: str) -> str:
    host = urlsplit(origin).hostname or ""
    return "this machine" if is_loopback(host) else host.removeprefix("www.")

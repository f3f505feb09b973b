"""Sites that show the configurator: what names one (a web origin, RFC 6454), and why a name can't be on the list."""

import re
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import SplitResult, urlsplit

from configurator.errors import Fault, InvalidInput

LONGEST = 260
MOST_SITES = 100
_LABEL = re.compile(r"(?!-)[a-z0-9_-]{1,63}(?<!-)\Z")
_USUAL_PORT = {"http": 80, "https": 443}


@dataclass(frozen=True)
class AllowedSite:
    """A site on the list. `added_by` is a name (empty: nobody of the staff); `seen_at` when a visitor last met the configurator there."""

    origin: str
    added_at: datetime
    added_by: str
    seen_at: datetime | None = None


@dataclass(frozen=True)
class TurnedAway:
    """A site that asked for the configurator and is not on the list. Anybody can ask, so its name proves nothing."""

    origin: str
    seen_at: datetime


def origin_of(text: str) -> str | None:
    """`https://shop.example` for an origin or an address on it, default ports left out; None for anything else (`null` too)."""
    parts = _split(text.strip())
    if parts is None or parts.scheme not in _USUAL_PORT or not parts.hostname or parts.username or parts.password:
        return None
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    return f"{parts.scheme}://{host}" + (f":{parts.port}" if parts.port and parts.port != _USUAL_PORT[parts.scheme] else "")


def is_loopback(host: str) -> bool:
    """This very machine: nobody stands between it and the page, so plain http is fine there."""
    return host == "localhost" or host.endswith(".localhost") or bool(re.fullmatch(r"127(\.\d{1,3}){3}", host))


def listable(text: str) -> str:
    """The origin that a site is listed under; `text` has its host in ASCII. Raises InvalidInput with the one reason why not.

    Addresses in brackets are refused because CSP Level 3 has no way to name them in `frame-ancestors`.
    """
    origin, parts = origin_of(text), _split(text.strip())
    if "*" in text:
        raise _refused("site_no_star")
    if origin is None or parts is None or parts.hostname is None or len(text) > LONGEST:
        raise _refused("site_not_an_address")
    if ":" in parts.hostname:
        raise _refused("site_no_brackets")
    if not all(map(_LABEL.match, parts.hostname.split("."))):
        raise _refused("site_not_an_address")
    if parts.path not in {"", "/"} or parts.query or parts.fragment:
        raise _refused("site_no_path", origin=origin)
    if parts.scheme == "http" and not is_loopback(parts.hostname):
        raise _refused("site_needs_https", origin=origin.replace("http:", "https:", 1))
    return origin


def _refused(code: str, **facts: object) -> InvalidInput:
    return InvalidInput([Fault("site", code, facts)])


def _split(text: str) -> SplitResult | None:
    try:
        parts = urlsplit(text)
        return parts if parts.port != 0 else None
    except ValueError:
        return None

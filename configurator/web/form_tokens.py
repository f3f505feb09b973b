"""Tokens that guard the visitor's form without a cookie: signed, short-lived, bound to the site the form was shown on.

In a frame on another site, cookies are not sent and storage may be closed, so the form carries its guard itself. A token can
be sent again until it ages out, but its id is the request's idempotency key: one form makes one request, however often it comes.
"""

import secrets
from dataclasses import dataclass
from urllib.parse import urlsplit

from flask import request
from itsdangerous import BadSignature, SignatureExpired, TimestampSigner, URLSafeTimedSerializer

from configurator.errors import TucklineError
from configurator.web.wiring import wired

SALT = "visitor-form"
LIFETIME_SECONDS = 4 * 3600
LEAST_SECONDS = 2
"""People need longer than this to fill in a form; programs that don't, are refused."""


class FormRefused(TucklineError):
    """The form can't be trusted: `form_missing`, `form_forged`, `form_stale`, `form_too_quick`, `form_elsewhere`."""

    def __init__(self, code: str) -> None:
        self.code = code
        super().__init__(code)


@dataclass(frozen=True)
class FormGuard:
    """What a good token says: the site that embedded the form (an origin, empty for our own pages) and its own id."""

    site: str
    id: str


def issue(site: str = "") -> str:
    """A fresh token for a form shown on `site`."""
    return _signer().dumps({"s": site, "i": secrets.token_urlsafe(9)})


def renew(token: str) -> str:
    """A fresh token for a form whose own has aged out; it stays the same form. Of a token that isn't ours: a new form's."""
    try:
        return str(_signer().dumps(_signer().loads(token)))
    except BadSignature:
        return issue()


def check(token: str, *, site: str = "") -> FormGuard:
    """What a token says, once signature, age, the site it was made for and the request's own origin agree. Raises FormRefused."""
    if not token:
        raise FormRefused("form_missing")
    try:
        content, made = _signer().loads(token, max_age=LIFETIME_SECONDS, return_timestamp=True)
    except SignatureExpired:
        raise FormRefused("form_stale") from None
    except BadSignature:
        raise FormRefused("form_forged") from None
    if (wired().clock() - made).total_seconds() < LEAST_SECONDS:
        raise FormRefused("form_too_quick")
    if content["s"] != site:
        raise FormRefused("form_elsewhere")
    _check_origin()
    return FormGuard(site=content["s"], id=content["i"])


def _check_origin() -> None:
    """The form is always sent from one of our own pages, framed or not: Origin, Referer and Sec-Fetch-Site say so, or say nothing."""
    sources = (request.headers.get("Origin"), request.headers.get("Referer"))
    if any(urlsplit(source).netloc != request.host for source in sources if source not in {None, "", "null"}):
        raise FormRefused("form_elsewhere")
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in {"same-origin", "none"}:
        raise FormRefused("form_elsewhere")


class _ByTheShopsClock(TimestampSigner):
    def get_timestamp(self) -> int:
        """Whole seconds, by the same clock that everything else goes by."""
        return int(wired().clock().timestamp())


def _signer() -> URLSafeTimedSerializer:
    return URLSafeTimedSerializer(wired().settings.secret_key, salt=SALT, signer=_ByTheShopsClock)

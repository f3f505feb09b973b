"""One-time links with which staff set a password: an invitation, or the way back for somebody who forgot theirs.

A link names whose it is and until when it lasts, under a MAC (HMAC-SHA-256) whose key hangs on a nonce kept beside the person. Setting
a password or asking for another link throws the nonce away, and with it every link made before. The outbox keeps a placeholder
instead of the link, so that a stolen database opens no account.
"""

import base64
import hmac
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

from configurator.domain.desk import OutgoingMail
from configurator.domain.staff import Credentials
from configurator.errors import TucklineError
from configurator.services.links import Links
from configurator.services.ports import Work

ACCOUNT_LINK = "[[account-link]]"
"""Stands in a mail for the address that is put in when it leaves."""
MAC_BYTES = 18
LONGEST_TOKEN = 80


class Purpose(StrEnum):
    """Why somebody gets a link; the kind of the mail that carries it."""

    INVITATION = "staff_invitation"
    RESET = "password_reset"


LASTS = {Purpose.INVITATION: timedelta(days=7), Purpose.RESET: timedelta(hours=1)}


class LinkRefused(TucklineError):
    """Not one of our links, used already, replaced by a newer one, or run out: on purpose one and the same."""

    code = "account_link_refused"


@dataclass(frozen=True)
class AccountLink:
    """Whose it is and until when."""

    user_id: int
    expires_at: datetime

    def token(self, nonce: str, links: Links) -> str:
        """The secret part of its address."""
        content = f"{self.user_id}-{int(self.expires_at.timestamp())}"
        mac = base64.urlsafe_b64encode(links.derive("account link", f"{nonce} {content}")[:MAC_BYTES]).decode()
        return f"{content}-{mac}"


def opened(token: str, work: Work, links: Links, now: datetime, *, to_use: bool = False) -> Credentials:
    """Whom a link belongs to, if it still opens anything; `to_use` in the transaction that uses it up. Raises LinkRefused."""
    link = _read(token)
    found = work.users.credentials_of(link.user_id, to_use=to_use) if link else None
    if link is None or found is None or found.reset_nonce is None or not found.user.is_active or now >= link.expires_at:
        raise LinkRefused
    if not hmac.compare_digest(link.token(found.reset_nonce, links).encode(), token.encode("utf-8", "surrogatepass")):
        raise LinkRefused
    return found


def token_of(mail: OutgoingMail, links: Links) -> str | None:
    """The token that a mail carries; None when its link was used or replaced meanwhile, or when it carries none."""
    if mail.user_id is None or mail.user_nonce is None or mail.kind not in set(Purpose):
        return None
    return AccountLink(mail.user_id, mail.created_at + LASTS[Purpose(mail.kind)]).token(mail.user_nonce, links)


def _read(token: str) -> AccountLink | None:
    user_id, _, rest = token[:LONGEST_TOKEN].partition("-")
    expires, _, mac = rest.partition("-")
    if not (user_id.isascii() and user_id.isdigit() and expires.isascii() and expires.isdigit() and mac and len(expires) < 12):
        return None
    return AccountLink(int(user_id), datetime.fromtimestamp(int(expires), UTC)) if len(user_id) < 10 else None

"""One-time codes of an authenticator app: TOTP (RFC 6238) over HOTP (RFC 4226), and recovery codes for a lost phone."""

import base64
import hashlib
import hmac
import secrets
import struct
from datetime import datetime
from urllib.parse import quote

from configurator.services.links import Links, token_hash

STEP_SECONDS = 30
DIGITS = 6
STEPS_EITHER_SIDE = 1
"""A code is taken one step early or late, for clocks that differ and people who type slowly (RFC 6238 section 5.2)."""
SECRET_BYTES = 20
RECOVERY_CODES = 8


def hotp(secret: bytes, counter: int, digits: int = DIGITS) -> str:
    """HMAC-SHA-1 over the counter, truncated as in RFC 4226 section 5.3."""
    digest = hmac.new(secret, struct.pack(">Q", counter), hashlib.sha1).digest()
    offset = digest[-1] & 0x0F
    number = int.from_bytes(digest[offset : offset + 4], "big") & 0x7FFFFFFF
    return str(number % 10**digits).zfill(digits)


def step_of(moment: datetime) -> int:
    """The number of whole time steps since 1970 (RFC 6238 section 4.2)."""
    return int(moment.timestamp()) // STEP_SECONDS


def matching_step(secret: bytes, code: str, now: datetime, *, after: int | None) -> int | None:
    """The time step whose code this is, if it is near and wasn't used: a code counts once (RFC 6238 section 5.2)."""
    tidy = "".join(code.split())
    for step in range(step_of(now) - STEPS_EITHER_SIDE, step_of(now) + STEPS_EITHER_SIDE + 1):
        if (after is None or step > after) and hmac.compare_digest(hotp(secret, step).encode(), tidy.encode()):
            return step
    return None


def secret_for(links: Links, nonce: str) -> bytes:
    """A staff member's TOTP secret: derived, so that the database alone doesn't hold it."""
    return links.derive("second factor", nonce)[:SECRET_BYTES]


def as_base32(secret: bytes) -> str:
    """The secret as authenticator apps take it by hand (RFC 4648 base 32 without padding)."""
    return base64.b32encode(secret).decode().rstrip("=")


def provisioning_uri(secret: bytes, *, account: str, issuer: str) -> str:
    """The `otpauth:` address that authenticator apps read from a QR code or a link."""
    return f"otpauth://totp/{quote(issuer)}:{quote(account)}?secret={as_base32(secret)}&issuer={quote(issuer)}"


def new_recovery_codes() -> tuple[str, ...]:
    """Codes to be written down, each good once (50 bits)."""
    return tuple(f"{secrets.token_hex(3)}-{secrets.token_hex(3)}-{secrets.token_hex(3)}" for _ in range(RECOVERY_CODES))


def recovery_hash(code: str) -> str:
    """What is stored of a recovery code."""
    return token_hash("".join(code.split()).replace("-", "").casefold())

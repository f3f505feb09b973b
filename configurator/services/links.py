"""Private links: a token nobody can guess, known to the shop's server again when a mail must name it, never stored as such.

The token is HMAC-SHA-256 over a random nonce under a key derived from the server's secret, cut to 144 bits (OWASP ASVS 5.0
7.2.3 asks for 128). The database keeps the nonce and the SHA-256 of the token, so a stolen database opens no page.
"""

import base64
import hashlib
import hmac
import secrets
from dataclasses import dataclass

TOKEN_BYTES = 18
NONCE_BYTES = 16


def token_hash(token: str) -> str:
    """What is stored and looked up for a token."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def new_nonce() -> str:
    """Fresh randomness for one link or one secret."""
    return secrets.token_hex(NONCE_BYTES)


def new_token() -> str:
    """A random token that is not meant to be known again (sessions, form tokens)."""
    return secrets.token_urlsafe(TOKEN_BYTES)


@dataclass(frozen=True)
class Links:
    """Derives secrets from the server's key, one purpose apart from the other."""

    secret_key: str

    def derive(self, purpose: str, nonce: str) -> bytes:
        """32 bytes bound to a purpose and a nonce (HMAC-SHA-256 twice: a key per purpose, then the nonce)."""
        purpose_key = hmac.new(self.secret_key.encode(), f"tuckline {purpose}".encode(), hashlib.sha256).digest()
        return hmac.new(purpose_key, nonce.encode(), hashlib.sha256).digest()

    def private_token(self, nonce: str) -> str:
        """The token of a request's private page."""
        return base64.urlsafe_b64encode(self.derive("private page", nonce)[:TOKEN_BYTES]).decode()

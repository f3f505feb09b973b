"""Headers, per surface. Pages load nothing from elsewhere and run no inline script; only the visitor's pages may be framed.

Sources: CSP Level 3 (W3C), OWASP ASVS 5.0 3.4 (frame-ancestors on every response, nosniff, referrer policy).
"""

import secrets
from collections.abc import Callable
from typing import cast

from flask import Flask, Response, g, request

HSTS = "max-age=31536000"


def csp_nonce() -> str:
    """One nonce a request, for a generated <style> element (never for script)."""
    if "csp_nonce" not in g:
        g.csp_nonce = secrets.token_urlsafe(16)
    return cast(str, g.csp_nonce)


def frameable_by(origins: Callable[[], tuple[str, ...]]) -> Callable[[Response], Response]:
    """For visitor pages: returns an after-request hook that lets the listed sites frame the page."""

    def allow(response: Response) -> Response:
        g.frame_ancestors = ("'self'", *origins())
        return response

    return allow


def content_security_policy() -> str:
    """The policy for the response at hand; inline style only under this request's own nonce, script only from here."""
    style = f"'self' 'nonce-{g.csp_nonce}'" if "csp_nonce" in g else "'self'"
    ancestors = " ".join(g.get("frame_ancestors", ("'none'",)))
    return "; ".join(
        (
            "default-src 'none'",
            "script-src 'self'",
            f"style-src {style}",
            "img-src 'self' data: blob:",
            "font-src 'self'",
            "connect-src 'self'",
            "frame-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            f"frame-ancestors {ancestors}",
        )
    )


def install(app: Flask) -> None:
    """Sets the headers on every response that doesn't bring its own."""
    app.jinja_env.globals["csp_nonce"] = csp_nonce

    @app.after_request
    def harden(response: Response) -> Response:
        headers = response.headers
        headers.setdefault("Content-Security-Policy", content_security_policy())
        headers.setdefault("X-Content-Type-Options", "nosniff")
        headers.setdefault("Referrer-Policy", "strict-origin-when-cross-origin")
        headers.setdefault("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
        headers.setdefault("Cross-Origin-Opener-Policy", "same-origin")
        if request.is_secure:
            headers.setdefault("Strict-Transport-Security", HSTS)
        return response

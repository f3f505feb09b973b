"""Which sites may frame the configurator: our own address, and those that the shop has listed."""

from urllib.parse import urlsplit

from flask import Response, g, make_response, render_template, request

from configurator.web.wiring import wired

ANY_SITE = ("*",)


def origin_of(text: str) -> str | None:
    """`https://shop.example` for an origin or an address on it, default ports left out; None for anything else (`null` too)."""
    try:
        parts = urlsplit(text.strip())
        port = parts.port
    except ValueError:
        return None
    if parts.scheme not in {"http", "https"} or not parts.hostname or parts.username or parts.password:
        return None
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    usual = {"http": 80, "https": 443}[parts.scheme]
    return f"{parts.scheme}://{host}" + (f":{port}" if port and port != usual else "")


def own_origin() -> str:
    """Where this app is reached from."""
    return origin_of(request.host_url) or ""


def is_listed(site: str) -> bool:
    """Whether a site (an origin) may frame the configurator."""
    return site == own_origin() or site in wired().embed_sites()


def admit(site: str) -> Response | None:
    """Lets the page be framed by that site alone; a site that isn't listed gets a calm refusal instead of a page.

    The browser checks the real parents against `frame-ancestors`, so a page that claims another site's name stays blank.
    """
    origin = origin_of(site) if site else own_origin()
    if origin is not None and is_listed(origin):
        g.frame_ancestors = tuple(dict.fromkeys(("'self'", origin)))
        return None
    g.frame_ancestors = ANY_SITE
    response = make_response(render_template("embed/refused.html"), 403)
    response.headers["Cache-Control"] = "no-store"
    return response

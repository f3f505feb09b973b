"""Which sites may frame the configurator: our own address, and those that the shop has listed."""

from flask import Response, g, make_response, render_template, request

from configurator.domain.sites import origin_of
from configurator.web.wiring import wired

ANY_SITE = ("*",)


def own_origin() -> str:
    """Where this app is reached from."""
    return origin_of(request.host_url) or ""


def is_listed(site: str) -> bool:
    """Whether a site (an origin) may frame the configurator."""
    return site == own_origin() or site in wired().listed_sites()


def admit(site: str) -> Response | None:
    """Lets the page be framed by that site alone; a site that isn't listed gets a calm refusal instead of a page.

    The browser checks the real parents against `frame-ancestors`, so a page that claims another site's name stays blank.
    """
    origin = origin_of(site) if site else own_origin()
    if origin is not None and is_listed(origin):
        g.frame_ancestors = tuple(dict.fromkeys(("'self'", origin)))
        return None
    g.frame_ancestors = ANY_SITE
    response = make_response(render_template("embed/refused.html", site=origin or ""), 403)
    response.headers["Cache-Control"] = "no-store"
    return response


def open_to_frames(response: Response) -> Response:
    """For `after_request` of framed pages: they may stand on a page that isolates itself, and visits to other sites are noted.

    A page with `Cross-Origin-Embedder-Policy: require-corp` (HTML standard) shows only frames that say the same of themselves.
    """
    response.headers["Cross-Origin-Embedder-Policy"] = "require-corp"
    response.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    site = origin_of(g.look.site) if "look" in g else None
    if request.headers.get("Sec-Fetch-Dest") == "iframe" and site and site != own_origin():
        listed, turned_away = wired().listed_sites, response.status_code == 403
        response.call_on_close(lambda: listed.note(site, turned_away=turned_away))
    return response

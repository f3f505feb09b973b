"""Static files under one fingerprint of the whole tree, kept for ever by the browser, compressed once.

One fingerprint for all, because modules import each other by relative path: a page sees either the old set or the new one.
"""

import hashlib
import mimetypes
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, abort, make_response
from werkzeug.security import safe_join

from configurator.web.packing import TIGHTEST, accepted_packing

ROOT = Path(__file__).parents[2] / "static"
COMPRESSIBLE = {"text/css", "text/javascript", "image/svg+xml", "application/json", "text/plain"}
BUNDLES: Mapping[str, tuple[str, ...]] = {
    "css/visitor.css": (
        "css/tokens.css", "css/page.css", "css/controls.css", "css/drawing.css", "css/figures.css", "css/configure.css", "css/framed.css",
    ),
}  # fmt: skip
"""Stylesheets that are sent as one, in this order: over a slow line one answer comes sooner than seven."""
mimetypes.add_type("text/javascript", ".js")


@lru_cache(maxsize=1)
def fingerprint() -> str:
    """First 16 hex digits of SHA-256 over the names and contents of all static files."""
    digest = hashlib.sha256()
    for path in sorted(ROOT.rglob("*")):
        if path.is_file():
            digest.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def asset(name: str) -> str:
    """Address of a static file, such as `css/page.css`."""
    return f"/static/{fingerprint()}/{name}"


@lru_cache(maxsize=256)
def _content(name: str) -> tuple[Mapping[str | None, bytes], str] | None:
    """A file as it is (None) and packed by the name of each packing, and its kind."""
    paths = [safe_join(str(ROOT), part) for part in BUNDLES.get(name, (name,))]
    if any(path is None or not Path(path).is_file() for path in paths):
        return None
    kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
    plain = b"".join(Path(str(path)).read_bytes() for path in paths)
    forms: dict[str | None, bytes] = {None: plain}
    if kind in COMPRESSIBLE:
        forms.update((packing, pack(plain)) for packing, pack in TIGHTEST.items())
    return forms, kind


def _serve(tree: str, name: str) -> Response:
    found = _content(name)
    if found is None:
        abort(404)
    forms, kind = found
    accepted = accepted_packing()
    packing = accepted if accepted in forms else None
    response = make_response(forms[packing])
    response.content_type = f"{kind}; charset=utf-8" if kind.startswith("text/") or kind in COMPRESSIBLE else kind
    if packing:
        response.headers["Content-Encoding"] = packing
    response.headers["Vary"] = "Accept-Encoding"
    response.headers["Cache-Control"] = "public, max-age=31536000, immutable" if tree == fingerprint() else "no-cache"
    return response


def install(app: Flask) -> None:
    """Adds the route and the template helper."""
    app.jinja_env.globals["asset"] = asset
    app.add_url_rule("/static/<tree>/<path:name>", "static", _serve)

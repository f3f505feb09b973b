"""The script that a shop's page loads: by its plain name (short-cached) and by its hash (kept for ever, with integrity)."""

import base64
import hashlib
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from flask import Blueprint, Response, abort, make_response

from configurator.web.packing import TIGHTEST, accepted_packing

FOLDER = Path(__file__).parents[3] / "static" / "embed"
SHORT_SECONDS = 300
FOR_EVER = "public, max-age=31536000, immutable"

blueprint = Blueprint("loader", __name__)


@dataclass(frozen=True)
class Loader:
    """A loader script as it is served."""

    text: bytes

    @cached_property
    def hash(self) -> str:
        """What its address carries: the first 16 hex digits of SHA-256."""
        return hashlib.sha256(self.text).hexdigest()[:16]

    @cached_property
    def packed(self) -> dict[str, bytes]:
        """By the name of each packing."""
        return {name: pack(self.text) for name, pack in TIGHTEST.items()}

    @property
    def integrity(self) -> str:
        """Subresource Integrity (W3C): SHA-384, base64."""
        return "sha384-" + base64.b64encode(hashlib.sha384(self.text).digest()).decode()

    @property
    def path(self) -> str:
        return f"/embed-{self.hash}.js"


@lru_cache(maxsize=1)
def current() -> Loader:
    """The loader of this version."""
    return Loader((FOLDER / "loader.js").read_bytes())


@lru_cache(maxsize=1)
def by_hash() -> dict[str, Loader]:
    """The current loader and every earlier one that was released: pages that name an old hash keep working."""
    earlier = [Loader(path.read_bytes()) for path in sorted((FOLDER / "kept").glob("*.js"))]
    return {loader.hash: loader for loader in [*earlier, current()]}


@blueprint.get("/embed.js")
def plain() -> Response:
    """The current loader, for pages that always want the latest."""
    return _served(current(), f"public, max-age={SHORT_SECONDS}")


@blueprint.get("/embed-<name>.js")
def hashed(name: str) -> Response:
    """One loader for ever, for pages that name its integrity."""
    if name not in by_hash():
        abort(404)
    return _served(by_hash()[name], FOR_EVER)


def _served(loader: Loader, cache_control: str) -> Response:
    packing = accepted_packing()
    response = make_response(loader.packed[packing] if packing else loader.text)
    response.content_type = "text/javascript; charset=utf-8"
    if packing:
        response.headers["Content-Encoding"] = packing
    response.headers["Vary"] = "Accept-Encoding"
    response.headers["Cache-Control"] = cache_control
    response.headers["Access-Control-Allow-Origin"] = "*"
    response.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    return response

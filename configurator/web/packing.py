"""Text over the wire: packed with Brotli where the browser takes it, else with gzip.

Pages are packed only where they hold no secret that stays the same from one answer to the next beside text of the visitor's own:
compression would leak such a secret by its length. The visitor's pages hold none (a form token is new in every answer); staff and
private pages are never packed.
"""

import gzip
from collections.abc import Callable, Mapping

import brotli
from flask import Response, request

FROM_BYTES = 900
PACKERS: Mapping[str, Callable[[bytes], bytes]] = {
    "br": lambda data: brotli.compress(data, quality=5),
    "gzip": lambda data: gzip.compress(data, 5, mtime=0),
}
"""Best first. Qualities at which a page takes some tens of milliseconds at most."""
TIGHTEST: Mapping[str, Callable[[bytes], bytes]] = {
    "br": lambda data: brotli.compress(data, quality=11),
    "gzip": lambda data: gzip.compress(data, 9, mtime=0),
}
"""For files that are packed once."""


def accepted_packing() -> str | None:
    """The best packing that the browser takes; None: none of ours."""
    return next((name for name in PACKERS if request.accept_encodings.quality(name) > 0), None)


def pack(response: Response) -> Response:
    """For `after_request`: packs HTML."""
    if response.mimetype != "text/html":
        return response
    response.headers.add("Vary", "Accept-Encoding")
    packing = accepted_packing()
    if packing and not response.is_streamed and len(response.get_data()) >= FROM_BYTES:
        response.set_data(PACKERS[packing](response.get_data()))
        response.headers["Content-Encoding"] = packing
    return response

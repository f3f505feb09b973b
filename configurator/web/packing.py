"""Pages over the wire: packed with gzip where the browser takes it.

Only for pages without a secret that stays the same from one answer to the next beside text of the visitor's own: compression would
leak such a secret by length. The visitor's pages hold none (a form token is new in every answer); staff pages are never packed.
"""

import gzip

from flask import Response, request

FROM_BYTES = 900
LEVEL = 5


def pack(response: Response) -> Response:
    """For `after_request`: packs HTML."""
    response.headers.add("Vary", "Accept-Encoding")
    if response.mimetype != "text/html" or response.is_streamed or not request.accept_encodings.quality("gzip"):
        return response
    data = response.get_data()
    if len(data) >= FROM_BYTES:
        response.set_data(gzip.compress(data, LEVEL, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
    return response

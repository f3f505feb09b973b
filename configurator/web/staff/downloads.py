"""Files that are written while they are read, so that a hundred thousand rows take no memory."""

from collections.abc import Iterator

from flask import Response

KINDS = {"csv": "text/csv; charset=utf-8", "json": "application/json", "zip": "application/zip"}


def download(pieces: Iterator[str] | Iterator[bytes], name: str, kind: str) -> Response:
    """A file to keep; `kind` is csv, json or zip. `pieces` are asked for after the request is over: they may not ask for it."""
    response = Response(pieces, content_type=KINDS[kind])
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.{kind}"'
    response.headers["Cache-Control"] = "no-store"
    return response

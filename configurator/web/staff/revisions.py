"""Which state of a request a form was made from, so that a second editor is noticed."""

from flask import request

NEVER = -1


def sent_revision() -> int:
    """The revision in the form at hand; one that no request has where there is none."""
    text = request.form.get("revision", "")
    return int(text) if text.isdigit() and text.isascii() and len(text) < 10 else NEVER

"""Which state of a request a form was made from, so that a second editor is noticed."""

from flask import request

NEVER = -1


def sent_revision(field: str = "revision") -> int:
    """The revision in the form at hand; one that no record has where there is none."""
    text = request.form.get(field, "")
    return int(text) if text.isdigit() and text.isascii() and len(text) < 10 else NEVER

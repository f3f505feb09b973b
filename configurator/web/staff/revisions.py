"""Which state of a request a form was made from, so that a second editor is noticed."""

from flask import request

from configurator.web.typed_numbers import whole_number

NEVER = -1


def sent_revision(field: str = "revision") -> int:
    """The revision in the form at hand; one that no record has where there is none."""
    known = whole_number(request.form.get(field, ""))
    return NEVER if known is None else known

"""Finishes: one for most of the car, others for single panels in rows, and what the stripes wear."""

from werkzeug.datastructures import MultiDict

Pair = tuple[str, str]
Fields = MultiDict[str, str]

USUAL_BORDER_MM = "6"
USUAL_STRIPE_FINISH = "gloss"


def finish_pairs(fields: Fields) -> list[Pair]:
    """The `stripes` pair with the finishes picked here, and the pair of a panel newly given its own finish."""
    return [*_stripes(fields), *_new_panel(fields)]


def _stripes(fields: Fields) -> list[Pair]:
    shape = fields.get("f.stripe_shape", "")
    if not shape:
        return []
    parts = [*shape.split(","), fields.get("f.stripe_finish") or USUAL_STRIPE_FINISH]
    border = fields.get("f.border_finish", "")
    if border:
        parts += [fields.get("f.border_width", "").strip() or USUAL_BORDER_MM, border]
    return [("stripes", ",".join(parts))]


def _new_panel(fields: Fields) -> list[Pair]:
    panel, finish = fields.get("f.own_panel", ""), fields.get("f.own_finish", "")
    taken = f"finish.{panel}" in fields
    return [(f"finish.{panel}", finish)] if panel and finish and not taken else []

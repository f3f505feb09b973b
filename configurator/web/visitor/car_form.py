"""The car's helper fields: size in either unit, features as ticks, stripes in parts, resprayed panels in rows."""

from collections.abc import Iterable

from werkzeug.datastructures import MultiDict

Pair = tuple[str, str]
Fields = MultiDict[str, str]

LENGTHS = ("length", "width", "height", "wheelbase")
INCHES_BELOW = 500.0
"""No car is 500 inches long and none is narrower than 500 mm, so a figure tells its unit when the unit was switched after typing."""
PAIRED = ("mirror", "cladding")
"""Parts that the form asks for once and the query names twice."""
MOST_RESPRAYED = 12


def car_pairs(fields: Fields) -> list[Pair]:
    """Contract pairs for the helper fields of the car's form."""
    return [*_size(fields), *_features(fields), *_materials(fields), *_stripes(fields), *_resprayed(fields)]


def body_changed(fields: Fields) -> bool:
    """Whether another body was picked since the form was made: what belonged to the old one no longer holds."""
    was = fields.get("f.body", "")
    return bool(was) and was != fields.get("body", "")


def _size(fields: Fields) -> Iterable[Pair]:
    if fields.get("f.size") != "measured" or body_changed(fields):
        return
    unit = "in" if fields.get("unit") == "in" else "mm"
    switched = fields.get("f.unit_was", unit) != unit
    for name in LENGTHS:
        text = fields.get(f"f.{name}", "").strip().replace(",", "")
        if text:
            yield f"{name}_{_unit_of(text) if switched else unit}", text


def _unit_of(text: str) -> str:
    try:
        return "in" if float(text) < INCHES_BELOW else "mm"
    except ValueError:
        return "mm"


def _features(fields: Fields) -> Iterable[Pair]:
    """Nothing when the ticks are what that body usually has; else exactly the ticked ones."""
    if body_changed(fields) or "f.usual" not in fields:
        return
    ticked = fields.getlist("f.feature")
    usual = [feature for feature in fields.get("f.usual", "").split(".") if feature]
    if set(ticked) == set(usual):
        return
    yield "feature", ""
    for feature in ticked:
        yield "feature", feature


def _materials(fields: Fields) -> Iterable[Pair]:
    if body_changed(fields):
        return
    for key, material in fields.items():
        part = key.removeprefix("f.made_of.")
        if part != key and material:
            for panel in (f"{part}_left", f"{part}_right") if part in PAIRED else (part,):
                yield f"surface.{panel}", material


def _stripes(fields: Fields) -> Iterable[Pair]:
    if fields.get("f.striped") != "yes":
        return
    shape = [fields.get(f"f.stripe_{name}", "").strip() or usual for name, usual in STRIPE_SHAPE]
    finish = fields.get("f.stripe_finish") or fields.get("paint") or "gloss"
    border = fields.get("f.stripe_border", "")
    yield "stripes", ",".join([*shape, finish, *border.split(",")] if border else [*shape, finish])


STRIPE_SHAPE = (("count", "2"), ("width", "240"), ("gap", "110"), ("offset", "0"))
"""What stripes start as when first ticked: two of 240 mm, 110 mm apart, in the middle, in the finish of the paint (no seam)."""


def _resprayed(fields: Fields) -> Iterable[Pair]:
    if body_changed(fields):
        return
    for row in range(MOST_RESPRAYED):
        panel, day = fields.get(f"f.respray_panel_{row}", ""), fields.get(f"f.respray_date_{row}", "").strip()
        if panel and day:
            yield f"resprayed.{panel}", day

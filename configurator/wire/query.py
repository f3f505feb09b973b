"""A selection as a flat query: every link, tick and bookmark of the configurator is one. It holds no personal data.

| key | value |
| --- | --- |
| body, paint, package, finish, edges, windshield, region, drop_off, fuel_door | as in the document |
| length_mm, width_mm, height_mm, wheelbase_mm (or length_in ... in inches) | a number |
| feature (repeated) | a feature id; one empty `feature=` says 'exactly these', even if none |
| surface.PANEL, finish.PANEL, resprayed.PANEL, lamp.GROUP | as in the document's tables |
| stripes | count,width,gap,offset,finish[,border width,border finish]; none |
| paint_condition, correction, coated (yes, no), remove_film (repeated) | as in `condition` and `prep` |
| add, remove (repeated) | panel ids |

Empty values count as not given (a form sends every field). Links live for ever: keys are added, never renamed.
"""

import re
from collections.abc import Callable, Iterable
from typing import Any

from configurator.domain.selection import Selection
from configurator.errors import Fault, InvalidInput
from configurator.wire.selection import dump_selection, load_selection, plain

MM_PER_INCH = 25.4
"""Exact by definition (international yard and pound agreement, 1959)."""
NUMBER = re.compile(r"-?\d{1,9}(\.\d{1,9})?", re.ASCII)
LENGTHS = ("length", "width", "height", "wheelbase")
MOST_PAIRS = 400

Document = dict[str, Any]

PATHS: dict[str, tuple[str, ...]] = {
    "body": ("vehicle", "body"),
    "paint": ("vehicle", "paint"),
    "fuel_door": ("vehicle", "fuel_door"),
    "paint_condition": ("vehicle", "condition", "paint"),
    "correction": ("vehicle", "prep", "correction"),
    "package": ("coverage", "package"),
    "finish": ("finish", "default"),
    "edges": ("edges",),
    "windshield": ("windshield",),
    "region": ("region",),
    "drop_off": ("drop_off",),
}
LISTS: dict[str, tuple[str, ...]] = {
    "feature": ("vehicle", "features"),
    "remove_film": ("vehicle", "prep", "remove_film"),
    "add": ("coverage", "add"),
    "remove": ("coverage", "remove"),
}
TABLES: dict[str, tuple[str, ...]] = {
    "surface": ("vehicle", "surfaces"),
    "resprayed": ("vehicle", "condition", "resprayed"),
    "finish": ("finish", "panels"),
    "lamp": ("lamps",),
}


def selection_from_query(pairs: Iterable[tuple[str, str]], *, ignore: Callable[[str], bool] = lambda key: False) -> Selection:
    """The selection in a query. `ignore` says which other keys may stand there. Raises InvalidInput naming key or path."""
    return load_selection(document_from_query(pairs, ignore=ignore))


def document_from_query(pairs: Iterable[tuple[str, str]], *, ignore: Callable[[str], bool] = lambda key: False) -> Document:
    """The selection document that a query stands for, not yet checked against the schema."""
    document: Document = {"version": 1, "vehicle": {}}
    faults: list[Fault] = []
    for count, (key, value) in enumerate(pairs):
        if count >= MOST_PAIRS:
            raise InvalidInput([Fault("", "too_many", {"most": MOST_PAIRS})])
        if not ignore(key):
            try:
                _take(document, key, value.strip())
            except _Unreadable as unreadable:
                faults.append(Fault(key, unreadable.code))
    if faults:
        raise InvalidInput(faults)
    return document


class _Unreadable(Exception):
    def __init__(self, code: str) -> None:
        self.code = code


def _take(document: Document, key: str, value: str) -> None:
    head, _, tail = key.partition(".")
    if not tail and key in LISTS:
        items = _at(document, LISTS[key], list)
        if value:
            items.append(value)
    elif not value:
        _check_known(key, head, tail)
    elif tail and head in TABLES:
        _at(document, TABLES[head], dict)[tail] = value
    elif key in PATHS:
        _set_once(document, PATHS[key], value)
    elif key.endswith(("_mm", "_in")) and key[:-3] in LENGTHS:
        _set_once(document, ("vehicle", "size", f"{key[:-3]}_mm"), _length(value, inches=key.endswith("_in")))
    elif key == "stripes":
        _set_once(document, ("vehicle", "stripes"), _stripes(value))
    elif key == "coated":
        _set_once(document, ("vehicle", "prep", "coated"), _yes(value))
    else:
        raise _Unreadable("unknown_key")


def _check_known(key: str, head: str, tail: str) -> None:
    known = (
        key in PATHS or (tail and head in TABLES) or key in {"stripes", "coated"} or (key[-3:] in {"_mm", "_in"} and key[:-3] in LENGTHS)
    )
    if not known:
        raise _Unreadable("unknown_key")


def _at(document: Document, path: tuple[str, ...], make: Callable[[], Any]) -> Any:
    for name in path[:-1]:
        document = document.setdefault(name, {})
    return document.setdefault(path[-1], make())


def _set_once(document: Document, path: tuple[str, ...], value: Any) -> None:
    for name in path[:-1]:
        document = document.setdefault(name, {})
    if path[-1] in document:
        raise _Unreadable("named_twice")
    document[path[-1]] = value


def _number(text: str) -> float:
    if not NUMBER.fullmatch(text):
        raise _Unreadable("must_be_a_number")
    return plain(float(text))


def _length(text: str, *, inches: bool) -> float:
    number = _number(text)
    return round(number * MM_PER_INCH, 1) if inches else number


def _yes(text: str) -> bool:
    if text not in {"yes", "no"}:
        raise _Unreadable("must_be_yes_or_no")
    return text == "yes"


def _stripes(text: str) -> Document | None:
    if text == "none":
        return None
    parts = [part.strip() for part in text.split(",")]
    if len(parts) not in {5, 7}:
        raise _Unreadable("stripes_form")
    count, width, gap, offset = (_number(part) for part in parts[:4])
    stripes: Document = {"count": count, "width_mm": width, "gap_mm": gap, "offset_mm": offset, "finish": parts[4]}
    if len(parts) == 7:
        stripes["border"] = {"width_mm": _number(parts[5]), "finish": parts[6]}
    return stripes


def query_from_selection(selection: Selection) -> list[tuple[str, str]]:
    """The shortest query that `selection_from_query` reads back as the same selection (defaults left out), in a fixed order."""
    document = dump_selection(selection)
    defaults = dump_selection(load_selection({"version": 1, "vehicle": {"body": selection.vehicle.body}}))
    pairs: list[tuple[str, str]] = []
    for key, path in PATHS.items():
        value = _get(document, path)
        if value is not None and (key == "body" or value != _get(defaults, path)):
            pairs.append((key, str(value)))
    pairs += [(f"{name}", _written(value)) for name, value in _get(document, ("vehicle", "size"), {}).items()]
    for key, path in LISTS.items():
        values = _get(document, path)
        if key == "feature" and values == []:
            pairs.append((key, ""))
        pairs += [(key, value) for value in values or []]
    for key, path in TABLES.items():
        pairs += [(f"{key}.{name}", value) for name, value in sorted(_get(document, path, {}).items())]
    return pairs + _written_extras(document)


def _written_extras(document: Document) -> list[tuple[str, str]]:
    pairs = []
    stripes = document["vehicle"]["stripes"]
    if stripes:
        parts = [_written(stripes[name]) for name in ("count", "width_mm", "gap_mm", "offset_mm")] + [stripes["finish"]]
        if stripes["border"]:
            parts += [_written(stripes["border"]["width_mm"]), stripes["border"]["finish"]]
        pairs.append(("stripes", ",".join(parts)))
    if document["vehicle"]["prep"]["coated"]:
        pairs.append(("coated", "yes"))
    return pairs


def _written(value: float) -> str:
    return str(plain(value))


def _get(document: Document, path: tuple[str, ...], default: Any = None) -> Any:
    found: Any = document
    for name in path:
        if name not in found:
            return default
        found = found[name]
    return found

"""Faults of a plan, brought back to where a person can mend them: the query key, and the control on the page."""

import re
from collections.abc import Iterable

from configurator.errors import Fault
from configurator.web.visitor.car_form import LENGTHS

Pair = tuple[str, str]

_TABLES = (
    (re.compile(r"vehicle\.surfaces\.(\w+)"), "surface"),
    (re.compile(r"vehicle\.condition\.resprayed\.(\w+)"), "resprayed"),
    (re.compile(r"finish\.panels\.(\w+)"), "finish"),
    (re.compile(r"lamps\.(\w+)"), "lamp"),
)
_LISTS = (
    (re.compile(r"vehicle\.features(\[\d+\])?"), "feature"),
    (re.compile(r"vehicle\.prep\.remove_film(\[\d+\])?"), "remove_film"),
    (re.compile(r"coverage\.add(\[\d+\])?"), "add"),
    (re.compile(r"coverage\.remove(\[\d+\])?"), "remove"),
)
_PLAIN = {
    "vehicle.body": "body",
    "vehicle.paint": "paint",
    "vehicle.fuel_door": "fuel_door",
    "vehicle.condition.paint": "paint_condition",
    "vehicle.prep.correction": "correction",
    "vehicle.prep.coated": "coated",
    "coverage.package": "package",
    "finish.default": "finish",
}
_CONTROLS = {
    "body": "bodies",
    "finish": "finishes",
    "package": "packages",
    "edges": "edges-cards",
    "drop_off": "drop_off",
    "region": "region",
}


def query_key(path: str) -> str:
    """The query key of a path in the selection document; a path that is a query key already is returned as it is."""
    if path.startswith("vehicle.size."):
        return path.removeprefix("vehicle.size.")
    if path.startswith("vehicle.stripes"):
        return "stripes"
    for pattern, key in _TABLES:
        found = pattern.fullmatch(path)
        if found:
            return f"{key}.{found[1]}"
    for pattern, key in _LISTS:
        if pattern.fullmatch(path):
            return key
    return _PLAIN.get(path, path)


def without(pairs: Iterable[Pair], faults: Iterable[Fault]) -> list[Pair]:
    """The pairs without those that a fault is about. A list key loses only the value at fault where the path says which."""
    pairs = list(pairs)
    for fault in faults:
        key = query_key(fault.path)
        keys = {key, key.replace("_mm", "_in")}
        place = re.search(r"\[(\d+)\]\Z", fault.path)
        at_fault = [index for index, (name, _) in enumerate(pairs) if name in keys]
        if place and int(place[1]) < len(at_fault):
            at_fault = [at_fault[int(place[1])]]
        for index in at_fault:
            pairs[index] = ("", "")
    return [pair for pair in pairs if pair[0]]


def control_id(path: str, resprayed: Iterable[str] = ()) -> str:
    """The id of the control (or group of controls) that a fault's path is edited with; empty when a page has none."""
    path = re.sub(r"\[\d+\]\Z", "", path).removeprefix("contact.").removeprefix("car.").removeprefix("selection.")
    key = query_key(path)
    stem = key.removesuffix("_mm").removesuffix("_in")
    if stem in LENGTHS:
        return stem
    if path.startswith("vehicle.stripes.border.width"):
        return "border_width"
    if path.startswith("vehicle.stripes."):
        return "stripe_" + path.removeprefix("vehicle.stripes.").removesuffix("_mm")
    if key == "stripes":
        return "stripe_width"
    if key.startswith("resprayed."):
        panels = list(resprayed)
        return f"respray_date_{panels.index(key.removeprefix('resprayed.'))}" if key.removeprefix("resprayed.") in panels else ""
    return _CONTROLS.get(key, key.replace(".", "-"))

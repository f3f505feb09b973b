"""Selections that nobody thought of: any body, size, features, stripes, coverage, edges and finishes that a shop may be asked for."""

import random
from collections.abc import Mapping
from functools import cache
from typing import Any

from configurator.domain.body.style import PlausibleSize
from configurator.errors import InvalidInput
from tests.shops import PACKAGES, STYLES, TREATMENTS, chosen, demo_shop, scoped

FEATURES = (
    "hood_vents",
    "fender_vents",
    "fender_flares",
    "front_lip",
    "rear_lip",
    "rear_spoiler",
    "roof_antenna",
    "sunroof",
    "roof_rails",
    "fog_lamps",
    "badges",
    "window_mouldings",
    "camera_mirrors",
    "parking_sensors",
    "washer_jets",
    "side_cladding",
    "windshield_camera",
)
FINISHES = ("gloss", "matte", "gloss_black")
TRIES = 50


def any_selection(chance: random.Random) -> dict[str, Any]:
    """A document that the demo shop takes; what it refuses (a size out of proportion, a gap too small) is drawn again."""
    for _ in range(TRIES):
        document = _drawn(chance)
        try:
            scoped(as_selection(document))
        except InvalidInput:
            continue
        return document
    raise AssertionError("nothing that was drawn is taken")


def as_selection(document: Mapping[str, Any]) -> Any:
    """The document as the domain has it."""
    from configurator.wire.selection import load_selection

    return load_selection(dict(document))


def _drawn(chance: random.Random) -> dict[str, Any]:
    body = chance.choice(STYLES)
    vehicle: dict[str, Any] = {"body": body}
    if chance.random() < 0.7:
        vehicle["size"] = _size(demo_shop().styles[body].plausible, chance)
    if chance.random() < 0.6:
        vehicle["features"] = sorted(chance.sample(FEATURES, chance.randint(0, 9)))
    if chance.random() < 0.5:
        vehicle["stripes"] = _stripes(chance)
    if chance.random() < 0.2:
        vehicle["paint"] = "matte"
    added = chance.sample(panels_of(body), chance.randint(0, 8)) if chance.random() < 0.5 else []
    removed = set(chance.sample(panels_of(body), chance.randint(0, 5))) - set(added) if chance.random() < 0.4 else set()
    document: dict[str, Any] = {
        "version": 1,
        "vehicle": vehicle,
        "coverage": {"package": chance.choice((*PACKAGES, "full_body")), "add": sorted(added), "remove": sorted(removed)},
        "edges": chance.choice(TREATMENTS),
    }
    if chance.random() < 0.3:
        document["finish"] = {"default": chance.choice(("match", *FINISHES))}
    if chance.random() < 0.3:
        document["windshield"] = "clear"
    return document


@cache
def panels_of(body: str) -> tuple[str, ...]:
    return tuple(sorted(id for id, panel in scoped(chosen(body)).panels.items() if panel.filmable))


def _size(plausible: PlausibleSize, chance: random.Random) -> dict[str, int]:
    length = chance.uniform(plausible.length_mm.least, plausible.length_mm.most)
    least = max(plausible.wheelbase_mm.least, plausible.wheelbase_share.least * length)
    most = min(plausible.wheelbase_mm.most, plausible.wheelbase_share.most * length)
    return {
        "length_mm": round(length),
        "width_mm": round(chance.uniform(plausible.width_mm.least, plausible.width_mm.most)),
        "height_mm": round(chance.uniform(plausible.height_mm.least, plausible.height_mm.most)),
        "wheelbase_mm": round(chance.uniform(least, most)),
    }


def _stripes(chance: random.Random) -> dict[str, Any]:
    count = chance.choice((1, 2))
    stripes: dict[str, Any] = {"count": count, "width_mm": chance.randint(50, 600), "finish": chance.choice(FINISHES)}
    stripes["gap_mm"] = chance.randint(0, 400) if count == 2 else 0
    if chance.random() < 0.4:
        stripes["offset_mm"] = chance.randint(-200, 200)
    if chance.random() < 0.5:
        stripes["border"] = {"width_mm": chance.randint(3, 40), "finish": chance.choice(FINISHES)}
    return stripes

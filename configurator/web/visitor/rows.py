"""The panel list: which panels share a row, what the row is called, and in which zone of the sheet it stands."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from configurator.wording.marks import N_


@dataclass(frozen=True)
class RowKind:
    """A row of the list. `panels` with one id, or left and right; `name` of the row; `zone` of the sheet; `extra`: a small zone."""

    panels: tuple[str, ...]
    name: str
    zone: str
    extra: bool = False


def _pair(stem: str, name: str, zone: str, *, extra: bool = False) -> RowKind:
    return RowKind((f"{stem}_left", f"{stem}_right"), name, zone, extra)


def _one(panel: str, name: str, zone: str, *, extra: bool = False) -> RowKind:
    return RowKind((panel,), name, zone, extra)


ROWS: tuple[RowKind, ...] = (
    _pair("fender", N_("Fenders"), "sides"),
    _pair("door_front", N_("Front doors"), "sides"),
    _pair("door_rear", N_("Rear doors"), "sides"),
    _pair("rocker", N_("Rocker panels"), "sides"),
    _pair("quarter", N_("Rear quarters"), "sides"),
    _pair("bed_side", N_("Bed sides"), "sides"),
    _pair("cladding", N_("Side cladding"), "sides"),
    _pair("flare_front", N_("Front fender flares"), "sides"),
    _pair("flare_rear", N_("Rear fender flares"), "sides"),
    _pair("b_pillar", N_("B-pillars"), "sides"),
    _pair("handle_front", N_("Front door handles"), "sides"),
    _pair("handle_rear", N_("Rear door handles"), "sides"),
    _one("fuel_door", N_("Fuel door"), "sides"),
    _pair("door_edge_front", N_("Front door edges"), "sides", extra=True),
    _pair("door_edge_rear", N_("Rear door edges"), "sides", extra=True),
    _pair("door_cup_front", N_("Front handle cups"), "sides", extra=True),
    _pair("door_cup_rear", N_("Rear handle cups"), "sides", extra=True),
    _pair("door_sill_front", N_("Front door sills"), "sides", extra=True),
    _pair("door_sill_rear", N_("Rear door sills"), "sides", extra=True),
    _one("front_bumper", N_("Front bumper"), "front"),
    _one("hood", N_("Hood"), "front"),
    _pair("mirror", N_("Mirror caps"), "front"),
    _one("front_lip", N_("Front lip"), "front"),
    _one("grille", N_("Grille"), "front"),
    _one("roof", N_("Roof"), "top"),
    _pair("a_pillar", N_("A-pillars"), "top"),
    _pair("roof_rail", N_("Roof rails"), "top"),
    _one("rear_lid", "", "rear"),
    _one("rear_bumper", N_("Rear bumper"), "rear"),
    _one("rear_spoiler", N_("Rear spoiler"), "rear"),
    _one("rear_lip", N_("Rear lip"), "rear"),
    _one("loading_edge", N_("Loading edge"), "rear", extra=True),
)
"""In the sheet's order. A row without a name takes the panel's own on that body (trunk lid, liftgate, tailgate, rear doors)."""

NAMES_OF_BODY: Mapping[tuple[str, str], str] = {
    ("door_front_left", "coupe"): N_("Doors"),
    ("door_front_left", "convertible"): N_("Doors"),
    ("door_rear_left", "van"): N_("Sliding doors"),
    ("handle_front_left", "coupe"): N_("Door handles"),
    ("handle_front_left", "convertible"): N_("Door handles"),
    ("door_edge_front_left", "coupe"): N_("Door edges"),
    ("door_edge_front_left", "convertible"): N_("Door edges"),
    ("door_cup_front_left", "coupe"): N_("Handle cups"),
    ("door_cup_front_left", "convertible"): N_("Handle cups"),
    ("door_sill_front_left", "coupe"): N_("Door sills"),
    ("door_sill_front_left", "convertible"): N_("Door sills"),
    ("roof", "convertible"): N_("Fabric roof"),
}

ZONES = ("sides", "front", "top", "rear")


def rows_for(panels: Iterable[str]) -> list[RowKind]:
    """The rows a body needs, each with the panels that the body has; panels no row knows get one of their own at the end."""
    has = list(panels)
    rows = [RowKind(tuple(panel for panel in row.panels if panel in has), row.name, row.zone, row.extra) for row in ROWS]
    known = {panel for row in ROWS for panel in row.panels}
    return [row for row in rows if row.panels] + [_one(panel, "", "rear") for panel in has if panel not in known]

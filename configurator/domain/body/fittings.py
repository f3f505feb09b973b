"""Parts that come off when edges are hidden, by their catalogue key, and the panels whose edges each frees."""

from collections.abc import Iterator, Mapping

from configurator.domain.body.records import Fitting, Panel

_PART_OF_ID = {
    "grille": "grille",
    "headlamp": "headlamp",
    "fog_lamp": "fog_lamp",
    "tail_lamp": "tail_lamp",
    "fuel_door": "fuel_door",
    "hood_vent": "vent",
    "fender_vent": "vent",
    "badge_front": "badge",
    "badge_rear": "badge",
    "tailgate_handle": "tailgate_handle",
    "washer_jet": "washer_jet",
    "handle_front": "door_handle",
    "handle_rear": "door_handle",
    "roof_antenna": "antenna",
    "roof_rail": "roof_rail",
    "window_moulding": "window_moulding",
    "flare_front": "flare",
    "flare_rear": "flare",
    "cladding": "cladding",
    "mirror": "mirror",
    "front_bumper": "front_bumper",
    "rear_bumper": "rear_bumper",
}
"""Label -> catalogue key, for parts that free the panels whose edges name them."""


def fittings_of(panels: Mapping[str, Panel]) -> tuple[Fitting, ...]:
    """Every removable part of the body, in the order of the panels."""
    touched = _touched(panels)
    found = []
    for panel_id in panels:
        part = _PART_OF_ID.get(_label(panel_id))
        freed = touched.get(panel_id, ())
        if part and freed:
            found.append(Fitting(panel_id, part, freed))
    return (*found, *_lying_over(panels))


def _label(panel_id: str) -> str:
    return panel_id.removesuffix("_left").removesuffix("_right")


def _touched(panels: Mapping[str, Panel]) -> dict[str, tuple[str, ...]]:
    """For each neighbour id the selectable panels whose edges lie against it; a bumper frees its own edge too."""
    found: dict[str, dict[str, None]] = {}
    for panel in panels.values():
        if not panel.selectable:
            continue
        for neighbour in {name for loop in panel.loops for name in loop.neighbours if name is not None}:
            found.setdefault(neighbour, {})[panel.id] = None
    for bumper in ("front_bumper", "rear_bumper"):
        found.setdefault(bumper, {})[bumper] = None
    order = {panel_id: place for place, panel_id in enumerate(panels)}
    return {name: tuple(sorted(ids, key=order.__getitem__)) for name, ids in found.items()}


def _lying_over(panels: Mapping[str, Panel]) -> Iterator[Fitting]:
    """Parts that lie over a panel or stand before it, so that no edge of it names them."""
    if "rear_spoiler" in panels:
        yield Fitting("rear_spoiler", "spoiler", ("rear_lid",))
    for side in ("left", "right"):
        yield Fitting(f"mirror_cap_{side}", "mirror_cap", (f"mirror_{side}",))
    if "front_plate" in panels:
        yield Fitting("front_plate", "plate_holder", ("front_bumper",))
    if "rear_plate" in panels:
        yield Fitting("rear_plate", "plate_holder", _panel_behind_rear_plate(panels))
    if "cowl" in panels:
        yield Fitting("cowl", "cowl_panel", ("hood", "windshield"))


def _panel_behind_rear_plate(panels: Mapping[str, Panel]) -> tuple[str, ...]:
    """The plate hangs on the lid or on the bumper: on whichever reaches up to its middle."""
    middle = panels["rear_plate"].mesh.vertices[:, 2].mean()
    return ("rear_bumper",) if panels["rear_bumper"].mesh.vertices[:, 2].max() > middle else ("rear_lid",)

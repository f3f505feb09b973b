"""What lies beyond a panel's edge: the edge kind for two labels that meet, which decides how film can end there."""

from configurator.domain.body.parts import OPENINGS, part_of
from configurator.domain.body.records import EdgeKind, Surface

_ARCHES = ("wheel_arch_front", "wheel_arch_rear", "flare_front", "flare_rear")
_GLASS = ("window_frame", "window_moulding", "windshield_trim", "rear_glass_trim", "rear_glass", "windshield", "sunroof", "b_pillar")
_REMOVABLE = (
    "grille", "intake", "front_lip", "rear_lip", "cladding", "hood_vent", "fender_vent", "badge_front", "badge_rear", "tailgate_handle",
    "washer_jet", "handle_front", "handle_rear", "rear_spoiler", "roof_antenna", "roof_rail", "mirror_foot", "mirror", "fuel_door",
    "front_plate", "rear_plate", "bed_cap",
)  # fmt: skip
_ONE_PRESSING = frozenset({"quarter", "bed_side", "a_pillar", "roof", "rocker"})
"""Panels of the body side that run into each other without a gap: film ends or is cut at the crease or ditch between them."""


def edge_kind(label: str, beyond: str | None) -> EdgeKind:
    """Kind of the edge of `label` where `beyond` starts; None is the underbody or the inside, round which film can be turned."""
    surface = part_of(label).surface
    if surface in (Surface.LENS,):
        return EdgeKind.LAMP
    if surface in (Surface.WINDSHIELD_GLASS, Surface.OTHER_GLASS):
        return EdgeKind.GLASS
    if beyond is None:
        return EdgeKind.SHUT_LINE
    return _kind_beyond(label, beyond)


def _kind_beyond(label: str, beyond: str) -> EdgeKind:
    if beyond in _ARCHES:
        return EdgeKind.WHEEL_ARCH
    if beyond in OPENINGS:
        return EdgeKind.SHUT_LINE
    if beyond in _GLASS or beyond.startswith("side_glass"):
        return EdgeKind.GLASS
    if part_of(beyond).surface is Surface.LENS:
        return EdgeKind.LAMP
    if label == "fuel_door":
        return EdgeKind.SHUT_LINE
    if beyond in _REMOVABLE or beyond.startswith("parking_sensor"):
        return EdgeKind.PART
    if {label, beyond} <= _ONE_PRESSING:
        return EdgeKind.BODY_JOIN
    return EdgeKind.SHUT_LINE

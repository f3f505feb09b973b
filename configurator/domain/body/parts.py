"""What every piece of a body is made of, how it is layered, and whether a selection can name it: one table by label.

A label is a panel id without its side: `fender` becomes `fender_left` and `fender_right`; centre parts keep their label.
"""

from dataclasses import dataclass

from configurator.domain.body.records import Layer, Surface


@dataclass(frozen=True)
class Part:
    """`paired`: one on each side. `selectable`: a selection can name it. The rest goes over into its `Panel`."""

    surface: Surface
    layer: Layer = Layer.BODY
    paired: bool = False
    selectable: bool = True
    recesses: int = 0
    pocket_difficulty: float = 1.0
    added_difficulty: float = 0.0


def _pair(surface: Surface = Surface.PAINT, layer: Layer = Layer.BODY, *, recesses: int = 0, pocket_difficulty: float = 1.0) -> Part:
    return Part(surface, layer, paired=True, recesses=recesses, pocket_difficulty=pocket_difficulty)


def _hidden(surface: Surface, layer: Layer, *, paired: bool = False) -> Part:
    """Drawn, never selected."""
    return Part(surface, layer, paired=paired, selectable=False)


_INSET, _FITTING, _UNDER = Layer.INSET, Layer.FITTING, Layer.UNDER
_POCKETED = 0.2
"""Added to a bumper's difficulty. One whose lower half is a lip of its own is bent no more than a lid, yet no installer calls it as
easy (trade sense, no source)."""
_BLACK, _GLASS, _BRIGHT = Surface.BLACK_TRIM, Surface.OTHER_GLASS, Surface.BRIGHT_TRIM

PARTS: dict[str, Part] = {
    "underbody": _hidden(_BLACK, _UNDER),
    "bed_floor": _hidden(Surface.TEXTURED_PLASTIC, _UNDER),
    "bed_wall_front": _hidden(_BLACK, _UNDER),
    "bed_wall_rear": _hidden(_BLACK, _UNDER),
    "bed_wall": _hidden(_BLACK, _UNDER, paired=True),
    "rocker": _pair(),
    "cladding": _pair(Surface.TEXTURED_PLASTIC),
    "front_bumper": Part(Surface.PAINT, recesses=4, added_difficulty=_POCKETED),
    "front_lip": Part(Surface.TEXTURED_PLASTIC, pocket_difficulty=1.3),
    "grille": Part(Surface.TEXTURED_PLASTIC, _INSET, pocket_difficulty=3.0),
    "intake": _hidden(_BLACK, _INSET),
    "rear_bumper": Part(Surface.PAINT, recesses=3, added_difficulty=_POCKETED),
    "rear_lip": Part(Surface.TEXTURED_PLASTIC, pocket_difficulty=1.3),
    "hood": Part(Surface.PAINT, recesses=1),
    "cowl": _hidden(_BLACK, Layer.BODY),
    "fender": _pair(),
    "door_front": _pair(recesses=1),
    "door_rear": _pair(recesses=1),
    "quarter": _pair(),
    "bed_side": _pair(),
    "bed_cap": _hidden(Surface.TEXTURED_PLASTIC, Layer.BODY),
    "a_pillar": _pair(pocket_difficulty=1.2),
    "b_pillar": _pair(Surface.GLOSS_PLASTIC, Layer.GLASS),
    "roof": Part(Surface.PAINT),
    "rear_lid": Part(Surface.PAINT, recesses=2),
    "flare_front": _pair(layer=_INSET, pocket_difficulty=1.3),
    "flare_rear": _pair(layer=_INSET, pocket_difficulty=1.3),
    "windshield": Part(Surface.WINDSHIELD_GLASS, Layer.GLASS),
    "windshield_trim": _hidden(_BLACK, Layer.GLASS),
    "windshield_camera": _hidden(_BLACK, _INSET),
    "side_glass_front": _hidden(_GLASS, Layer.GLASS, paired=True),
    "side_glass_rear": _hidden(_GLASS, Layer.GLASS, paired=True),
    "side_glass_quarter": _hidden(_GLASS, Layer.GLASS, paired=True),
    "window_frame": _hidden(_BLACK, Layer.GLASS, paired=True),
    "window_moulding": _hidden(_BRIGHT, Layer.GLASS, paired=True),
    "rear_glass": _hidden(_GLASS, Layer.GLASS),
    "rear_glass_trim": _hidden(_BLACK, Layer.GLASS),
    "sunroof": _hidden(_GLASS, Layer.GLASS),
    "headlamp": _pair(Surface.LENS, _INSET),
    "fog_lamp": _pair(Surface.LENS, _INSET),
    "tail_lamp": _pair(Surface.LENS, _INSET),
    "fuel_door": Part(Surface.PAINT, _INSET),
    "hood_vent": _hidden(_BLACK, _INSET, paired=True),
    "fender_vent": _hidden(_BLACK, _INSET, paired=True),
    "front_plate": _hidden(_BRIGHT, _INSET),
    "rear_plate": _hidden(_BRIGHT, _INSET),
    "badge_front": _hidden(_BRIGHT, _FITTING),
    "badge_rear": _hidden(_BRIGHT, _FITTING),
    "tailgate_handle": _hidden(Surface.GLOSS_PLASTIC, _FITTING),
    "washer_jet": _hidden(_BLACK, _FITTING, paired=True),
    "handle_front": _pair(layer=_FITTING, pocket_difficulty=1.5),
    "handle_rear": _pair(layer=_FITTING, pocket_difficulty=1.5),
    "rear_spoiler": Part(Surface.PAINT, _FITTING, pocket_difficulty=1.3),
    "roof_antenna": _hidden(Surface.GLOSS_PLASTIC, _FITTING),
    "roof_rail": _pair(_BRIGHT, _FITTING, pocket_difficulty=1.5),
    "mirror_foot": _hidden(_BLACK, _FITTING, paired=True),
    "mirror": _pair(layer=Layer.MIRROR, recesses=1),
    "mirror_glass": _hidden(_GLASS, Layer.MIRROR, paired=True),
    "door_edge_front": _pair(layer=Layer.ZONE),
    "door_edge_rear": _pair(layer=Layer.ZONE),
    "door_cup_front": _pair(layer=Layer.ZONE, pocket_difficulty=1.5),
    "door_cup_rear": _pair(layer=Layer.ZONE, pocket_difficulty=1.5),
    "door_sill_front": _pair(layer=Layer.ZONE),
    "door_sill_rear": _pair(layer=Layer.ZONE),
    "loading_edge": Part(Surface.PAINT, Layer.ZONE),
}
"""In painter's order."""

_SENSOR = _hidden(_BLACK, _INSET, paired=True)


OPENINGS = ("wheel_arch_front", "wheel_arch_rear", "bed")
"""Labels of the charts' faces where the skin is open: no panels, but what other panels' edges meet."""


def part_of(label: str) -> Part:
    """The entry of a label; parking sensors are numbered and share one."""
    return _SENSOR if label.startswith("parking_sensor") else PARTS[label]


def panel_id(label: str, side: str) -> str:
    """The contract's id of a part on a side (`left`, `right`); centre parts have none."""
    return f"{label}_{side}" if part_of(label).paired else label

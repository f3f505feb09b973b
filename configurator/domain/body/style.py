"""A body style: the authored curves that a body is lifted from. Data files hold them; `loading.body_styles` reads them.

Frame: x rearward from the foremost point, y to the vehicle's right, z up from the ground; millimetres, on the style's
typical size. Curves are drawn on the vehicle's right side; the left is its exact mirror image.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from configurator.domain.body.records import Points, Side, Size


class View(StrEnum):
    """The view in which a control point was drawn: what its first number measures (its second is always the height z)."""

    SIDE = "side"
    FRONT = "front"
    REAR = "rear"


class Feature(StrEnum):
    """What a car may have beyond its bare body; the ids that `vehicle.features` names."""

    HOOD_VENTS = "hood_vents"
    FENDER_VENTS = "fender_vents"
    FENDER_FLARES = "fender_flares"
    FRONT_LIP = "front_lip"
    REAR_LIP = "rear_lip"
    REAR_SPOILER = "rear_spoiler"
    ROOF_ANTENNA = "roof_antenna"
    SUNROOF = "sunroof"
    ROOF_RAILS = "roof_rails"
    FOG_LAMPS = "fog_lamps"
    BADGES = "badges"
    WINDOW_MOULDINGS = "window_mouldings"
    CAMERA_MIRRORS = "camera_mirrors"
    PARKING_SENSORS = "parking_sensors"
    WASHER_JETS = "washer_jets"
    SIDE_CLADDING = "side_cladding"
    WINDSHIELD_CAMERA = "windshield_camera"


@dataclass(frozen=True, eq=False)
class Profile:
    """A plain curve: `points` (n, 2) mm, smooth except at `corners` (n,)."""

    points: Points
    corners: np.ndarray


@dataclass(frozen=True, eq=False)
class Drawn:
    """A curve drawn on the body: point i was set in `views[i]` at `along[i]` (x in the side view, y in the end views) and `heights[i]`."""

    views: tuple[View, ...]
    along: Points
    heights: Points
    corners: np.ndarray


@dataclass(frozen=True)
class Range:
    least: float
    most: float


@dataclass(frozen=True)
class PlausibleSize:
    """Sizes in which the style still looks and measures like such a car. `wheelbase_share` is wheelbase over length (L101 / L103)."""

    length_mm: Range
    width_mm: Range
    height_mm: Range
    wheelbase_mm: Range
    wheelbase_share: Range


@dataclass(frozen=True)
class Running:
    """Wheels and what surrounds them, mm."""

    front_overhang_mm: float
    tyre_diameter_mm: float
    tyre_width_mm: float
    rim_share: float
    arch_gap_mm: float


@dataclass(frozen=True, eq=False)
class Skin:
    """The curves that carry the surface.

    `plan` (x, y): the outline seen from above, nose centre to tail centre. `nose`, `tail` (setback, z): how far the end faces
    lie behind that outline. `centre_height` (x, z): the top surface at y = 0. `edge_height` (x, z) and `edge_half_width`
    (x, y): the line where the top surface meets the sides. `shoulder`, `sill` (x, z): the side's widest line and its lower one.
    """

    plan: Profile
    nose: Profile
    tail: Profile
    centre_height: Profile
    edge_height: Profile
    edge_half_width: Profile
    shoulder: Profile
    sill: Profile


@dataclass(frozen=True)
class Section:
    """How the side curves between sill and roof edge: insets in mm from the plan outline, exponents without unit."""

    waist_mm: float
    shoulder_inset_mm: float
    sill_inset_mm: float
    turn_under_mm: float
    turn_under_height_mm: float
    flare_mm: float
    sculpt_mm: float
    sculpt_height_mm: float
    upper_exponent: float
    crown_exponent: float


@dataclass(frozen=True)
class CrossLine:
    """A line across the top: x at the centre, and how much further back it lies at the edge (parabola in between)."""

    x_mm: float
    bow_mm: float


@dataclass(frozen=True)
class CrossLines:
    hood_front: CrossLine
    hood_rear: CrossLine
    cowl: CrossLine
    header: CrossLine
    rear_header: CrossLine
    deck_front: CrossLine | None
    trailing: CrossLine


@dataclass(frozen=True, eq=False)
class Cuts:
    """Cut lines on the side chart. They run past the panels they part: what lies where is settled by what encloses what."""

    bottom: Drawn
    front_door_front: Drawn
    front_door_rear: Drawn
    rear_door_rear: Drawn | None
    front_bumper: Drawn
    rear_bumper: Drawn
    rocker_top: Drawn
    cladding_top: Drawn
    upper_split_mm: float
    pillar_width_mm: float


@dataclass(frozen=True, eq=False)
class Outlines:
    """Closed outlines on the side chart, and half outlines (from the car's middle round to it again) of centre parts."""

    side_window: Drawn
    headlamp: Drawn
    tail_lamp: Drawn
    fog_lamp: Drawn
    fender_vent: Drawn
    grille: Drawn
    intake: Drawn | None
    front_lip: Drawn
    rear_lip: Drawn
    tail_face: Drawn
    rear_window: Drawn | None
    """On the tail face; None where the rear window lies in the top surface."""


@dataclass(frozen=True)
class Patch:
    """A small rounded part on the side chart: its middle, its size, and how far it stands out. mm."""

    view: View
    along_mm: float
    height_mm: float
    long_mm: float
    tall_mm: float
    raised_mm: float = 0.0


@dataclass(frozen=True)
class TopPatch:
    """A part on the top surface from `x_from` to `x_to`, between two shares of the half width there (0 = across the middle)."""

    x_from_mm: float
    x_to_mm: float
    share_from: float
    share_to: float
    raised_mm: float = 0.0


@dataclass(frozen=True)
class MirrorShape:
    """A door mirror: middle (x, y, z) of its housing, half sizes, and how it sweeps back and rises outward."""

    middle_mm: tuple[float, float, float]
    half_mm: tuple[float, float, float]
    sweep: float
    rise: float


@dataclass(frozen=True)
class SidePatches:
    """Small parts on the side chart; None or empty where the style has none."""

    front_handle: Patch
    rear_handle: Patch | None
    mirror_foot: Patch
    fuel_door: Patch
    front_sensors: tuple[Patch, ...]
    rear_sensors: tuple[Patch, ...]
    front_badge: Patch | None
    rear_badge: Patch
    tailgate_handle: Patch | None
    front_plate: Patch
    rear_plate: Patch


@dataclass(frozen=True)
class TopPatches:
    """Parts on the top surface; None where a style can't have one."""

    spoiler: TopPatch | None
    antenna: TopPatch | None
    roof_rail: TopPatch | None
    sunroof: TopPatch | None
    hood_vent: TopPatch
    washer_jet: TopPatch
    hood_badge: TopPatch | None
    bed: TopPatch | None
    fabric_window: Profile | None


@dataclass(frozen=True, eq=False)
class Decor:
    """Lines that are drawn and bound nothing: creases and ribs in the top surface (x, share of the half width), slide tracks."""

    creases: tuple[Profile, ...]
    ribs: tuple[Profile, ...]
    tracks: tuple[Drawn, ...]


@dataclass(frozen=True, eq=False)
class BodyStyle:
    """One body style as authored. `face` holds what the drawing needs to know of lamps, grille and wheels (see DEVELOPERS.md)."""

    id: str
    iso_3833: str | None
    """Clause of ISO 3833:1977 whose term the style stands for; None for a trade word without one."""
    typical_size: Size
    plausible: PlausibleSize
    running: Running
    fuel_door: Side
    usual_features: frozenset[str]
    possible_features: frozenset[str]
    soft_roof: bool
    skin: Skin
    section: Section
    cross_lines: CrossLines
    cuts: Cuts
    outlines: Outlines
    side_patches: SidePatches
    top_patches: TopPatches
    mirror: MirrorShape
    decor: Decor
    recesses: Mapping[str, int] = field(default_factory=dict)
    """Panel label -> ridges, cups and pockets trimmed by hand."""
    face: Mapping[str, object] = field(default_factory=dict)

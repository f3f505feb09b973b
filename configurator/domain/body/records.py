"""A car's body as one 3-D description: what the drawing, the areas, the seams and the film are all taken from.

Frame (as in SAE J1100/J182): x rearward from the foremost point, y to the vehicle's right, z up from the ground; millimetres.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Indices = NDArray[np.int64]


class Side(StrEnum):
    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


class EdgeKind(StrEnum):
    """What lies beyond an edge, which decides how film can end there (model: developed lengths by kind)."""

    SHUT_LINE = "shut_line"
    WHEEL_ARCH = "wheel_arch"
    GLASS = "glass"
    LAMP = "lamp"
    PART = "part"
    BODY_JOIN = "body_join"
    OPEN = "open"


class Surface(StrEnum):
    """What a panel is made of before the visitor's own words (`vehicle.paint`, `vehicle.surfaces`) are applied."""

    PAINT = "paint"
    GLOSS_PLASTIC = "gloss_plastic"
    TEXTURED_PLASTIC = "textured_plastic"
    BRIGHT_TRIM = "bright_trim"
    FABRIC = "fabric"
    LENS = "lens"
    WINDSHIELD_GLASS = "windshield_glass"
    OTHER_GLASS = "other_glass"
    BLACK_TRIM = "black_trim"


class Layer(StrEnum):
    """Painter's order within a view, from the back: what may lie over what."""

    UNDER = "under"
    BODY = "body"
    GLASS = "glass"
    INSET = "inset"
    FITTING = "fitting"
    MIRROR = "mirror"
    ZONE = "zone"


@dataclass(frozen=True)
class Size:
    """Overall dimensions in mm (SAE J1100 L103, W103 without mirrors, H100, L101)."""

    length_mm: float
    width_mm: float
    height_mm: float
    wheelbase_mm: float


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles on a surface. `vertices` (n, 3) mm; `triangles` (m, 3) indices, normals outward.

    `lay` (n, 2) mm: a rough flat lay of the vertices, from which `flatten` starts. `normals` (n, 3): outward unit normals of the true
    surface at the vertices, for shading and outlines; None where only the triangles tell.
    """

    vertices: Points
    triangles: Indices
    lay: Points | None = None
    normals: Points | None = None


@dataclass(frozen=True, eq=False)
class Loop:
    """One closed boundary ring of a mesh. Segment i runs from vertex `indices[i]` to `indices[(i + 1) % n]`.

    `kinds[i]` says what lies beyond segment i; `neighbours[i]` is the id of the panel there, or the removable part
    (`headlamp_left`, `badge_front`), or None.
    """

    indices: Indices
    kinds: tuple[EdgeKind, ...]
    neighbours: tuple[str | None, ...]


@dataclass(frozen=True)
class Edge:
    """A stretch of a panel's boundary by kind and neighbour, its true length in mm."""

    kind: EdgeKind
    length_mm: float
    neighbour: str | None = None


@dataclass(frozen=True, eq=False)
class FlatOutline:
    """A panel laid flat. `points` (n, 2) mm for every mesh vertex (same indices as the mesh), least distorted.

    `strain` is the 5-95 % span of the principal stretches between flat and curved; difficulty is min(strain, 0.20) / 0.20.
    The panel's lengthwise direction (toward the car's nose) is `nose`, a unit vector in the flat plane.
    """

    points: Points
    strain: float
    nose: tuple[float, float]


@dataclass(frozen=True, eq=False)
class Panel:
    """One panel, lamp, pane or fitting of a body. Measures (`area_m2`, `edges`, `difficulty`, `flat`) live in `measure`."""

    id: str
    side: Side
    surface: Surface
    layer: Layer
    mesh: Mesh
    loops: tuple[Loop, ...]
    recesses: int = 0
    """Ridges, cups, pockets that are relieved, tucked and trimmed by hand (authored: curvature can't see them)."""
    covered_share: float = 0.0
    """Share of the mesh that another fitting hides for good (a spoiler over the lid): no film there."""
    pocket_difficulty: float = 1.0
    """Authored factor on the flattening strain for vents, pockets and tight edges; 1 = none."""
    added_difficulty: float = 0.0
    """Authored, beside the strain: what pockets for lamps, plate and sensors ask for however little the panel itself is bent."""
    selectable: bool = True
    """True when the contract lists this id as a panel, zone, lamp or glass that a selection can name."""
    mirror_of: "Panel | None" = None
    """The right-hand panel whose exact mirror image this is: its measures hold here too."""


@dataclass(frozen=True)
class Wheel:
    """A wheel on the vehicle's right; the left one is its mirror image. Millimetres."""

    x_mm: float
    tyre_radius_mm: float
    rim_radius_mm: float
    width_mm: float
    outer_y_mm: float
    arch_radius_mm: float


@dataclass(frozen=True, eq=False)
class FeatureLine:
    """A line on the body that is drawn but bounds no panel (crease, roof rib, slide track). `points` (n, 3) mm."""

    kind: str
    points: Points


@dataclass(frozen=True)
class Fitting:
    """A part that comes off when edges are hidden: its catalogue key in the price book, and the panel it frees."""

    id: str
    part: str
    panels: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Body:
    """A measured body. `panels` in painter's order; `face` holds the style's own choices for lamps, grille and wheels."""

    style: str
    size: Size
    features: frozenset[str]
    fuel_door: Side
    panels: Mapping[str, Panel]
    wheels: tuple[Wheel, ...]
    lines: tuple[FeatureLine, ...]
    fittings: tuple[Fitting, ...]
    centre_profile: Points
    """(n, 3) points of the body's silhouette in the plane y = 0, ground clearance to roof, for closed views."""
    face: Mapping[str, object] = field(default_factory=dict)

"""What a visitor picked, as understood: every default filled in, every id known to this body and this price book.

The document's shape is checked in `configurator.wire`; what it means for a body and a price book is checked in `resolve`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from configurator.domain.body.records import Side, Size


class Paint(StrEnum):
    GLOSS = "gloss"
    MATTE = "matte"


class Material(StrEnum):
    GLOSS_PAINT = "gloss_paint"
    MATTE_PAINT = "matte_paint"
    GLOSS_PLASTIC = "gloss_plastic"
    TEXTURED_PLASTIC = "textured_plastic"
    CARBON_GLOSS = "carbon_gloss"
    CARBON_MATTE = "carbon_matte"
    BRIGHT_TRIM = "bright_trim"
    VINYL = "vinyl"
    FABRIC = "fabric"
    LENS = "lens"
    LAMINATED_GLASS = "laminated_glass"
    TEMPERED_GLASS = "tempered_glass"
    BLACK_TRIM = "black_trim"


class PaintCondition(StrEnum):
    NEW = "new"
    DRIVEN = "driven"
    CHIPPED = "chipped"


class Correction(StrEnum):
    NONE = "none"
    ONE_STEP = "one_step"
    TWO_STEP = "two_step"


class Package(StrEnum):
    NONE = "none"
    PARTIAL_FRONT = "partial_front"
    FULL_FRONT = "full_front"
    TRACK = "track"
    FULL_BODY = "full_body"


class Treatment(StrEnum):
    """How film ends at an edge."""

    WRAPPED = "wrapped"
    TRIMMED = "trimmed"
    HIDDEN = "hidden"


class LampFilm(StrEnum):
    NONE = "none"
    CLEAR = "clear"
    SMOKE_LIGHT = "smoke_light"
    SMOKE_MEDIUM = "smoke_medium"
    SMOKE_DARK = "smoke_dark"


LAMP_GROUPS = ("headlamps", "fog_lamps", "tail_lamps")


@dataclass(frozen=True)
class GivenSize:
    """The lengths a visitor gave, in mm; None where the body's typical one stands."""

    length_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    wheelbase_mm: float | None = None


@dataclass(frozen=True)
class Border:
    width_mm: float
    finish: str


@dataclass(frozen=True)
class Stripes:
    """Factory stripes, symmetric about `offset_mm` from the centre line (count 2: a gap between them). mm."""

    count: int
    width_mm: float
    gap_mm: float
    offset_mm: float
    finish: str
    border: Border | None = None


@dataclass(frozen=True)
class Vehicle:
    """`features` None: what that body usually has. `fuel_door` None: the body's own side."""

    body: str
    size: GivenSize | Size = field(default_factory=GivenSize)
    paint: Paint = Paint.GLOSS
    features: frozenset[str] | None = None
    fuel_door: Side | None = None
    surfaces: Mapping[str, Material] = field(default_factory=lambda: MappingProxyType({}))
    stripes: Stripes | None = None
    paint_condition: PaintCondition = PaintCondition.NEW
    resprayed: Mapping[str, date] = field(default_factory=lambda: MappingProxyType({}))
    correction: Correction = Correction.NONE
    remove_film: tuple[str, ...] = ()
    coated: bool = False


@dataclass(frozen=True)
class Selection:
    """Straight from the wire some fields are None ('absent'); after `resolve` none is, `size` is a `Size`, and all ids exist."""

    vehicle: Vehicle
    package: Package = Package.NONE
    add: tuple[str, ...] = ()
    remove: tuple[str, ...] = ()
    default_finish: str = "match"
    panel_finishes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    edges: Treatment = Treatment.WRAPPED
    lamps: Mapping[str, LampFilm] = field(default_factory=lambda: MappingProxyType({}))
    """Only the groups that were given; after `resolve` every group that the body has."""
    windshield: LampFilm = LampFilm.NONE
    region: str | None = None
    drop_off: date | None = None

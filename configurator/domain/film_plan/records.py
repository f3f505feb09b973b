"""Film: what is cut, the live figure that prices it, and the plan that places it on rolls."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Ring = NDArray[np.float64]
"""(n, 2) corners in mm of a closed line, the first not repeated."""

SEAM = "seam"
"""Edge kind of a piece where it meets another piece of the same panel (a stripe's edge, a split for the roll)."""


@dataclass(frozen=True)
class FilmUse:
    """How much of one roll a job takes, as the live (additive, monotone) model says."""

    film: str
    roll_width_mm: float
    length_m: float
    pieces: int
    piece_area_m2: float

    @property
    def waste_share(self) -> float:
        area = self.length_m * self.roll_width_mm / 1000
        return 1 - self.piece_area_m2 / area if area else 0.0


@dataclass(frozen=True)
class Joint:
    """Where a piece is butted against another one of its panel: that piece's id, and mm of the line on what shows."""

    piece: str
    length_mm: float


@dataclass(frozen=True, eq=False)
class Piece:
    """One outline to cut. `cut` (n, 2) mm, the line the blade follows; `nest` contains it with the handling margin.

    `edge_kinds[i]` belongs to segment i of `cut`; `nose` is the unit vector toward the car's nose in the outline's plane;
    `covers_m2` is its share of the panel's visible area (without turn-in; without what a part on the panel hides), `bare_m2` what of
    that stays without film along edges where it is cut to stop short. A piece lies as it comes off the drawing board: turned to
    its smallest rectangle, or with the film's own direction along x.
    """

    id: str
    panel: str
    film: str
    role: str
    """base, stripe, border, lamp or windshield."""
    cut: Ring
    nest: Ring
    fold: Ring
    edge_kinds: tuple[str, ...]
    nose: tuple[float, float]
    covers_m2: float
    directional: bool
    mirror_of: str | None = None
    openings: tuple[Ring, ...] = ()
    """Lines to cut inside the outline: where a part or a lamp stands in the panel."""
    number: int = 0
    """Counts the pieces of one panel and role from 1, left to right; 0 when it is the only one."""
    recesses: int = 0
    """Ridges, cups and pockets that are relieved and tucked by hand on the car."""
    joints: tuple[Joint, ...] = ()
    bare_m2: float = 0.0

    @property
    def angles_deg(self) -> tuple[float, ...]:
        """The turns a roll allows: a film with a direction only end for end."""
        return (0.0, 180.0) if self.directional else (0.0, 90.0, 180.0, 270.0)

    @cached_property
    def cut_area_mm2(self) -> float:
        """Area inside the outline (openings are waste, so they stay in)."""
        return ring_area(self.cut)

    @cached_property
    def nest_area_mm2(self) -> float:
        return ring_area(self.nest)

    @cached_property
    def nest_box_mm(self) -> tuple[float, float]:
        """Length and breadth of the nest outline as it lies: x, y."""
        along, across = np.ptp(self.nest, axis=0)
        return float(along), float(across)

    @cached_property
    def cut_box_mm(self) -> tuple[float, float]:
        along, across = np.ptp(self.cut, axis=0)
        return float(along), float(across)

    def breadth_mm(self) -> float:
        """The narrowest roll that takes the cut outline (the margin gives way)."""
        return self.cut_box_mm[1] if self.directional else min(self.cut_box_mm)


@dataclass(frozen=True, eq=False)
class Placement:
    """A piece on a roll: turned by `angle_deg` about the origin, then moved by (x, y); x along the roll."""

    piece: Piece
    angle_deg: float
    x_mm: float
    y_mm: float

    def placed(self, ring: Ring) -> Ring:
        """A ring of the piece (cut, fold, nest, an opening) where it lies on the roll."""
        return np.asarray(turned(ring, self.angle_deg) + np.array([self.x_mm, self.y_mm]))


@dataclass(frozen=True, eq=False)
class RollPlan:
    """One run of film off one roll. Where the shop keeps track of its rolls, `stock` names this one and `left_mm` is what was on it."""

    film: str
    roll_width_mm: float
    length_mm: float
    placements: tuple[Placement, ...]
    stock: str | None = None
    left_mm: float | None = None

    @property
    def piece_area_m2(self) -> float:
        return sum(placement.piece.cut_area_mm2 for placement in self.placements) / 1e6

    @property
    def waste_share(self) -> float:
        area = self.length_mm * self.roll_width_mm / 1e6
        return 1 - self.piece_area_m2 / area if area else 0.0


@dataclass(frozen=True, eq=False)
class FilmPlan:
    """`planner`: quick or deep; `note` is the code of what a reader must know (`deep_missing`, `deep_failed`, `quick_was_cheaper`)."""

    planner: str
    rolls: tuple[RollPlan, ...]
    note: str | None = None


def ring_area(ring: Ring) -> float:
    """Area in mm2 by the shoelace formula, whatever the sense of rotation."""
    x, y = ring[:, 0], ring[:, 1]
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


def turned(ring: Ring, angle_deg: float) -> Ring:
    """`ring` turned counter-clockwise about the origin; quarter turns are exact."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}.get(angle_deg % 360)
    cosine, sine = quarter or (float(np.cos(np.radians(angle_deg))), float(np.sin(np.radians(angle_deg))))
    return np.asarray(ring @ np.array([[cosine, sine], [-sine, cosine]]))

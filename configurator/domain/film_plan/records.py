"""Film: what is cut, the live figure that prices it, and the plan that places it on rolls."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


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


@dataclass(frozen=True, eq=False)
class Piece:
    """One outline to cut. `cut` (n, 2) mm, the line the blade follows; `nest` contains it with the handling margin.

    `edge_kinds[i]` belongs to segment i of `cut`; `nose` is the unit vector toward the car's nose in the outline's plane;
    `covers_m2` is the visible panel area it covers (without turn-in).
    """

    id: str
    panel: str
    film: str
    role: str
    cut: NDArray[np.float64]
    nest: NDArray[np.float64]
    fold: NDArray[np.float64]
    edge_kinds: tuple[str, ...]
    nose: tuple[float, float]
    covers_m2: float
    directional: bool
    mirror_of: str | None = None


@dataclass(frozen=True, eq=False)
class Placement:
    """A piece on a roll: turned by `angle_deg` about the origin, then moved by (x, y); x along the roll."""

    piece: Piece
    angle_deg: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True, eq=False)
class RollPlan:
    film: str
    roll_width_mm: float
    length_mm: float
    placements: tuple[Placement, ...]


@dataclass(frozen=True, eq=False)
class FilmPlan:
    """`planner`: quick or deep; `note` says what a reader must know (the deep solver is missing, it ran out of time)."""

    planner: str
    rolls: tuple[RollPlan, ...]
    note: str | None = None

"""The film plan as a document: what `film-plan` prints, and what is kept so that a plan can be drawn again as it was cut."""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from configurator.domain.film_plan.records import FilmPlan, Joint, Piece, Placement, Ring, RollPlan
from configurator.domain.film_plan.spares import Spare, spare_rectangles

DECIMALS_MM = 2

PLAIN = ("id", "panel", "film", "role", "number", "recesses", "mirror_of", "covers_m2", "bare_m2", "directional")
"""What of a piece is kept as it is."""


def film_plan_document(plan: FilmPlan) -> dict[str, Any]:
    """The plan as the contract has it: per roll its film, width, length, area and share of waste, and every outline as placed."""
    return {"planner": plan.planner, "note": plan.note, "rolls": [_roll(roll) for roll in plan.rolls]}


def _roll(roll: RollPlan) -> dict[str, Any]:
    length_m = math.ceil(round(roll.length_mm, 3)) / 1000
    area_m2 = roll.piece_area_m2
    return {
        "film": roll.film,
        "stock": roll.stock,
        "stock_left_m": None if roll.left_mm is None else _plain(roll.left_mm / 1000),
        "roll_width_mm": _plain(roll.roll_width_mm),
        "length_m": length_m,
        "piece_area_m2": round(area_m2, 6),
        "waste_share": round(1 - area_m2 / (length_m * roll.roll_width_mm / 1000), 4),
        "offcuts": [_offcut(spare) for spare in spare_rectangles(roll)],
        "pieces": [_piece(placement) for placement in roll.placements],
    }


def _offcut(spare: Spare) -> dict[str, Any]:
    return {name: _plain(getattr(spare, name)) for name in ("x_mm", "y_mm", "along_mm", "across_mm")}


def _piece(placement: Placement) -> dict[str, Any]:
    piece = placement.piece
    return {
        "id": piece.id,
        "panel": piece.panel,
        "role": piece.role,
        "mirror_of": piece.mirror_of,
        "covers_m2": round(piece.covers_m2, 6),
        "bare_m2": round(piece.bare_m2, 6),
        "edges": [{"kind": kind, "segments": count} for kind, count in _runs(piece.edge_kinds)],
        "joints": [{"piece": joint.piece, "length_mm": round(joint.length_mm, 1)} for joint in piece.joints],
        "turned_deg": _plain(placement.angle_deg),
        "polygon": _points(placement.placed(piece.cut)),
        "openings": [_points(placement.placed(opening)) for opening in piece.openings],
    }


def _points(ring: Ring) -> list[list[float]]:
    return [[float(x), float(y)] for x, y in (np.round(ring, DECIMALS_MM) + 0.0)]


def _plain(number: float) -> float | int:
    return int(number) if float(number).is_integer() else round(number, 3)


def kept_film_plan(plan: FilmPlan) -> dict[str, Any]:
    """Everything of a plan, so that `restored_film_plan` gives it back to the thousandth of a millimetre."""
    return {
        "planner": plan.planner,
        "note": plan.note,
        "rolls": [
            {
                "film": roll.film,
                "stock": roll.stock,
                "left_mm": roll.left_mm,
                "roll_width_mm": roll.roll_width_mm,
                "length_mm": roll.length_mm,
                "placements": [_kept_placement(placement) for placement in roll.placements],
            }
            for roll in plan.rolls
        ],
    }


def restored_film_plan(kept: Mapping[str, Any]) -> FilmPlan:
    """The plan that `kept_film_plan` took down."""
    return FilmPlan(kept["planner"], tuple(_restored_roll(roll) for roll in kept["rolls"]), kept["note"])


def _kept_placement(placement: Placement) -> dict[str, Any]:
    piece = placement.piece
    return {
        "at": [placement.x_mm, placement.y_mm, placement.angle_deg],
        **{name: getattr(piece, name) for name in PLAIN},
        "nose": list(piece.nose),
        "edge_kinds": _runs(piece.edge_kinds),
        "joints": [[joint.piece, joint.length_mm] for joint in piece.joints],
        "cut": piece.cut.tolist(),
        "nest": piece.nest.tolist(),
        "fold": piece.fold.tolist(),
        "openings": [opening.tolist() for opening in piece.openings],
    }


def _restored_roll(roll: Mapping[str, Any]) -> RollPlan:
    placements = tuple(_restored_placement(placement) for placement in roll["placements"])
    return RollPlan(roll["film"], roll["roll_width_mm"], roll["length_mm"], placements, stock=roll["stock"], left_mm=roll["left_mm"])


def _restored_placement(kept: Mapping[str, Any]) -> Placement:
    x, y, angle = kept["at"]
    plain = {name: kept[name] for name in PLAIN}
    piece = Piece(
        **plain,
        nose=(kept["nose"][0], kept["nose"][1]),
        edge_kinds=tuple(kind for kind, count in kept["edge_kinds"] for _ in range(count)),
        joints=tuple(Joint(other, length) for other, length in kept["joints"]),
        cut=np.array(kept["cut"]),
        nest=np.array(kept["nest"]),
        fold=np.array(kept["fold"]),
        openings=tuple(np.array(opening) for opening in kept["openings"]),
    )
    return Placement(piece, angle, x, y)


def _runs(kinds: tuple[str, ...]) -> list[tuple[str, int]]:
    """Equal neighbours counted together."""
    runs: list[tuple[str, int]] = []
    for kind in kinds:
        if runs and runs[-1][0] == kind:
            runs[-1] = (kind, runs[-1][1] + 1)
        else:
            runs.append((kind, 1))
    return runs

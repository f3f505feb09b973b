"""Left and right: a piece for the other side of the car, and which pieces are pairs."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from configurator.domain.film_plan.records import Piece, Ring, ring_area


def mirrored(piece: Piece, panel: str) -> Piece:
    """The same piece for the other side of the car, the way round of its outline kept."""
    width = float(piece.nest[:, 0].max())
    return replace(
        piece,
        id=piece.id.replace(piece.panel, panel),
        panel=panel,
        cut=_reflected(piece.cut, width),
        nest=_reflected(piece.nest, width),
        fold=_reflected(piece.fold, width),
        openings=tuple(_reflected(opening, width) for opening in piece.openings),
        edge_kinds=(*piece.edge_kinds[-2::-1], piece.edge_kinds[-1]),
        nose=(-piece.nose[0], piece.nose[1]),
        joints=tuple(replace(joint, piece=joint.piece.replace(piece.panel, panel)) for joint in piece.joints),
    )


def _reflected(line: Ring, width: float) -> Ring:
    """Corners with x turned round within the box and in reverse order: segment i was segment n - 2 - i (the last stays last)."""
    return np.asarray(np.round(line[::-1] * np.array([-1.0, 1.0]) + np.array([width, 0.0]), 3) + 0.0)


def paired_up(made: Iterable[Piece]) -> tuple[Piece, ...]:
    """Left pieces that are mirror images of right ones say so (same film, area and perimeter to 0.1 %)."""
    known = {piece.id: piece for piece in made}
    paired = []
    for piece in known.values():
        twin = known.get(piece.id.replace("_left", "_right")) if "_left" in piece.panel else None
        paired.append(replace(piece, mirror_of=twin.id) if twin and _mirrors(piece, twin) else piece)
    return tuple(paired)


def _mirrors(left: Piece, right: Piece) -> bool:
    same_size = abs(ring_area(left.cut) - ring_area(right.cut)) <= 1e-3 * ring_area(right.cut)
    return left.film == right.film and same_size and abs(_perimeter(left.cut) - _perimeter(right.cut)) <= 1e-3 * _perimeter(right.cut)


def _perimeter(line: Ring) -> float:
    return float(np.linalg.norm(np.roll(line, -1, axis=0) - line, axis=1).sum())

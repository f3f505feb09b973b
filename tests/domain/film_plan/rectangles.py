"""Pieces of known shape, without a car."""

import numpy as np

from configurator.domain.film_plan.records import Piece


def piece(
    id: str, ring: list[tuple[float, float]], *, margin: float = 0.0, directional: bool = False, film: str = "clear", **more: object
) -> Piece:
    """A piece whose nest outline is its cut outline, grown by `margin` as a rectangle would be."""
    cut = np.array(ring, dtype=float)
    low, high = cut.min(axis=0) - margin, cut.max(axis=0) + margin
    nest = cut if margin == 0 else np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    return Piece(
        id=id,
        panel=id,
        film=film,
        role="base",
        cut=cut,
        nest=nest,
        fold=cut,
        edge_kinds=("shut_line",) * len(cut),
        nose=(-1.0, 0.0),
        covers_m2=1.0,
        directional=directional,
        **more,  # type: ignore[arg-type]
    )


def rectangle(id: str, along: float, across: float, **more: object) -> Piece:
    """A rectangle with a corner at the origin."""
    return piece(id, [(0, 0), (along, 0), (along, across), (0, across)], **more)  # type: ignore[arg-type]

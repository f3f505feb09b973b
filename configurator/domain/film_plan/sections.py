"""Panels that can't lie flat in one piece: laid flat, they would lie over themselves (a frame round a window over what it frames).

Such a panel is cut in two by a plane across the car, where both parts lie flat and the seam is short.
"""

from dataclasses import replace

import numpy as np

from configurator.domain.body.cut import keep_behind, keep_in_front_of
from configurator.domain.body.records import EdgeKind, Panel
from configurator.domain.film_plan.flat_panel import Allowance, FlatPanel, lay_flat

FOLDED = 5e-4
"""Share of a panel's area that may lie on itself: less is rounding."""

PLANES = 8


def flat_sections(panel: Panel, allowance: Allowance) -> tuple[FlatPanel, ...]:
    """`panel` laid flat, in one part or, where that would overlap itself, in two (the front one first).

    What hides part of the panel is taken to hide the same share of both. Where no plane helps, the one part comes back as it is.
    """
    whole = lay_flat(panel, allowance)
    if whole.overlap_share <= FOLDED:
        return (whole,)
    x = panel.mesh.vertices[:, 0]
    parted = [_parted(panel, float(level)) for level in np.linspace(x.min(), x.max(), PLANES + 2)[1:-1]]
    for level, parts in sorted(parted, key=lambda parted: _open_mm(parted[1][0])):
        flat = tuple(lay_flat(part, allowance, seam_x_mm=level) for part in parts)
        if all(section.overlap_share <= FOLDED for section in flat):
            return flat
    return (whole,)


def _parted(panel: Panel, x_mm: float) -> tuple[float, tuple[Panel, Panel]]:
    front, rear = keep_in_front_of(panel, x_mm), keep_behind(panel, x_mm)
    return x_mm, (replace(front, covered_share=panel.covered_share), replace(rear, covered_share=panel.covered_share))


def _open_mm(panel: Panel) -> float:
    """mm of open edge: the seam, and what was open before whichever plane is taken."""
    ends = [(loop.indices, np.roll(loop.indices, -1), [kind is EdgeKind.OPEN for kind in loop.kinds]) for loop in panel.loops]
    vertices = panel.mesh.vertices
    return sum(float(np.linalg.norm(vertices[after[where]] - vertices[before[where]], axis=1).sum()) for before, after, where in ends)

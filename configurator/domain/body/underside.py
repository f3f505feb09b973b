"""What closes the picture below and inside: underbody and the box of a pickup's bed. Drawn, never selected."""

import numpy as np

from configurator.domain.body.panels import Half
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.shell import Shell
from configurator.domain.body.sides import outline
from configurator.domain.body.vectors import cross, lengths

_PAN_ABOVE_EDGE_MM = 9.0
"""So that the pan shares no points with the skin, whose shading it must not touch."""


def underside_halves(shell: Shell, bed_depth_mm: float | None) -> dict[str, Half]:
    found = {"underbody": _floor(shell)}
    if bed_depth_mm is not None:
        found |= _box(shell, bed_depth_mm)
    return found


def _floor(shell: Shell) -> Half:
    """A pan a little above the body's lower edge, straight to the car's middle."""
    edges = shell.sides.edges[shell.sides.twins < 0]
    edges = edges[~(shell.vertices[edges, 1] == 0.0).all(axis=1)]
    used, place = np.unique(edges, return_inverse=True)
    rim = shell.vertices[used] + [0.0, 0.0, _PAN_ABOVE_EDGE_MM]
    return _bare(np.vstack([rim, rim * [1.0, 0.0, 1.0]]), _quads(place.reshape(-1, 2)[:, ::-1], len(used)))


def _quads(edges: Indices, step: int) -> Indices:
    a, b = edges[:, 0], edges[:, 1]
    return np.vstack([np.stack([a, b, b + step], axis=1), np.stack([a, b + step, a + step], axis=1)])


def _box(shell: Shell, depth_mm: float) -> dict[str, Half]:
    """The bed: walls down from its opening to a flat floor, each wall a piece of its own."""
    opening = shell.triangles[shell.label == shell.labels.index("bed")]
    rim_edges = outline(opening, len(shell.vertices))
    rim_edges = rim_edges[~(shell.vertices[rim_edges, 1] == 0.0).all(axis=1)]
    used, place = np.unique(opening, return_inverse=True)
    rim = np.searchsorted(used, rim_edges)
    floor = shell.vertices[used].copy()
    floor[:, 2] = floor[:, 2].min() - depth_mm
    points = np.vstack([shell.vertices[used], floor])
    run = shell.vertices[rim_edges[:, 1]] - shell.vertices[rim_edges[:, 0]]
    across = np.abs(run[:, 1]) > np.abs(run[:, 0])
    ahead = shell.vertices[rim_edges[:, 0], 0] < shell.vertices[used, 0].mean()
    walls = {"bed_wall_front": across & ahead, "bed_wall_rear": across & ~ahead, "bed_wall": ~across}
    found = {label: _bare(points, _quads(rim[chosen], len(used))) for label, chosen in walls.items()}
    return found | {"bed_floor": _bare(points, place.reshape(-1, 3) + len(used))}


def _bare(points: Points, triangles: Indices) -> Half:
    """A half whose edges meet nothing that matters; degenerate triangles (in the car's middle) are left out."""
    corners = points[triangles]
    area = lengths(cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]))
    triangles = triangles[area > 1e-6]
    used, renumbered = np.unique(triangles, return_inverse=True)
    triangles = renumbered.reshape(-1, 3)
    ends = outline(triangles, len(used))
    return Half(points[used], points[used][:, :2], triangles, ends, (None,) * len(ends), folded=True)

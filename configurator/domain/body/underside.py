"""What closes the picture below and inside: underbody, wheel wells, the box of a pickup's bed. Drawn, never selected."""

import numpy as np

from configurator.domain.body.panels import Half
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.shell import Shell
from configurator.domain.body.triangulation import half_edges, twin_of_each

_WELL_DEPTH_MM = 250.0


def underside_halves(shell: Shell, bed_depth_mm: float | None) -> dict[str, Half]:
    edges = half_edges(shell.triangles)
    twins = twin_of_each(edges, len(shell.vertices))
    in_middle = (shell.vertices[edges, 1] == 0.0).all(axis=1)
    found = {"underbody": _floor(shell.vertices, edges[(twins < 0) & ~in_middle])}
    for label in ("wheel_arch_front", "wheel_arch_rear"):
        arch = shell.labels.index(label)
        on_arch = (np.repeat(shell.label, 3) == arch) & (twins >= 0)
        on_arch &= shell.label[np.maximum(twins, 0) // 3] != arch
        found[label.replace("arch", "well")] = _strip(shell.vertices, edges[on_arch], np.array([0.0, -_WELL_DEPTH_MM, 0.0]))
    if bed_depth_mm is not None:
        found["bed"] = _box(shell, bed_depth_mm)
    return found


def _strip(vertices: Points, edges: Indices, shift: Points) -> Half:
    """A band of quads from the edges to the edges moved by `shift`."""
    used, place = np.unique(edges, return_inverse=True)
    place = place.reshape(-1, 2)
    count = len(used)
    points = np.vstack([vertices[used], vertices[used] + shift])
    points[:, 1] = np.maximum(points[:, 1], 0.0)
    return _bare(points, _quads(place, count))


def _quads(edges: Indices, step: int) -> Indices:
    a, b = edges[:, 0], edges[:, 1]
    return np.vstack([np.stack([a, b, b + step], axis=1), np.stack([a, b + step, a + step], axis=1)])


def _floor(vertices: Points, edges: Indices) -> Half:
    """From the body's lower edge straight to the car's middle."""
    used, place = np.unique(edges, return_inverse=True)
    place = place.reshape(-1, 2)
    points = np.vstack([vertices[used], vertices[used] * [1.0, 0.0, 1.0]])
    return _bare(points, _quads(place[:, ::-1], len(used)))


def _box(shell: Shell, depth_mm: float) -> Half:
    """The bed: walls down from its opening and a flat floor."""
    opening = shell.triangles[shell.label == shell.labels.index("bed")]
    edges = half_edges(opening)
    outline = edges[twin_of_each(edges, len(shell.vertices)) < 0]
    outline = outline[~(shell.vertices[outline, 1] == 0.0).all(axis=1)]
    used, place = np.unique(opening, return_inverse=True)
    count = len(used)
    rim = np.searchsorted(used, outline)
    floor = shell.vertices[used].copy()
    floor[:, 2] = floor[:, 2].min() - depth_mm
    points = np.vstack([shell.vertices[used], floor])
    triangles = np.vstack([_quads(rim, count), place.reshape(-1, 3) + count])
    return _bare(points, triangles)


def _bare(points: Points, triangles: Indices) -> Half:
    """A half whose edges meet nothing that matters; degenerate triangles (in the car's middle) are left out."""
    corners = points[triangles]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    triangles = triangles[area > 1e-6]
    used, renumbered = np.unique(triangles, return_inverse=True)
    triangles = renumbered.reshape(-1, 3)
    edges = half_edges(triangles)
    outline = edges[twin_of_each(edges, len(used)) < 0]
    return Half(points[used], points[used][:, :2], triangles, outline, (None,) * len(outline), folded=True)

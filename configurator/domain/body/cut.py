"""Part of a panel: everything on one side of a plane or a line, by exact clipping of its triangles.

Each cut gives a smaller `Panel` whose new edges are `open` (a visible edge) and whose old ones keep their kind and neighbour. The
two sides of one cut add up to the whole panel. A cut that leaves all of the panel gives the panel itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from configurator.domain.body.loops import chained, outer_first
from configurator.domain.body.measure import surface_area_mm2
from configurator.domain.body.records import EdgeKind, Indices, Loop, Mesh, Panel, Points, Side
from configurator.domain.body.sides import outline

_ON_PLANE_MM = 1e-6
"""Vertices nearer than this to the cut are moved off it, so that no triangle touches it with a corner only."""


def keep_in_front_of(panel: Panel, x_mm: float) -> Panel:
    """What lies nearer the car's nose than the plane x = `x_mm`. ValueError when nothing does."""
    return _kept(panel, panel.mesh.vertices[:, 0] - x_mm, front=True)


def keep_behind(panel: Panel, x_mm: float) -> Panel:
    """What lies behind the plane x = `x_mm`. ValueError when nothing does."""
    return _kept(panel, x_mm - panel.mesh.vertices[:, 0], front=False)


def keep_below(panel: Panel, z_mm: float) -> Panel:
    """What lies under the height `z_mm`. ValueError when nothing does."""
    return _kept(panel, panel.mesh.vertices[:, 2] - z_mm, front=True)


def leading_strip(panel: Panel, depth_mm: float) -> Panel:
    """The strip from the panel's own leading edge back by `depth_mm`, measured along the car's length.

    A panel across the car (hood, roof) is cut parallel to its leading edge, which bows back toward the sides; one on a side is
    cut by a plane behind its foremost point.
    """
    vertices = panel.mesh.vertices
    lead = _leading_edge(panel, np.abs(vertices[:, 1])) if panel.side is Side.CENTRE else vertices[:, 0].min()
    return _kept(panel, vertices[:, 0] - lead - depth_mm, front=True)


def _leading_edge(panel: Panel, across: Points) -> Points:
    """x of the panel's leading edge at the distances `across` (n,) from the car's middle.

    The leading edge is what of the outer boundary runs across the car rather than along it, ahead of the panel's middle; beside
    its ends (a hood that grows broader behind them) its outermost point counts.
    """
    points = panel.mesh.vertices[panel.loops[0].indices]
    after = np.roll(points, -1, axis=0)
    run = np.abs(after - points)
    middle = panel.mesh.vertices[:, 0].mean()
    leading = (run[:, 1] > run[:, 0]) & (points[:, 0] < middle) & (after[:, 0] < middle)
    edge = np.vstack([points[leading], after[leading]])
    order = np.argsort(np.abs(edge[:, 1]), kind="stable")
    return np.asarray(np.interp(across, np.abs(edge[order, 1]), edge[order, 0]))


def _kept(panel: Panel, field: Points, *, front: bool) -> Panel:
    """The part where `field` (n,) is negative. `front`: whether the part that goes is the rear one (see `covered_share`)."""
    field = np.where(np.abs(field) < _ON_PLANE_MM, _ON_PLANE_MM, field)
    inside = field < 0
    if inside.all():
        return panel
    if not inside.any():
        raise ValueError(f"{panel.id}: nothing of it lies on that side")
    clipped = _clip(panel.mesh, field)
    mesh, origin = _compact(clipped.mesh)
    loops = _loops(mesh, origin, panel, clipped)
    return replace(panel, mesh=mesh, loops=loops, covered_share=_share(panel, mesh, front=front), mirror_of=None)


@dataclass(frozen=True, eq=False)
class _Clipped:
    """The cut mesh with the crossing points behind the old ones; `crossed` (k, 2): the old edge each crossing point lies on."""

    mesh: Mesh
    crossed: Indices


def _clip(mesh: Mesh, field: Points) -> _Clipped:
    count = len(mesh.vertices)
    inside = field < 0
    kept = inside[mesh.triangles].sum(axis=1)
    one, two = (_turned(mesh.triangles[kept == number], inside, alone=number == 1) for number in (1, 2))
    pairs = np.vstack([one[:, [0, 1]], one[:, [0, 2]], two[:, [0, 1]], two[:, [0, 2]]])
    keys, place = np.unique(pairs.min(axis=1) * count + pairs.max(axis=1), return_inverse=True)
    crossed = np.stack([keys // count, keys % count], axis=1)
    share = (field[crossed[:, 0]] / (field[crossed[:, 0]] - field[crossed[:, 1]]))[:, None]
    new = [place[start:stop] + count for start, stop in _stretches(len(one), len(one), len(two), len(two))]
    triangles = [
        mesh.triangles[kept == 3],
        np.stack([one[:, 0], new[0], new[1]], axis=1),
        np.stack([new[2], two[:, 1], two[:, 2]], axis=1),
        np.stack([new[2], two[:, 2], new[3]], axis=1),
    ]
    cut = Mesh(
        vertices=_between(mesh.vertices, crossed, share),
        triangles=np.vstack(triangles),
        lay=None if mesh.lay is None else _between(mesh.lay, crossed, share),
        normals=None if mesh.normals is None else _unit(_between(mesh.normals, crossed, share)),
    )
    return _Clipped(cut, crossed)


def _turned(triangles: Indices, inside: np.ndarray, *, alone: bool) -> Indices:
    """Triangles turned so that the corner that is alone on its side of the cut comes first (`alone`: it is the one inside)."""
    odd = np.argmax(inside[triangles] == alone, axis=1)
    rows = np.arange(len(triangles))
    return np.stack([triangles[rows, (odd + shift) % 3] for shift in range(3)], axis=1)


def _stretches(*lengths: int) -> list[tuple[int, int]]:
    stops = np.cumsum(lengths).tolist()
    return list(zip([0, *stops[:-1]], stops, strict=True))


def _between(points: Points, crossed: Indices, share: Points) -> Points:
    return np.vstack([points, points[crossed[:, 0]] + share * (points[crossed[:, 1]] - points[crossed[:, 0]])])


def _unit(vectors: Points) -> Points:
    return np.asarray(vectors / np.linalg.norm(vectors, axis=1, keepdims=True))


def _compact(mesh: Mesh) -> tuple[Mesh, Indices]:
    """The mesh without points that nothing uses, and each point's number before."""
    used, renumbered = np.unique(mesh.triangles, return_inverse=True)
    lay, normals = (None if values is None else values[used] for values in (mesh.lay, mesh.normals))
    return Mesh(mesh.vertices[used], renumbered.reshape(-1, 3), lay, normals), used


def _loops(mesh: Mesh, origin: Indices, panel: Panel, clipped: _Clipped) -> tuple[Loop, ...]:
    edges = outline(mesh.triangles, len(mesh.vertices))
    known = _known_segments(panel)
    count = len(panel.mesh.vertices)
    beyond = [_beyond(start, end, count, clipped.crossed, known) for start, end in origin[edges].tolist()]
    lengths = np.linalg.norm(mesh.vertices[edges[:, 1]] - mesh.vertices[edges[:, 0]], axis=1)
    return tuple(
        Loop(edges[ring, 0], tuple(beyond[place][0] for place in ring), tuple(beyond[place][1] for place in ring))
        for ring in outer_first(chained(edges), lengths)
    )


_Beyond = tuple[EdgeKind, str | None]


def _known_segments(panel: Panel) -> Mapping[tuple[int, int], _Beyond]:
    known = {}
    for loop in panel.loops:
        starts = loop.indices.tolist()
        for start, end, kind, neighbour in zip(starts, [*starts[1:], starts[0]], loop.kinds, loop.neighbours, strict=True):
            known[start, end] = (kind, neighbour)
    return known


def _beyond(start: int, end: int, count: int, crossed: Indices, known: Mapping[tuple[int, int], _Beyond]) -> _Beyond:
    """What lies beyond an edge of the cut mesh: as before where it is (a piece of) an old segment, else open."""
    if start >= count and end >= count:
        return EdgeKind.OPEN, None
    if end >= count:
        a, b = crossed[end - count].tolist()
        end = b if a == start else a
    elif start >= count:
        a, b = crossed[start - count].tolist()
        start = b if a == end else a
    return known.get((start, end), (EdgeKind.OPEN, None))


def _share(panel: Panel, mesh: Mesh, *, front: bool) -> float:
    """What hides a panel for good is a spoiler at its rear end: what a cut takes from the rear comes off the hidden area first."""
    if not panel.covered_share:
        return 0.0
    whole = surface_area_mm2(panel.mesh.vertices, panel.mesh.triangles)
    left = surface_area_mm2(mesh.vertices, mesh.triangles)
    hidden = panel.covered_share * whole
    hidden_left = max(0.0, hidden - (whole - left)) if front else min(hidden, left)
    return hidden_left / left

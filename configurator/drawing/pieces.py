"""Parts of panels as a view shows them: the covered part, stripes, bands of another finish; cut from the panels' own meshes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from configurator.domain.body.records import EdgeKind, Mesh, Panel, Points
from configurator.drawing.contours import cut_mesh
from configurator.drawing.curves import line_data, paths_of
from configurator.drawing.outlines import facing_outlines
from configurator.drawing.projection import Projection
from configurator.drawing.surfaces import gather


@lru_cache(maxsize=512)
def between(panel: Panel, y_from_mm: float, y_to_mm: float) -> Panel | None:
    """The part of a panel between two planes y = const (either may be infinite), without loops of its own; None where there is none."""
    vertices, triangles = panel.mesh.vertices, panel.mesh.triangles
    for sign, limit in ((1.0, y_from_mm), (-1.0, y_to_mm)):
        if np.isfinite(limit):
            part = cut_mesh(vertices, triangles, sign * (vertices[:, 1] - limit))
            vertices, triangles = part.points, part.triangles
    return replace(panel, mesh=Mesh(vertices, triangles), loops=()) if len(triangles) else None


@dataclass(frozen=True)
class Seen:
    """Path data of a part's visible outline and of its open edges."""

    outline: str
    open_edges: str


def seen_parts(parts: Sequence[Panel], view: Projection) -> list[Seen]:
    """Each part as the view sees it (an empty outline where it faces away)."""
    if not parts:
        return []
    outlines = facing_outlines(gather(parts), view)
    paths = paths_of(outlines.rings.each(), ())
    return [Seen("".join(paths[ring] for ring in outlines.of(index)), _open_edges(part, view)) for index, part in enumerate(parts)]


def _open_edges(part: Panel, view: Projection) -> str:
    lines = []
    for loop in part.loops:
        is_open = np.array([kind is EdgeKind.OPEN for kind in loop.kinds])
        if is_open.any():
            lines += _runs(view.plane(part.mesh.vertices[loop.indices]), is_open)
    return line_data(lines)


def _runs(ring: Points, chosen: "np.ndarray[tuple[int], np.dtype[np.bool_]]") -> list[Points]:
    """The stretches of a closed ring whose segments are chosen, each as a line."""
    if chosen.all():
        return [np.vstack([ring, ring[:1]])]
    start = int(np.flatnonzero(~chosen)[0])
    turned, flags = np.roll(ring, -start, axis=0), np.roll(chosen, -start)
    turned = np.vstack([turned, turned[:1]])
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    return [turned[first : last + 1] for first, last in edges.reshape(-1, 2)]

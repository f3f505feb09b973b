"""From the labelled shell to panels: right ones, their exact mirror images on the left, and centre panels joined of both halves."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import itemgetter

import numpy as np

from configurator.domain.body.curves import Flags
from configurator.domain.body.joins import edge_kind
from configurator.domain.body.loops import chained, outer_first
from configurator.domain.body.parts import OPENINGS, panel_id, part_of
from configurator.domain.body.records import EdgeKind, Indices, Loop, Mesh, Panel, Points, Side
from configurator.domain.body.shell import Shell
from configurator.domain.body.sides import compact
from configurator.domain.body.vectors import lengths, unit

MIRROR = np.array([1.0, -1.0, 1.0])


@dataclass(frozen=True, eq=False)
class Half:
    """A piece of surface on the right half of the car.

    `edges` (k, 2) bound it; `beyond[i]` is the label on the other side of edge i, or None. `folded`: its lay lies in the top
    chart's plane, whose middle line is y = 0; else in the side chart's, whose middle lines are s = 0 and s = its length.
    """

    vertices: Points
    lay: Points
    triangles: Indices
    edges: Indices
    beyond: tuple[str | None, ...]
    folded: bool
    normals: Points | None = None

    @property
    def in_middle(self) -> Flags:
        """Which vertices lie in the plane y = 0."""
        return np.asarray(self.vertices[:, 1] == 0.0)


def halves(shell: Shell, label: Indices | None = None, *, only: set[str | None] | None = None) -> dict[str, Half]:
    """Every label's half, or `only` some. `label` (m,) stands in for the shell's own labels (the side without a fuel door)."""
    label = shell.label if label is None else label
    beyond = np.where(shell.sides.twins < 0, -1, label[shell.sides.twins // 3])
    own = np.repeat(label, 3)
    outline = np.flatnonzero(beyond != own)
    grouped = outline[np.argsort(own[outline], kind="stable")]
    order = np.argsort(label, kind="stable")
    bounds = np.arange(len(shell.labels) + 1)
    first_triangle, first_edge = np.searchsorted(label[order], bounds).tolist(), np.searchsorted(own[grouped], bounds).tolist()
    found = {}
    for index, name in enumerate(shell.labels):
        mine = order[first_triangle[index] : first_triangle[index + 1]]
        if len(mine) and (only is None or name in only):
            edges = grouped[first_edge[index] : first_edge[index + 1]]
            names = tuple(shell.labels[other] if other >= 0 else None for other in beyond[edges].tolist())
            found[name] = _half(shell, mine, edges, names)
    return found


def _half(shell: Shell, mine: Indices, edges: Indices, beyond: tuple[str | None, ...]) -> Half:
    used, renumbered = compact(shell.triangles[mine], len(shell.vertices))
    folded = bool(shell.on_top[mine].any())
    lay = shell.border_lay if folded else shell.lay
    outline = np.searchsorted(used, shell.sides.edges[edges])
    return Half(shell.vertices[used], lay[used], renumbered, outline, beyond, folded, _half_normals(shell, mine, used))


def _half_normals(shell: Shell, mine: Indices, used: Indices) -> Points:
    """Normals at the vertices of some triangles: of their own chart, and midway where triangles of both charts meet in a crease."""
    on_top = shell.on_top[mine]
    if on_top.all():
        return shell.border_normals[used]
    if not on_top.any():
        return shell.normals[used]
    midway = shell.normals[used] + shell.border_normals[used]
    return np.asarray(unit(midway))


def right_panel(label: str, half: Half) -> Panel:
    neighbours = _names(half.beyond, "right")
    loops = _loops(half.vertices, half.edges, _kinds(label, half.beyond), neighbours)
    return _panel(label, Side.RIGHT, Mesh(half.vertices, half.triangles, half.lay, half.normals), loops)


def left_panel(label: str, right: Panel) -> Panel:
    """The exact mirror image of a right-hand panel."""
    lay = None if right.mesh.lay is None else right.mesh.lay * [-1.0, 1.0]
    normals = None if right.mesh.normals is None else right.mesh.normals * MIRROR
    mesh = Mesh(right.mesh.vertices * MIRROR, right.mesh.triangles[:, ::-1], lay, normals)
    loops = tuple(_mirrored_loop(loop) for loop in right.loops)
    return replace(right, id=panel_id(label, "left"), side=Side.LEFT, mesh=mesh, loops=loops, mirror_of=right)


def centre_panel(label: str, half: Half) -> Panel:
    """Right half and its mirror image, joined at the vertices in the plane y = 0."""
    off_middle = np.flatnonzero(~half.in_middle)
    twin = np.arange(len(half.vertices))
    twin[off_middle] = len(half.vertices) + np.arange(len(off_middle))
    mesh = Mesh(
        vertices=np.vstack([half.vertices, half.vertices[off_middle] * MIRROR]),
        triangles=np.vstack([half.triangles, twin[half.triangles[:, ::-1]]]),
        lay=np.vstack([half.lay, _reflected_lay(half)[off_middle]]),
        normals=None if half.normals is None else np.vstack([half.normals, half.normals[off_middle] * MIRROR]),
    )
    outline = np.flatnonzero(~half.in_middle[half.edges].all(axis=1))
    right = half.edges[outline]
    beyond = [half.beyond[place] for place in outline.tolist()]
    neighbours = [*_names(beyond, "right"), *_names(beyond, "left")]
    loops = _loops(mesh.vertices, np.vstack([right, twin[right[:, ::-1]]]), _kinds(label, beyond * 2), neighbours)
    return _panel(label, Side.CENTRE, mesh, loops)


def _reflected_lay(half: Half) -> Points:
    if half.folded:
        return half.lay * [1.0, -1.0]
    middle = float(half.lay[half.in_middle, 0].mean())
    return np.stack([2 * middle - half.lay[:, 0], half.lay[:, 1]], axis=1)


def _panel(label: str, side: Side, mesh: Mesh, loops: tuple[Loop, ...]) -> Panel:
    part = part_of(label)
    return Panel(
        id=panel_id(label, str(side)),
        side=side,
        surface=part.surface,
        layer=part.layer,
        mesh=mesh,
        loops=loops,
        recesses=part.recesses,
        pocket_difficulty=part.pocket_difficulty,
        added_difficulty=part.added_difficulty,
        selectable=part.selectable,
    )


def _names(labels: Sequence[str | None], side: str) -> list[str | None]:
    ids = {label: _named(label, side) for label in set(labels)}
    return [ids[label] for label in labels]


def _named(label: str | None, side: str) -> str | None:
    """Id of what lies beyond an edge; openings are named by their place alone, a mirror's foot by the mirror that comes off."""
    if label is None or label in OPENINGS:
        return label
    return panel_id("mirror" if label == "mirror_foot" else label, side)


def _kinds(label: str, beyond: Sequence[str | None]) -> list[EdgeKind]:
    kinds = {name: edge_kind(label, name) for name in set(beyond)}
    return [kinds[name] for name in beyond]


def _loops(vertices: Points, edges: Indices, kinds: Sequence[EdgeKind], neighbours: Sequence[str | None]) -> tuple[Loop, ...]:
    rings = outer_first(chained(edges), lengths(vertices[edges[:, 1]] - vertices[edges[:, 0]]))
    return tuple(Loop(edges[ring, 0], itemgetter(*ring)(kinds), itemgetter(*ring)(neighbours)) for ring in rings)


def _mirrored_loop(loop: Loop) -> Loop:
    """The ring turned round, so that it runs the same way about its panel; what lies beyond moves with its segment."""
    names = {name: _other_side(name) for name in set(loop.neighbours)}
    neighbours = [names[name] for name in (*loop.neighbours[-2::-1], loop.neighbours[-1])]
    return Loop(loop.indices[::-1], loop.kinds[-2::-1] + loop.kinds[-1:], tuple(neighbours))


def _other_side(name: str | None) -> str | None:
    return f"{name.removesuffix('_right')}_left" if name is not None and name.endswith("_right") else name

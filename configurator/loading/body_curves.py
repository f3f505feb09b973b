"""Read the pieces of a body style's file: points, curves, lines and patches, each checked where it stands.

A point of a profile is `[x, value]`, a point of a drawn curve `[view, along, height]`; either may end in `corner`.
"""

import inspect
from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

import numpy as np

from configurator.domain.body.style import CrossLine, Drawn, Patch, Profile, TopPatch, View
from configurator.loading.reading import Node

Record = TypeVar("Record")
Value = TypeVar("Value")

_LENGTH_MM = 20_000.0
"""No coordinate of a car lies further from its nose."""
_CORNER = "corner"
_LEAST_POINTS = 2


Read = Callable[[Node], object]


def record(node: Node, kind: type[Record], read: Read, *, optional: Iterable[str] = (), own: Mapping[str, Read] | None = None) -> Record:
    """A frozen dataclass whose fields are read by `read`, or by their `own` reader; an optional one that is missing is None."""
    optional, own = set(optional), own or {}
    names = list(inspect.signature(kind).parameters)
    fields = node.fields([name for name in names if name not in optional], optional)
    return kind(**{name: own.get(name, read)(fields[name]) if name in fields or name not in optional else None for name in names})


def numbers(node: Node, kind: type[Record]) -> Record:
    """A dataclass of plain numbers."""
    return record(node, kind, length)


def length(node: Node) -> float:
    return node.number(least=-_LENGTH_MM, most=_LENGTH_MM)


def profile(node: Node) -> Profile:
    """`[[x, value], [x, value, corner], ...]`."""
    rows = [_row(point, count=2) for point in node.items()]
    _enough(node, rows)
    points = np.array([[length(cell) for cell in cells] for cells, _ in rows], dtype=float).reshape(-1, 2)
    return Profile(points, np.array([corner for _, corner in rows], dtype=bool))


def rising_profile(node: Node, *, axis: int = 0) -> Profile:
    """A profile that is a function of its first (axis 0) or second number: that number must rise from point to point."""
    read = profile(node)
    steps = np.diff(read.points[:, axis])
    for place in np.flatnonzero(steps <= 0).tolist():
        Node(None, f"{node.path}[{place + 1}]", node.faults).fault("does_not_rise")
    return read


def drawn(node: Node) -> Drawn:
    """`[[view, along, height], [view, along, height, corner], ...]`."""
    rows = [_row(point, count=3) for point in node.items()]
    _enough(node, rows)
    return Drawn(
        views=tuple(cells[0].one_of(tuple(View)) for cells, _ in rows),
        along=np.array([length(cells[1]) for cells, _ in rows], dtype=float),
        heights=np.array([length(cells[2]) for cells, _ in rows], dtype=float),
        corners=np.array([corner for _, corner in rows], dtype=bool),
    )


def _row(node: Node, *, count: int) -> tuple[list[Node], bool]:
    """The cells of one point and whether it is a corner."""
    cells = list(node.items())
    corner = len(cells) == count + 1 and cells[-1].value == _CORNER
    if len(cells) - corner != count:
        node.fault("not_a_point", numbers=count)
        return [Node(0.0, node.path)] * count, False
    return cells[:count], corner


def _enough(node: Node, rows: list[tuple[list[Node], bool]]) -> None:
    if len(rows) < _LEAST_POINTS:
        node.fault("too_few_points", least=_LEAST_POINTS)


def cross_line(node: Node) -> CrossLine:
    return numbers(node, CrossLine)


def patch(node: Node) -> Patch:
    fields = node.fields(("view", "along_mm", "height_mm", "long_mm", "tall_mm"), ("raised_mm",))
    return Patch(
        view=fields["view"].one_of(tuple(View)),
        along_mm=length(fields["along_mm"]),
        height_mm=length(fields["height_mm"]),
        long_mm=fields["long_mm"].number(least=4.0, most=900.0),
        tall_mm=fields["tall_mm"].number(least=4.0, most=900.0),
        raised_mm=fields.optional("raised_mm", length, 0.0),
    )


def top_patch(node: Node) -> TopPatch:
    fields = node.fields(("x_from_mm", "x_to_mm", "share_from", "share_to"), ("raised_mm",))
    read = TopPatch(
        x_from_mm=length(fields["x_from_mm"]),
        x_to_mm=length(fields["x_to_mm"]),
        share_from=fields["share_from"].number(least=0.0, most=1.0),
        share_to=fields["share_to"].number(least=0.0, most=1.0),
        raised_mm=fields.optional("raised_mm", length, 0.0),
    )
    if read.x_to_mm <= read.x_from_mm or read.share_to <= read.share_from:
        node.fault("ends_before_it_starts")
    return read


def listed(node: Node, read: Callable[[Node], Value]) -> tuple[Value, ...]:
    return tuple(read(item) for item in node.items())

"""The right half of the skin as one closed-up triangle mesh whose every triangle carries its panel's label.

Both charts are meshed, lifted to space and joined along their border, so that neighbours across any cut share their vertices.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from configurator.domain.body.charts import Charts
from configurator.domain.body.curves import Flags
from configurator.domain.body.placing import Placed
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.side_plan import SidePlan
from configurator.domain.body.sides import Sides, sides_of
from configurator.domain.body.top_plan import TopPlan
from configurator.domain.body.triangulation import Triangulation, triangulate
from configurator.domain.body.vectors import unit

_TOP_SPACING_MM = 78.0
_EDGEWARD = 1.35
"""Exponent that draws the top's points toward the roof edge; 1 spreads them evenly."""
_SIDE_SPACING_MM = 80.0
_LEAST_SPACING_MM = 40.0
_ARCH_ROWS_MM = (18.0, 46.0, 84.0)
_CLEARANCE_MM = 15.0
"""Nearer than this to a cut line no inner point is set."""
_TURN_PER_STEP = 0.10
_TURN_PER_ROW = 0.42
"""Radians by which the surface may turn from one column of mesh points to the next, and up a column from point to point."""
_SECTION_SAMPLES = 56
_ON_BORDER_MM = 0.6
"""A point of the side chart this near to its border lies on it (the chart's grid is coarser than that)."""
_IN_MIDDLE_MM = 0.3


@dataclass(frozen=True, eq=False)
class Shell:
    """`vertices` (n, 3) mm, y >= 0; `triangles` (m, 3), normals outward; `label` (m,) indexes `labels`.

    `lay` (n, 2): the vertices' chart coordinates in mm, a rough flat lay. `border_lay` (n, 2): for a vertex of the side chart, where
    it comes to lie when the side is folded up into the top chart's plane; the same as `lay` on the top. `normals` and `border_normals`
    (n, 3): of the side chart's surface and of the top chart's at the vertices that both have, else the same. `on_top` (m,) triangles.
    """

    vertices: Points
    triangles: Indices
    label: Indices
    labels: tuple[str, ...]
    lay: Points
    border_lay: Points
    normals: Points
    border_normals: Points
    on_top: np.ndarray

    @cached_property
    def sides(self) -> Sides:
        """The directed sides of all triangles; where a side has no twin the skin ends."""
        return sides_of(self.triangles, len(self.vertices))


@dataclass(frozen=True, eq=False)
class BorderPoints:
    """The side chart's mesh points on its upper border, from nose to tail: their numbers there, and their (k, 2) in the top chart."""

    numbers: Indices
    top: Points


def border_points(charts: Charts, side: Triangulation) -> BorderPoints:
    border = charts.side.border
    line = shapely.linestrings(border.side)
    shapely.prepare(line)
    numbers = side.outline[shapely.dwithin(line, shapely.points(side.points[side.outline]), _ON_BORDER_MM)]
    numbers = numbers[np.argsort(side.points[numbers, 0], kind="stable")]
    s = side.points[numbers, 0]
    top = np.stack([np.interp(s, border.side[:, 0], border.top[:, axis]) for axis in (0, 1)], axis=1)
    top[0, 1] = top[-1, 1] = 0.0
    return BorderPoints(numbers, top)


def side_mesh(charts: Charts, placed: Placed, plan: SidePlan) -> Triangulation:
    return triangulate(plan.faces.polygons, _side_points(charts, placed, plan), clearance_mm=_CLEARANCE_MM)


def top_mesh(charts: Charts, plan: TopPlan) -> Triangulation:
    return triangulate(plan.faces.polygons, _top_points(charts, plan), clearance_mm=_CLEARANCE_MM)


def _top_points(charts: Charts, plan: TopPlan) -> Points:
    """Columns across the car whose points follow the half width, closer toward the edge where the surface falls off."""
    x_from, _, x_to, y_to = plan.region.bounds
    x = np.arange(x_from + _TOP_SPACING_MM / 2, x_to, _TOP_SPACING_MM)
    count = int(y_to / _TOP_SPACING_MM) + 1
    shares = 1.0 - (1.0 - np.arange(2 * count) / (2 * count)) ** _EDGEWARD
    rows = [shares[1 + index % 2 :: 2] for index in range(len(x))]
    column = np.repeat(x, [len(row) for row in rows])
    points = np.stack([column, np.concatenate(rows) * charts.top.half_width(column)], axis=1)
    return _inside(points, plan.region)


def _inside(points: Points, region: shapely.Geometry) -> Points:
    shapely.prepare(region)
    inside: Flags = shapely.contains_xy(region, points[:, 0], points[:, 1])
    return points[inside]


def _side_points(charts: Charts, placed: Placed, plan: SidePlan) -> Points:
    """Columns of points up the side, and rings round the wheel arches; none inside the arches.

    Columns stand closer where the plan outline bends (bumper corners), their points closer where the section bends (sill).
    """
    points = _column_points(charts, placed)
    arches = [shapely.Polygon(ring) for ring in placed.arches]
    near = shapely.union_all([arch.buffer(_ARCH_ROWS_MM[-1] + 0.6 * _SIDE_SPACING_MM, quad_segs=6) for arch in arches])
    shapely.prepare(near)
    points = points[~shapely.contains_xy(near, points[:, 0], points[:, 1])]
    rings = [_arch_row(ring, out) for ring in placed.arches for out in _ARCH_ROWS_MM]
    return _inside(np.vstack([points, *rings]), plan.region)


def _column_points(charts: Charts, placed: Placed) -> Points:
    """Up each column equal steps of a measure that grows with the true length and the turning of the section there."""
    columns = _columns(charts)
    bottom, border = placed.curves["bottom"], charts.side.border.side
    low, high = np.interp(columns, bottom[:, 0], bottom[:, 1]), np.interp(columns, border[:, 0], border[:, 1])
    share = np.linspace(0.0, 1.0, _SECTION_SAMPLES)
    z = low[:, None] + share * (high - low)[:, None]
    section = charts.side.lift(np.repeat(columns, _SECTION_SAMPLES), z.ravel()).reshape(len(columns), _SECTION_SAMPLES, 3)
    steps = np.diff(section, axis=1)
    lengths = np.linalg.norm(steps, axis=2)
    aim = steps / np.maximum(lengths, 1e-9)[..., None]
    turning = np.linalg.norm(np.diff(aim, axis=1, prepend=aim[:, :1]), axis=2)
    measure = np.cumsum(lengths / _SIDE_SPACING_MM + turning / _TURN_PER_ROW, axis=1)
    points: list[Points] = []
    for index, column in enumerate(columns.tolist()):
        wanted = np.arange(0.45 + 0.5 * (index % 2), measure[index, -1], 1.0)
        rows = np.interp(wanted, measure[index], z[index, 1:])
        points.append(np.stack([np.full(len(rows), column), rows], axis=1))
    return np.vstack(points)


def _arch_row(ring: Points, out_mm: float) -> Points:
    """Every second point of an arch, moved outward."""
    middle = ring.mean(axis=0)
    spokes = ring[::2] - middle
    factors = 1.0 + out_mm / np.hypot(spokes[:, 0], spokes[:, 1])
    return np.asarray(middle + spokes * factors[:, None])


def _columns(charts: Charts) -> Points:
    """Positions s of the columns: equal steps of a measure that grows with length and with the turning of the outline."""
    outline = charts.side.outline
    step = outline.s[1]
    turning = np.abs(np.gradient(np.unwrap(np.arctan2(outline.normals[:, 1], outline.normals[:, 0])), step))
    spacing = np.clip(_TURN_PER_STEP / np.maximum(turning, 1e-9), _LEAST_SPACING_MM, _SIDE_SPACING_MM)
    measure = np.concatenate([[0.0], np.cumsum(step / ((spacing[1:] + spacing[:-1]) / 2))])
    count = int(measure[-1])
    return np.asarray(np.interp((np.arange(count) + 0.5) * measure[-1] / count, measure, outline.s))


def joined(charts: Charts, plans: tuple[SidePlan, TopPlan], meshes: tuple[Triangulation, Triangulation], border: BorderPoints) -> Shell:
    """One mesh from the two charts' meshes: the side chart's border points become the top chart's."""
    side, top = meshes
    labels = tuple(dict.fromkeys((*plans[0].faces.labels, *plans[1].faces.labels)))
    number = {label: index for index, label in enumerate(labels)}
    vertices = np.vstack([charts.side.lift(side.points[:, 0], side.points[:, 1]), charts.top.lift(top.points[:, 0], top.points[:, 1])])
    renumber = _joined_border(len(side.points), border, top)
    every_label = [np.array([number[label] for label in faces.labels]) for faces in (plans[0].faces, plans[1].faces)]
    face_label = [labels_of[mesh.faces] for labels_of, mesh in zip(every_label, meshes, strict=True)]
    triangles = renumber[np.vstack([side.triangles[:, ::-1], top.triangles + len(side.points)])]
    vertices = _flattened_to_middle(vertices, side.points, top.points, charts.side.outline.length)
    a, b, c = triangles.T
    beside = vertices[:, 1] != 0.0
    whole = (a != b) & (b != c) & (c != a) & (beside[a] | beside[b] | beside[c])
    lay, border_lay = _lays(charts, side.points, top.points)
    lay[renumber[: len(side.points)]] = lay[: len(side.points)]
    border_normals = _normals(charts, side.points, top.points)
    normals = border_normals.copy()
    normals[renumber[: len(side.points)]] = normals[: len(side.points)]
    shell = Shell(
        vertices=vertices,
        triangles=triangles[whole],
        label=np.concatenate(face_label)[whole],
        labels=labels,
        lay=lay,
        border_lay=border_lay,
        normals=normals,
        border_normals=border_normals,
        on_top=(np.arange(len(triangles)) >= len(side.triangles))[whole],
    )
    if not np.isfinite(shell.vertices).all():
        raise ArithmeticError("a chart was lifted to points that are not finite")
    return shell


def _joined_border(count: int, border: BorderPoints, top: Triangulation) -> Indices:
    """New numbers for all vertices: each border vertex of the side chart becomes the top chart's vertex at the same place.

    Two border vertices that the top chart doesn't tell apart become one.
    """
    renumber = np.arange(count + len(top.points))
    candidates = top.points[top.outline]
    squared = (border.top[:, :1] - candidates[:, 0]) ** 2 + (border.top[:, 1:] - candidates[:, 1]) ** 2
    renumber[border.numbers] = top.outline[squared.argmin(axis=1)] + count
    return renumber


def _flattened_to_middle(vertices: Points, side: Points, top: Points, length: float) -> Points:
    """y = 0 exactly on the charts' middle lines, so that the halves can be joined there."""
    vertices[_in_middle(side, top, length), 1] = 0.0
    return vertices


def _in_middle(side: Points, top: Points, length: float) -> Flags:
    at_ends = (side[:, 0] < _IN_MIDDLE_MM) | (side[:, 0] > length - _IN_MIDDLE_MM)
    return np.concatenate([at_ends, top[:, 1] < _IN_MIDDLE_MM])


def _normals(charts: Charts, side: Points, top: Points) -> Points:
    """Unit normals at all points, without a sideways part in the middle plane."""
    normals = np.vstack([charts.side.normals(side[:, 0], side[:, 1]), charts.top.normals(top[:, 0], top[:, 1])])
    middle = _in_middle(side, top, charts.side.outline.length)
    normals[middle, 1] = 0.0
    normals[middle] = unit(normals[middle])
    return normals


def _lays(charts: Charts, side: Points, top: Points) -> tuple[Points, Points]:
    """Chart coordinates, and the side's coordinates folded up round the border into the top chart's plane."""
    border = charts.side.border
    along = np.gradient(border.top, axis=0)
    outward = unit(np.stack([-along[:, 1], along[:, 0]], axis=1))
    s = border.side[:, 0]
    foot = np.stack([np.interp(side[:, 0], s, border.top[:, axis]) for axis in (0, 1)], axis=1)
    normal = np.stack([np.interp(side[:, 0], s, outward[:, axis]) for axis in (0, 1)], axis=1)
    folded = foot + normal * (np.interp(side[:, 0], s, border.side[:, 1]) - side[:, 1])[:, None]
    return np.vstack([side, top]), np.vstack([folded, top])

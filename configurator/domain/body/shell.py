"""The right half of the skin as one closed-up triangle mesh whose every triangle carries its panel's label.

Both charts are meshed, lifted to space and joined along their border, so that neighbours across any cut share their vertices.
"""

from dataclasses import dataclass

import numpy as np
import shapely

from configurator.domain.body.charts import Charts
from configurator.domain.body.records import Indices, Points
from configurator.domain.body.side_plan import SidePlan
from configurator.domain.body.top_plan import TopPlan
from configurator.domain.body.triangulation import Triangulation, triangulate

_TOP_SPACING_MM = 68.0
_SIDE_SPACING_MM = 66.0
_LEAST_SPACING_MM = 36.0
_TURN_PER_STEP = 0.09
"""Radians by which the outline's normal may turn from one column of mesh points to the next."""
_NO_INNER_POINTS = frozenset({"wheel_arch_front", "wheel_arch_rear", "bed"})
_ON_BORDER_MM = 0.6
"""A point of the side chart this near to its border lies on it (the chart's grid is coarser than that)."""
_IN_MIDDLE_MM = 0.3


@dataclass(frozen=True, eq=False)
class Shell:
    """`vertices` (n, 3) mm, y >= 0; `triangles` (m, 3), normals outward; `label` (m,) indexes `labels`.

    `lay` (n, 2): the vertices' chart coordinates in mm, a rough flat lay. `border_lay` (n, 2): for a vertex of the side chart, where
    it comes to lie when the side is folded up into the top chart's plane; the same as `lay` on the top. `on_top` (m,) triangles.
    """

    vertices: Points
    triangles: Indices
    label: Indices
    labels: tuple[str, ...]
    lay: Points
    border_lay: Points
    on_top: np.ndarray


def border_for_top(charts: Charts, side_faces: np.ndarray) -> tuple[Points, Points]:
    """The border's points as the side chart's faces have them: (k, 2) in the top chart, and their (k, 2) in the side chart."""
    border = charts.side.border
    line = shapely.linestrings(border.side)
    shapely.prepare(line)
    points = np.unique(shapely.get_coordinates(side_faces), axis=0)
    near = points[points[:, 1] > border.side[:, 1].min() - 1.0]
    on_border = near[shapely.dwithin(line, shapely.points(near), _ON_BORDER_MM)]
    on_border = on_border[np.argsort(on_border[:, 0], kind="stable")]
    top = np.stack([np.interp(on_border[:, 0], border.side[:, 0], border.top[:, axis]) for axis in (0, 1)], axis=1)
    top[0, 1] = top[-1, 1] = 0.0
    return top, on_border


def side_mesh(charts: Charts, plan: SidePlan) -> Triangulation:
    return triangulate(plan.faces.polygons, _side_points(charts, plan), clearance_mm=0.45 * _LEAST_SPACING_MM)


def top_mesh(plan: TopPlan) -> Triangulation:
    x_from, y_from, x_to, y_to = plan.region.bounds
    points = _hexagonal(x_from, x_to, y_from, y_to, _TOP_SPACING_MM)
    return triangulate(plan.faces.polygons, _inside(points, plan.region), clearance_mm=0.45 * _TOP_SPACING_MM)


def _hexagonal(x_from: float, x_to: float, y_from: float, y_to: float, spacing: float) -> Points:
    x = np.arange(x_from + spacing / 2, x_to, spacing)
    y = np.arange(y_from + spacing * 0.433, y_to, spacing * 0.866)
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    grid[1::2, :, 0] += spacing / 2
    return grid.reshape(-1, 2)


def _inside(points: Points, region: shapely.Polygon) -> Points:
    shapely.prepare(region)
    return points[shapely.contains_xy(region, points[:, 0], points[:, 1])]


def _side_points(charts: Charts, plan: SidePlan) -> Points:
    """Columns of points, closer where the plan outline bends (bumper corners), none inside the wheel arches."""
    columns = _columns(charts)
    spacing = np.gradient(columns)
    _, low, _, high = plan.region.bounds
    rows = [np.arange(low + gap * (0.5 + 0.5 * (index % 2)), high, gap) for index, gap in enumerate(spacing)]
    points = np.stack([np.repeat(columns, [len(row) for row in rows]), np.concatenate(rows)], axis=1)
    empty = [face for face, label in zip(plan.faces.polygons, plan.faces.labels, strict=True) if label in _NO_INNER_POINTS]
    return _inside(points, plan.region.difference(shapely.union_all(empty)))


def _columns(charts: Charts) -> Points:
    """Positions s of the columns: equal steps of a measure that grows with length and with the turning of the outline."""
    outline = charts.side.outline
    step = outline.s[1]
    turning = np.abs(np.gradient(np.unwrap(np.arctan2(outline.normals[:, 1], outline.normals[:, 0])), step))
    spacing = np.clip(_TURN_PER_STEP / np.maximum(turning, 1e-9), _LEAST_SPACING_MM, _SIDE_SPACING_MM)
    measure = np.concatenate([[0.0], np.cumsum(step / ((spacing[1:] + spacing[:-1]) / 2))])
    count = int(measure[-1])
    return np.interp((np.arange(count) + 0.5) * measure[-1] / count, measure, outline.s)


def joined(charts: Charts, plans: tuple[SidePlan, TopPlan], meshes: tuple[Triangulation, Triangulation], border: tuple[Points, Points]) -> Shell:
    """One mesh from the two charts' meshes: the side chart's border points become the top chart's."""
    side, top = meshes
    labels = tuple(dict.fromkeys((*plans[0].faces.labels, *plans[1].faces.labels)))
    number = {label: index for index, label in enumerate(labels)}
    vertices = np.vstack([charts.side.lift(side.points[:, 0], side.points[:, 1]), charts.top.lift(top.points[:, 0], top.points[:, 1])])
    renumber = _joined_border(len(side.points), border, side, top)
    face_label = [np.array([number[label] for label in plan.faces.labels])[mesh.faces] for plan, mesh in zip(plans, meshes, strict=True)]
    triangles = renumber[np.vstack([side.triangles[:, ::-1], top.triangles + len(side.points)])]
    whole = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    lay, border_lay = _lays(charts, side.points, top.points)
    lay[renumber[: len(side.points)]] = lay[: len(side.points)]
    shell = Shell(
        vertices=_flattened_to_middle(vertices, side.points, top.points, charts.side.outline.length),
        triangles=triangles[whole],
        label=np.concatenate(face_label)[whole],
        labels=labels,
        lay=lay,
        border_lay=border_lay,
        on_top=(np.arange(len(triangles)) >= len(side.triangles))[whole],
    )
    if not np.isfinite(shell.vertices).all():
        raise ArithmeticError("a chart was lifted to points that are not finite")
    return shell


def _joined_border(count: int, border: tuple[Points, Points], side: Triangulation, top: Triangulation) -> Indices:
    """New numbers for all vertices: each border vertex of the side chart becomes the top chart's vertex at the same place.

    Two border vertices that the top chart doesn't tell apart become one.
    """
    renumber = np.arange(count + len(top.points))
    renumber[_matching(side.points, border[1])] = _matching(top.points, border[0]) + count
    return renumber


def _matching(points: Points, wanted: Points) -> Indices:
    """Index of the point that lies where each wanted one does."""
    squared = (points**2).sum(axis=1)[None, :] - 2.0 * wanted @ points.T
    return squared.argmin(axis=1)


def _flattened_to_middle(vertices: Points, side: Points, top: Points, length: float) -> Points:
    """y = 0 exactly on the charts' middle lines, so that the halves can be joined there."""
    middle = np.concatenate([(side[:, 0] < _IN_MIDDLE_MM) | (side[:, 0] > length - _IN_MIDDLE_MM), top[:, 1] < _IN_MIDDLE_MM])
    vertices[middle, 1] = 0.0
    return vertices


def _lays(charts: Charts, side: Points, top: Points) -> tuple[Points, Points]:
    """Chart coordinates, and the side's coordinates folded up round the border into the top chart's plane."""
    border = charts.side.border
    along = np.gradient(border.top, axis=0)
    outward = np.stack([-along[:, 1], along[:, 0]], axis=1)
    outward /= np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), 1e-9)
    s = border.side[:, 0]
    foot = np.stack([np.interp(side[:, 0], s, border.top[:, axis]) for axis in (0, 1)], axis=1)
    normal = np.stack([np.interp(side[:, 0], s, outward[:, axis]) for axis in (0, 1)], axis=1)
    folded = foot + normal * (np.interp(side[:, 0], s, border.side[:, 1]) - side[:, 1])[:, None]
    return np.vstack([side, top]), np.vstack([folded, top])

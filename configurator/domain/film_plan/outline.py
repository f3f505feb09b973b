"""From a flat panel to the lines that the blade follows: grown past each edge by its allowance, with relief at corners."""

from dataclasses import dataclass

import numpy as np
import shapely
import shapely.ops
from shapely.geometry import LineString, MultiPoint, Point, Polygon

from configurator.domain.body.records import Points
from configurator.domain.film_plan.flat_panel import FlatPanel
from configurator.domain.film_plan.records import Ring

BLADE_RADIUS_MM = 2.0
"""No corner of a cut line is tighter than this: a blade can't turn on the spot and a sharp corner of film lifts."""

TOLERANCE_MM = 0.1
"""How far the cut line may be simplified."""

RELIEF_SHARE = 0.3
"""A turn-in next to an edge without one is cut back over at most this share of its length."""

LEAST_OPENING_MM = 12.0
"""An opening that holds no circle of this radius is slit by hand rather than cut beforehand."""


@dataclass(frozen=True, eq=False)
class Run:
    """A stretch of a ring with one kind of edge. `line` (n, 2), n >= 2; `whole` when it is the entire ring."""

    line: Points
    kind: str
    allowance_mm: float
    whole: bool


@dataclass(frozen=True, eq=False)
class Outline:
    """`cut` and `openings`: lines to cut; `fold`: the panel's own edge; `kinds[i]` what lies beyond segment i of `cut`."""

    cut: Ring
    openings: tuple[Ring, ...]
    fold: Ring
    kinds: tuple[str, ...]


def grow(flat: FlatPanel, polygon: Polygon) -> Polygon:
    """`polygon`, one part of `flat`, grown by its edges' allowances: positive ones turn in, negative ones stop short."""
    runs = [runs_of(flat, ring) for ring in _rings(polygon)]
    return largest(_set_back(_grow(polygon, runs), runs))


def outline(flat: FlatPanel, *, part: Polygon, grown: Polygon) -> Outline:
    """The lines for one piece: `part` is what shows on the car, `grown` the same with turn-in and set-back."""
    smooth = _for_the_blade(grown)
    cut = ring(smooth.exterior)
    openings = tuple(ring(inner) for inner in smooth.interiors if not Polygon(inner).buffer(-LEAST_OPENING_MM).is_empty)
    return Outline(cut=cut, openings=openings, fold=ring(part.exterior), kinds=_kinds_along(flat, cut, part))


def runs_of(flat: FlatPanel, corners: Ring) -> tuple[Run, ...]:
    """A ring split where the kind of edge or its allowance changes, in order, the first run starting at a change."""
    segment = flat.edge_at((corners + np.roll(corners, -1, axis=0)) / 2)
    label = [(flat.kind_of(int(i)), flat.allowance_of(int(i))) for i in segment]
    starts = [i for i in range(len(corners)) if label[i] != label[i - 1]]
    if not starts:
        return (Run(np.vstack([corners, corners[:1]]), *label[0], whole=True),)
    ends = [*starts[1:], starts[0] + len(corners)]
    return tuple(
        Run(corners[np.arange(start, end + 1) % len(corners)], *label[start], whole=False) for start, end in zip(starts, ends, strict=True)
    )


def _grow(part: Polygon, rings: list[tuple[Run, ...]]) -> shapely.Geometry:
    added: list[shapely.Geometry] = [part]
    for runs in rings:
        for index, run in enumerate(runs):
            if run.allowance_mm > 0:
                before, after = runs[index - 1], runs[(index + 1) % len(runs)]
                added += _turn_in(part, run, before=before.allowance_mm, after=after.allowance_mm)
    return shapely.union_all(added)


def _turn_in(part: Polygon, run: Run, *, before: float, after: float) -> list[shapely.Geometry]:
    """The strip beyond `run` and what joins it to its neighbours: a rounded corner beside another turn-in, a taper beside none."""
    reach = run.allowance_mm
    if run.whole:
        return [_outside(part, LineString(run.line), reach)]
    line, shapes = LineString(run.line), []
    relief = min(reach, RELIEF_SHARE * line.length)
    if before <= 0 or after <= 0:
        start, stop = relief if before <= 0 else 0.0, line.length - (relief if after <= 0 else 0.0)
        line = shapely.ops.substring(line, start, stop)
    strip = _outside(part, line, reach)
    for neighbour, corner, end in ((before, run.line[0], line.coords[0]), (after, run.line[-1], line.coords[-1])):
        if neighbour > 0:
            shapes.append(Point(corner).buffer(min(reach, neighbour)))
        else:
            shapes.append(_taper(strip, corner, end, reach))
    return [strip, *shapes]


def _outside(part: Polygon, line: LineString, reach: float) -> shapely.Geometry:
    """The strip of width `reach` beyond `line`, an edge of `part`; not what comes out on the far side of a narrow neck."""
    strip = line.buffer(reach, cap_style="flat", join_style="round", quad_segs=6)
    beyond = strip.difference(part)
    edge = line.buffer(0.5)
    kept = [piece for piece in getattr(beyond, "geoms", [beyond]) if piece.area > 1.0 and piece.intersects(edge)]
    return shapely.union_all([*kept, edge.intersection(strip)])


def _taper(strip: shapely.Geometry, corner: Ring, end: tuple[float, float], reach: float) -> shapely.Geometry:
    """From the strip's outer end down to the bare corner, as an installer cuts a relief."""
    near = strip.intersection(Point(end).buffer(reach * 1.05))
    outer = max(shapely.get_coordinates(near), key=lambda point: float(np.hypot(*(point - end))), default=np.asarray(end))
    return MultiPoint([corner, end, outer]).convex_hull


def _set_back(grown: shapely.Geometry, rings: list[tuple[Run, ...]]) -> shapely.Geometry:
    cuts = [
        LineString(run.line).buffer(-run.allowance_mm, cap_style="flat", join_style="mitre")
        for runs in rings
        for run in runs
        if run.allowance_mm < 0
    ]
    return grown.difference(shapely.union_all(cuts)) if cuts else grown


def _for_the_blade(shape: Polygon) -> Polygon:
    """Corners rounded inside and out, then simplified; a sliver too slim for that keeps its corners."""
    filled = shape.buffer(BLADE_RADIUS_MM, quad_segs=4).buffer(-BLADE_RADIUS_MM, quad_segs=4)
    opened = filled.buffer(-BLADE_RADIUS_MM, quad_segs=4).buffer(BLADE_RADIUS_MM, quad_segs=4)
    smooth = opened if opened.geom_type == "Polygon" and opened.area >= 0.98 * shape.area else filled
    return largest(largest(smooth).simplify(TOLERANCE_MM))


def _kinds_along(flat: FlatPanel, cut: Ring, part: Polygon) -> tuple[str, ...]:
    """What lies beyond each segment of `cut`: the kind of the nearest stretch of the part's own edge."""
    runs = [run for line in _rings(part) for run in runs_of(flat, line)]
    middles = (cut + np.roll(cut, -1, axis=0)) / 2
    nearest = shapely.STRtree([LineString(run.line) for run in runs]).nearest(shapely.points(middles))
    return tuple(runs[int(index)].kind for index in nearest)


def _rings(polygon: Polygon) -> list[Ring]:
    return [ring(polygon.exterior), *(ring(inner) for inner in polygon.interiors)]


def ring(line: shapely.Geometry) -> Ring:
    """The corners of a closed line, the first not repeated."""
    return np.asarray(shapely.get_coordinates(line)[:-1])


def largest(shape: shapely.Geometry) -> Polygon:
    """The largest polygon of a result that may fall apart."""
    return max((part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon"), key=lambda part: part.area)

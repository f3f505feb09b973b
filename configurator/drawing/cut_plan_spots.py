"""Where a piece's label goes on a cut plan: inside it if it fits, on it if it doesn't, else beside it on a leader."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
import shapely.ops
from shapely.geometry import Point, Polygon, box

CLEARANCE_MM = 0.7
STEP_MM = 1.5
MOST_PLACES = 500
"""Places tried for a label are this far apart, or farther so that there are about this many."""
BADGE_MM = 2.7
"""Radius of the disc with a piece's number."""

TINY_MM = (4.0, 2.6)
"""Width and height of a number without its disc, for slivers."""

ARROW_MM = 8.5
SHORT_ARROW_MM = 5.0

CHORDS = 24
"""Places along a sliver at which its number may stand."""

CHARACTER = 0.55
"""Mean width of a character of a sans-serif face in ems; bold letters and capitals are a little wider."""


@dataclass(frozen=True)
class Label:
    """The words of a piece: its number, what it is, how large it is."""

    number: int
    title: str
    size: str


@dataclass(frozen=True)
class Spot:
    """`style`: full, title, badge, tiny or leader. (x, y): the middle of the label on paper; `upright`: text runs up the sheet.

    `target`: where a leader points. `arrow`: middle of the arrow to the car's nose and its length, when there is room.
    """

    style: str
    x: float
    y: float
    upright: bool = False
    target: tuple[float, float] | None = None
    arrow: tuple[float, float, float] | None = None


def text_width(text: str, size_mm: float, *, bold: bool = False) -> float:
    return len(text) * size_mm * CHARACTER * (1.08 if bold else 1.0)


def label_box(label: Label, style: str) -> tuple[float, float]:
    """Width and height on paper of a label lying level."""
    if style == "full":
        return 2 * BADGE_MM + 1.2 + max(text_width(label.title, 3.0, bold=True), text_width(label.size, 2.3)), 6.6
    if style == "title":
        return 2 * BADGE_MM + 1.0 + text_width(label.title, 2.5, bold=True), 5.4
    return (2 * BADGE_MM, 2 * BADGE_MM) if style in ("badge", "leader") else TINY_MM


def find_spots(
    shapes: Sequence[Polygon], labels: Sequence[Label], window: Polygon, *, reserved: Sequence[shapely.Geometry] = ()
) -> list[Spot]:
    """A spot for every shape (outlines on paper, as far as the window shows them), large shapes first.

    Labels overlap neither each other nor what is `reserved` for other words.
    """
    spots: dict[int, Spot] = {}
    taken: list[shapely.Geometry] = list(reserved)
    for index in sorted(range(len(shapes)), key=lambda index: -shapes[index].area):
        others = [shape for other, shape in enumerate(shapes) if other != index]
        spot = _inside(shapes[index], labels[index], taken) or _on_or_beside(shapes[index], labels[index], others, taken, window)
        taken.append(_shape_of(spot, labels[index]))
        arrow = _arrow(shapes[index], taken)
        if arrow:
            taken.append(Point(arrow[:2]).buffer(arrow[2] / 2))
        spots[index] = Spot(spot.style, spot.x, spot.y, spot.upright, spot.target, arrow)
    return [spots[index] for index in range(len(shapes))]


def _shape_of(spot: Spot, label: Label) -> shapely.Geometry:
    width, height = label_box(label, spot.style)
    if spot.upright:
        width, height = height, width
    return box(spot.x - width / 2, spot.y - height / 2, spot.x + width / 2, spot.y + height / 2)


def _inside(shape: Polygon, label: Label, taken: Sequence[shapely.Geometry]) -> Spot | None:
    room = shape.buffer(-CLEARANCE_MM)
    if room.is_empty:
        return None
    for style in ("full", "title", "badge"):
        width, height = label_box(label, style)
        for upright in (False, True) if style != "badge" else (False,):
            place = _nearest_fit(room, taken, (height, width) if upright else (width, height))
            if place:
                return Spot(style, *place, upright=upright)
    return None


def _nearest_fit(room: shapely.Geometry, taken: Sequence[shapely.Geometry], size: tuple[float, float]) -> tuple[float, float] | None:
    """The middle of a box of `size` within `room`, as near its centre as it goes."""
    x0, y0, x1, y1 = room.bounds
    half_width, half_height = size[0] / 2, size[1] / 2
    if x1 - x0 < size[0] or y1 - y0 < size[1]:
        return None
    step = max(STEP_MM, np.sqrt((x1 - x0) * (y1 - y0) / MOST_PLACES))
    across = np.append(np.arange(x0 + half_width, x1 - half_width + 1e-6, step), (x0 + x1) / 2)
    up = np.append(np.arange(y0 + half_height, y1 - half_height + 1e-6, step / 2), (y0 + y1) / 2)
    x, y = (grid.ravel() for grid in np.meshgrid(across, up))
    centre = room.centroid
    order = np.argsort(np.hypot(x - centre.x, y - centre.y), kind="stable")
    boxes = shapely.box(x - half_width, y - half_height, x + half_width, y + half_height)[order]
    shapely.prepare(room)
    fits = shapely.contains(room, boxes)
    for other in taken:
        fits &= ~shapely.intersects(boxes, other)
    first = np.flatnonzero(fits)
    return (float(x[order][first[0]]), float(y[order][first[0]])) if len(first) else None


def _on_or_beside(shape: Polygon, label: Label, others: Sequence[Polygon], taken: Sequence[shapely.Geometry], window: Polygon) -> Spot:
    """The number on a sliver where the film beside it is spare, small so that the sliver shows; else beside it, with a leader."""
    spine = shapely.MultiPoint([shape.representative_point(), *_along(shape)])
    blocked = shapely.union_all([*others, *taken])
    for style in ("tiny", "badge"):
        width, height = label_box(label, style)
        places = shapely.get_coordinates(spine)
        boxes = shapely.box(places[:, 0] - width / 2, places[:, 1] - height / 2, places[:, 0] + width / 2, places[:, 1] + height / 2)
        free = np.flatnonzero(shapely.contains(window.buffer(BADGE_MM), boxes) & ~shapely.intersects(blocked, boxes))
        if len(free):
            place = places[min(free, key=lambda index: shape.centroid.distance(Point(places[index])))]
            return Spot(style, float(place[0]), float(place[1]))
    target = shape.representative_point()
    spare = window.buffer(-BADGE_MM).difference(shapely.union_all([blocked, shape]).buffer(BADGE_MM + 0.3))
    if spare.is_empty:
        return Spot("tiny", target.x, target.y)
    beside = shapely.ops.nearest_points(spare, target)[0]
    return Spot("leader", beside.x, beside.y, target=(target.x, target.y))


def _along(shape: Polygon) -> list[Point]:
    """Points down the middle of a slim shape: the middles of its chords across its longer way."""
    corners = shapely.get_coordinates(shapely.oriented_envelope(shape))
    if len(corners) < 4:
        return []
    one, other = corners[1] - corners[0], corners[3] - corners[0]
    along, across = (one, other) if np.linalg.norm(one) > np.linalg.norm(other) else (other, one)
    bottom = corners[0] + np.linspace(0.04, 0.96, CHORDS)[:, None] * along
    chords = shapely.intersection(shape, shapely.linestrings(np.stack([bottom, bottom + across], axis=1)))
    return [chord.centroid for chord in chords if chord.geom_type == "LineString" and chord.length > 0]


def _arrow(shape: Polygon, taken: Sequence[shapely.Geometry]) -> tuple[float, float, float] | None:
    room = shape.buffer(-CLEARANCE_MM)
    for length in (ARROW_MM, SHORT_ARROW_MM):
        place = None if room.is_empty else _nearest_fit(room, taken, (length, length))
        if place:
            return (*place, length)
    return None

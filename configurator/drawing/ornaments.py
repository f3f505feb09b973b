"""What lies inside lamps, grilles and tail lamps: designed flat in each panel's own plane, lifted onto its mesh once per body."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely import affinity

from configurator.domain.body.panels import MIRROR
from configurator.domain.body.records import Body, Panel, Points
from configurator.drawing.frames import Frame, frame_of
from configurator.drawing.mending import joined, less, mended
from configurator.drawing.rings import Areas


@dataclass(frozen=True, eq=False)
class Ornament:
    """A mark on a panel in space: `look` names its fill or stroke (`LOOKS`), `points` (n, 3) mm."""

    look: str
    points: Points
    closed: bool


@dataclass(frozen=True)
class Look:
    """Fill or stroke of an ornament. `lit` colours are light: a smoke film darkens them."""

    fill: str | None = None
    stroke: str | None = None
    width_mm: float = 0
    opacity: float = 1.0
    lit: bool = False


LOOKS = {
    "housing": Look(fill="#3d484f", lit=True),
    "bezel": Look(fill="#222a2f", lit=True),
    "module": Look(fill="#8fa3ad", stroke="#151c20", width_mm=3, lit=True),
    "glint": Look(fill="#e9f2f6", opacity=0.9, lit=True),
    "daylight": Look(fill="#ffffff", opacity=0.96, lit=True),
    "daylight_line": Look(stroke="#ffffff", width_mm=11, lit=True),
    "amber": Look(fill="#d99a45", opacity=0.85, lit=True),
    "tail_bed": Look(fill="#7e2328", lit=True),
    "tail_bright": Look(fill="#ff6f60", opacity=0.95, lit=True),
    "tail_mid": Look(fill="#cf3f39", opacity=0.95, lit=True),
    "tail_line": Look(stroke="#ff6f60", width_mm=13, lit=True),
    "tail_white": Look(fill="#e8e2df", opacity=0.85, lit=True),
    "exhaust_rim": Look(fill="#b4bdc1", stroke="#30383c", width_mm=3),
    "exhaust": Look(fill="#101416"),
    "fog_bowl": Look(fill="#59656c", stroke="#0d1113", width_mm=3, lit=True),
    "fog_lens": Look(fill="#c3d0d6", opacity=0.9, lit=True),
    "plate_rim": Look(stroke="#b3bbbe", width_mm=4),
    "bar": Look(stroke="#4d575c", width_mm=9),
    "bar_light": Look(stroke="#939da2", width_mm=3),
    "lattice": Look(stroke="#4a5459", width_mm=4),
    "chrome": Look(stroke="#c3ccd0", width_mm=9),
    "gloss_frame": Look(stroke="#0b0e10", width_mm=12),
    "chrome_bar": Look(stroke="#c3ccd0", width_mm=13),
}

Marks = list[tuple[str, shapely.Geometry]]
_LEAST_MM2 = 90.0
_LEAST_LENGTH_MM = 15.0
_NEEDLESS_MM = 0.5
"""How far a panel's outline may leave its points before anything is designed in it: far fewer of them have to be inset then."""


@lru_cache(maxsize=48)
def ornaments(body: Body) -> Mapping[str, tuple[Ornament, ...]]:
    """Panel id -> its ornaments, for lamps, grille, intake and plates; those on the left are the mirror image of those on the right."""
    found: dict[str, tuple[Ornament, ...]] = {}
    for panel in body.panels.values():
        designer = _designer(panel, body.face) if panel.mirror_of is None else None
        if designer is not None:
            found[panel.id] = _lifted(frame_of(panel), designer)
    for panel in body.panels.values():
        if panel.mirror_of is not None and panel.mirror_of.id in found:
            found[panel.id] = tuple(Ornament(one.look, one.points * MIRROR, one.closed) for one in found[panel.mirror_of.id])
    return found


def _designer(panel: Panel, face: Mapping[str, object]) -> Callable[[shapely.Geometry], Marks] | None:
    family = panel.id.removesuffix("_left").removesuffix("_right")
    designers: dict[str, Callable[[shapely.Geometry, Mapping[str, object]], Marks]] = {
        "headlamp": headlamp,
        "tail_lamp": tail_lamp,
        "fog_lamp": fog_lamp,
        "grille": grille,
        "intake": intake,
        "front_plate": plate,
        "rear_plate": plate,
    }
    design = designers.get(family)
    return (lambda outline: design(outline, face)) if design else None


def _lifted(frame: Frame, design: Callable[[shapely.Geometry], Marks]) -> tuple[Ornament, ...]:
    """What is large enough to see of the marks designed for a panel, part by part, on its mesh.

    Neighbours of one look become one path, in which a ring that turns the other way is a hole.
    """
    marks = design(shapely.simplify(frame.outline, _NEEDLESS_MM))
    parts, mark = shapely.get_parts(np.array([shape for _, shape in marks], dtype=object), return_index=True)
    kinds = shapely.get_type_id(parts)
    solid = (kinds == shapely.GeometryType.POLYGON) & (shapely.area(parts) > _LEAST_MM2)
    drawn = (kinds == shapely.GeometryType.LINESTRING) & (shapely.length(parts) > _LEAST_LENGTH_MM)
    rings, ring_of = shapely.get_rings(shapely.orient_polygons(parts[solid]), return_index=True)
    lines = np.concatenate([rings, shapely.segmentize(parts[drawn], 60)])
    if not len(lines):
        return ()
    owner = np.concatenate([np.flatnonzero(solid)[ring_of], np.flatnonzero(drawn)])
    order = np.argsort(owner, kind="stable")
    closed = (np.arange(len(lines)) < len(rings))[order]
    points, line = shapely.get_coordinates(lines[order], return_index=True)
    counts = np.bincount(line)
    ends = np.cumsum(counts)
    lifted = np.split(frame.lift(np.delete(points, ends[closed] - 1, axis=0)), np.cumsum(counts - closed)[:-1])
    looks = [marks[index][0] for index in mark[owner[order]].tolist()]
    return tuple(Ornament(*each) for each in zip(looks, lifted, closed.tolist(), strict=True))


def _inset(shape: shapely.Geometry, by_mm: float) -> shapely.Geometry:
    return shapely.buffer(shape, -by_mm, quad_segs=3)


def _shifted(shape: shapely.Geometry, across: float, up: float) -> shapely.Geometry:
    return shapely.transform(shape, lambda points: points + np.array([across, up]))


def _largest(shape: shapely.Geometry) -> shapely.Geometry:
    parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    return max(parts, key=lambda part: part.area, default=shapely.Polygon())


def _span(shape: shapely.Geometry, from_share: float, to_share: float) -> shapely.Geometry:
    """The part of a shape between two shares of its breadth."""
    left, low, right, high = shape.bounds
    return shapely.intersection(shape, shapely.box(left + from_share * (right - left), low - 1, left + to_share * (right - left), high + 1))


def _rounded(shape: shapely.Geometry, radius: float) -> shapely.Geometry:
    return shapely.simplify(shapely.buffer(shapely.buffer(_largest(shape), -radius), radius, quad_segs=4), 0.3)


_MODULES = {"proj2": 2, "proj3": 3, "blocks4": 4, "round2": 2, "round1": 1, "slit": 0}


def headlamp(outline: shapely.Geometry, face: Mapping[str, object]) -> Marks:
    """Housing, bezel, light modules, daytime light and a corner for the indicator."""
    kind = str(face.get("lamp", "proj3"))
    first, last = _pair(face.get("lampspan"), (0.10, 0.62))
    glass = _inset(outline, 7)
    bezel = _inset(outline, 13)
    marks: Marks = [("housing", glass), ("bezel", _inset(outline, 17))]
    if bezel.is_empty:
        return marks
    marks += _modules(kind, _inset(bezel, 7), first, last)
    marks.append(("amber", _rounded(_span(_inset(bezel, 4), 0.86, 0.97), 3)))
    return marks + _daylight(str(face.get("drl", "low")), float(_number(face.get("drlw"), 12)), bezel)


def _modules(kind: str, room: shapely.Geometry, first: float, last: float) -> Marks:
    marks: Marks = []
    count = _MODULES.get(kind, 3)
    for place in range(count):
        start, end = (first + (last - first) * (place + share) / count for share in (0, 0.84))
        cell = _largest(_span(room, start, end))
        if cell.is_empty:
            continue
        left, low, right, high = cell.bounds
        if kind.startswith("round"):
            middle, radius = cell.centroid, 0.46 * min(high - low, right - left)
            marks += [("module", middle.buffer(radius)), ("bezel", middle.buffer(0.66 * radius)), ("glint", middle.buffer(0.48 * radius))]
            continue
        lens = _rounded(affinity.scale(cell, 1, 0.74), min(9.0, 0.3 * (high - low)))
        core = _inset(lens, min(9.0, 0.26 * (high - low)))
        marks += [("module", lens), ("glint", core)]
    return marks


def _daylight(kind: str, width: float, bezel: shapely.Geometry) -> Marks:
    if kind == "ring":
        return [("daylight_line", shapely.LineString(_largest(bezel).exterior.coords))]
    shifts = {
        "low": ((0, 1),),
        "top": ((0, -1),),
        "L": ((0, 1), (-1.3, 0)),
        "C": ((0, -1), (-1.3, 0), (0, 1)),
        "two": ((0, 0.8), (0, -0.8)),
    }.get(kind, ((0, 1),))
    strips = less([bezel] * len(shifts), [_shifted(bezel, across * width, up * width) for across, up in shifts])
    return [("daylight", joined(strips))]


def tail_lamp(outline: shapely.Geometry, face: Mapping[str, object]) -> Marks:
    kind = str(face.get("tail", "strip"))
    bed, room = _inset(outline, 6), _inset(outline, 11)
    marks: Marks = [("tail_bed", bed)]
    if room.is_empty:
        return marks
    if kind == "vert":
        return marks + _tail_tower(room)
    if kind == "blocks":
        cells = [_rounded(_inset(_span(room, i / 3 + 0.03, (i + 1) / 3 - 0.03), 4), 5) for i in range(3)]
        return [*marks, *(("tail_bright" if i != 1 else "tail_white", cell) for i, cell in enumerate(cells))]
    if kind == "ring":
        ring = _largest(_inset(room, 7))
        core = _inset(ring, 18)
        return [*marks, *([("tail_line", shapely.LineString(ring.exterior.coords))] if not ring.is_empty else []), ("tail_mid", core)]
    marks.append(("tail_mid", _inset(room, 15)))
    marks.append(("tail_white", _rounded(_span(_inset(room, 17), 0.06, 0.26), 4)))
    strips = [(0.0, -15.0)] if kind == "strip" else [(0.0, 14.0), (-17.0, 0.0)]
    return [*marks, *(("tail_bright", less([room], [_shifted(room, *by)])[0]) for by in strips)]


def _tail_tower(room: shapely.Geometry) -> Marks:
    left, low, right, high = room.bounds

    def floor(look: str, from_share: float, to_share: float) -> tuple[str, shapely.Geometry]:
        cell = shapely.intersection(room, shapely.box(left, low + from_share * (high - low), right, low + to_share * (high - low)))
        return look, _rounded(_inset(cell, 5), 4)

    return [floor("tail_bright", 0.55, 1.0), floor("tail_white", 0.30, 0.52), floor("tail_mid", 0.0, 0.27)]


def fog_lamp(outline: shapely.Geometry, face: Mapping[str, object]) -> Marks:
    """A round lamp in its pocket, with louvres where there is room beside it."""
    pocket = _inset(outline, 8)
    if pocket.is_empty:
        return []
    circle = shapely.maximum_inscribed_circle(_largest(pocket), tolerance=2)
    middle, radius = shapely.Point(circle.coords[0]), 0.9 * circle.length
    left, low, right, high = pocket.bounds
    levels = low + np.array([0.25, 0.5, 0.75]) * (high - low)
    louvres = _lines(left, levels, right, levels)
    beside = shapely.difference(shapely.intersection(shapely.union_all(louvres), mended([pocket])[0]), middle.buffer(radius + 6))
    return [
        ("bar", beside),
        ("fog_bowl", middle.buffer(radius)),
        ("fog_lens", middle.buffer(0.62 * radius)),
        ("glint", affinity.scale(_shifted(middle.buffer(0.26 * radius), -0.2 * radius, 0.2 * radius), 1.2, 0.7)),
    ]


def plate(outline: shapely.Geometry, face: Mapping[str, object]) -> Marks:
    """A number plate without a number: its pressed rim."""
    rim = _largest(_inset(outline, 13))
    return [] if rim.is_empty else [("plate_rim", shapely.LineString(rim.exterior.coords))]


def grille(outline: shapely.Geometry, face: Mapping[str, object]) -> Marks:
    marks = _grid(outline, str(face.get("grille", "bars")), int(_number(face.get("n"), 5)), _number(face.get("pitch"), 56))
    inner = _inset(outline, 8)
    left, low, right, high = outline.bounds
    for share in _numbers(face.get("chromebar")):
        level = low + share * (high - low)
        marks.append(("chrome_bar", shapely.intersection(inner, shapely.LineString([(left, level), (right, level)]))))
    frame = face.get("frame", "chrome")
    if frame:
        edge = _largest(_inset(outline, 4))
        marks.append(("chrome" if frame == "chrome" else "gloss_frame", shapely.LineString(edge.exterior.coords)))
    return marks


def intake(outline: shapely.Geometry, face: Mapping[str, object]) -> Marks:
    return _grid(outline, str(face.get("intakep", "bars")), 3, _number(face.get("intake_pitch", face.get("pitch")), 56))


def _grid(outline: shapely.Geometry, kind: str, count: int, pitch: float) -> Marks:
    room = _inset(outline, 8)
    if room.is_empty:
        return []
    left, low, right, high = room.bounds
    if kind == "mesh":
        tall = high - low
        reach = int((0.5 * (right - left) + tall) / pitch) + 1
        middle = (left + right) / 2
        starts = middle + pitch * np.arange(-reach, reach + 1)
        slanted = np.concatenate([_lines(starts, low - 1, starts + sign * 0.9 * tall, high + 1) for sign in (1, -1)])
        shapely.prepare(room)
        return [("lattice", line) for line in shapely.intersection(slanted, room)]
    if kind == "vert":
        places = np.linspace(left, right, max(2, int((right - left) / pitch)) + 1)[1:-1]
        lines, light = _lines(places, low - 1, places, high + 1), [2.5, 0.0]
    else:
        places = np.linspace(low, high, count + 2)[1:-1]
        lines, light = _lines(left - 1, places, right + 1, places), [0.0, 3.0]
    cut = shapely.intersection(lines, room)
    return [("bar", line) for line in cut] + [("bar_light", line) for line in shapely.transform(cut, lambda points: points + light)]


def _lines(x1: Points | float, y1: Points | float, x2: Points | float, y2: Points | float) -> Areas:
    """Straight lines, one for each of the given ends."""
    ends = np.stack(np.broadcast_arrays(x1, y1, x2, y2), axis=-1)
    lines: Areas = shapely.linestrings(ends.reshape(-1, 2, 2))
    return lines


def _number(value: object, default: float) -> float:
    return float(value) if isinstance(value, int | float) else default


def _numbers(value: object) -> Iterable[float]:
    return [float(share) for share in value] if isinstance(value, list | tuple) else []


def _pair(value: object, default: tuple[float, float]) -> tuple[float, float]:
    numbers = list(_numbers(value))
    return (numbers[0], numbers[1]) if len(numbers) == 2 else default

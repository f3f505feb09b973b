"""The pieces of a job: what is cut for every covered panel, lamp and the windshield."""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from shapely.geometry import Polygon

from configurator.domain.body.records import Body, Panel
from configurator.domain.film_plan.flat_panel import Allowance, FlatPanel, allowance_by_edge
from configurator.domain.film_plan.joints import joint_lengths
from configurator.domain.film_plan.outline import Outline, grow, largest, outline, ring
from configurator.domain.film_plan.records import Joint, Piece, Ring, ring_area, turned
from configurator.domain.film_plan.sections import flat_sections
from configurator.domain.film_plan.splits import breadth_mm, split_for_roll
from configurator.domain.film_plan.stripes import LATERAL, Part, cut_along_stripes
from configurator.domain.price_book import Cutting, Film, PriceBook
from configurator.domain.scope import Scope, ScopedLamp, ScopedPanel, TreatedEdge
from configurator.domain.selection import LampFilm, Treatment

NEST_TOLERANCE_MM = 1.5
"""The outline that planners work with may lie this much outside the margin, so that it has few corners."""

FACING = 0.6
"""Mean |normal . x| from which a panel faces forward or back: a film's direction then runs round the car, not up and down."""

BULK = "bulk"
"""Way of cutting: rectangles off the roll, trimmed on the car; also the kind of such a rectangle's sides."""

STRIPE, BORDER = "stripe", "border"

_made: WeakKeyDictionary[Panel, dict[Hashable, tuple[Piece, ...]]] = WeakKeyDictionary()


@dataclass(frozen=True)
class _Job:
    """What decides a panel's pieces besides the panel itself (hashable: the key of the cache)."""

    id: str
    role: str
    film: str
    directional: frozenset[str]
    widest_mm: tuple[tuple[str, float], ...]
    way: str
    margin_mm: float
    separation_mm: float
    recesses: int

    def widest(self, film: str) -> float:
        return dict(self.widest_mm)[film]


def pieces(scope: Scope, body: Body, book: PriceBook) -> tuple[Piece, ...]:
    """Every outline to cut for `scope`, panel by panel in the body's order, then lamps and windshield.

    The visible areas of a panel's pieces (`covers_m2`) add up to its covered area. Panels are cached: the same panel with the
    same edges, stripes and films is not worked out again.
    """
    order = {panel: index for index, panel in enumerate(body.panels)}
    panels = sorted(scope.covered, key=lambda panel: order.get(panel.id, len(order)))
    made = [piece for panel in panels for piece in panel_pieces(panel, book)]
    made += [piece for lamp in lamps_of(scope) for piece in lamp_pieces(lamp, book)]
    return _paired(made)


def lamps_of(scope: Scope) -> tuple[ScopedLamp, ...]:
    """The lamps with film, and the windshield when it has film."""
    return (*scope.lamps, *([scope.windshield] if scope.windshield else []))


def panel_pieces(panel: ScopedPanel, book: PriceBook) -> tuple[Piece, ...]:
    """The pieces of one covered panel; those of a left panel that mirrors its right one are the mirror image of the right one's."""
    covered = panel.covered_panel
    if covered is None or panel.film is None:
        return ()
    films = {panel.film, *(band.film for band in panel.bands)}
    job = _job(panel.id, "base", panel.film, films, book, recesses=panel.recesses)
    ends = frozenset((edge.kind, edge.treatment, edge.part) for edge in panel.edges)
    key = (job, ends, panel.cuts, panel.bands if panel.cuts else (), _table_key(book.cutting))
    cache = _made.setdefault(covered, {})
    if key not in cache:
        if covered.mirror_of is not None and not panel.cuts:
            edges = tuple(_edge_on_the_right(edge) for edge in panel.edges)
            twin = replace(panel, id=_on_the_right(panel.id), covered_panel=covered.mirror_of, edges=edges)
            cache[key] = tuple(_mirrored(piece, panel.id) for piece in panel_pieces(twin, book))
        else:
            allowance = allowance_by_edge(panel.edges, book.cutting.allowance_mm, Treatment.TRIMMED)
            cache[key] = _cut_out(covered, job, allowance, panel)
    return cache[key]


def _on_the_right(name: str) -> str:
    return name.replace("_left", "_right")


def _edge_on_the_right(edge: TreatedEdge) -> TreatedEdge:
    return replace(edge, part=_on_the_right(edge.part)) if edge.part else edge


def _mirrored(piece: Piece, panel: str) -> Piece:
    """The same piece for the other side of the car, the way round of its outline kept."""
    width = float(piece.nest[:, 0].max())
    return replace(
        piece,
        id=piece.id.replace(piece.panel, panel),
        panel=panel,
        cut=_reflected(piece.cut, width),
        nest=_reflected(piece.nest, width),
        fold=_reflected(piece.fold, width),
        openings=tuple(_reflected(opening, width) for opening in piece.openings),
        edge_kinds=(*piece.edge_kinds[-2::-1], piece.edge_kinds[-1]),
        nose=(-piece.nose[0], piece.nose[1]),
        joints=tuple(replace(joint, piece=joint.piece.replace(piece.panel, panel)) for joint in piece.joints),
    )


def _reflected(line: Ring, width: float) -> Ring:
    """Corners with x turned round within the box and in reverse order: segment i was segment n - 2 - i (the last stays last)."""
    return np.asarray(np.round(line[::-1] * np.array([-1.0, 1.0]) + np.array([width, 0.0]), 3) + 0.0)


def lamp_pieces(lamp: ScopedLamp, book: PriceBook) -> tuple[Piece, ...]:
    """The piece of one lamp or the windshield, cut to its edge (it is trimmed in place, with the lens as the guide)."""
    film = film_of(lamp, book)
    if film is None:
        return ()
    role = "windshield" if lamp.group == "windshield" else "lamp"
    job = _job(lamp.id, role, film.id, {film.id}, book, recesses=0)
    cache = _made.setdefault(lamp.panel, {})
    if job not in cache:
        cache[job] = _cut_out(lamp.panel, job, lambda kind, neighbour: 0.0, None)
    return cache[job]


def film_of(lamp: ScopedLamp, book: PriceBook) -> Film | None:
    """The lamp or windshield film that the book sells for a lamp's grade; None for no film."""
    if lamp.film is LampFilm.NONE:
        return None
    if lamp.group == "windshield":
        return next((film for film in book.films.values() if film.kind == "windshield"), None)
    return next((film for film in book.films.values() if film.kind == "lamp" and film.lamp_grade is lamp.film), None)


def _job(panel: str, role: str, film: str, films: set[str], book: PriceBook, *, recesses: int) -> _Job:
    used = sorted(films)
    return _Job(
        id=panel,
        role=role,
        film=film,
        directional=frozenset(name for name in used if book.films[name].directional),
        widest_mm=tuple((name, max(roll.width_mm for roll in book.films[name].rolls)) for name in used),
        way=book.cutting.way,
        margin_mm=book.cutting.margin_mm,
        separation_mm=book.cutting.separation_mm,
        recesses=recesses,
    )


def _table_key(cutting: Cutting) -> Hashable:
    return tuple((treatment, tuple(sorted(row.items()))) for treatment, row in sorted(cutting.allowance_mm.items()))


def _cut_out(panel: Panel, job: _Job, allowance: Allowance, scoped: ScopedPanel | None) -> tuple[Piece, ...]:
    parts = [(flat, part) for flat in flat_sections(panel, allowance) for part in _parts(flat, job, scoped)]
    return _numbered(job, parts)


def _parts(flat: FlatPanel, job: _Job, scoped: ScopedPanel | None) -> Iterator[Part]:
    """What becomes one piece each, of one flat section of a panel."""
    for polygon in flat.outline.geoms:
        whole = Part(shown=polygon, grown=grow(flat, polygon), role=job.role, film=job.film)
        banded = cut_along_stripes(flat, whole, scoped.cuts, scoped.bands) if scoped and scoped.cuts else (whole,)
        for part in banded:
            direction = _film_direction(flat, part.role) if part.film in job.directional else None
            yield from split_for_roll(flat, part, widest_mm=job.widest(part.film), direction=direction)


def _numbered(job: _Job, parts: list[tuple[FlatPanel, Part]]) -> tuple[Piece, ...]:
    """Pieces in the order left to right, front to rear, named by panel, role and number."""
    ordered = sorted(parts, key=lambda part: _place(*part))
    total = Counter(part.role for _, part in parts)
    several = {role for role in total if total[role] > 1}
    only_base = all(part.role == job.role for _, part in parts)
    made, count = [], dict.fromkeys(total, 0)
    for index, (flat, part) in enumerate(ordered):
        count[part.role] += 1
        number = count[part.role] if part.role in several else 0
        name = "-".join([job.id, *([] if only_base else [part.role]), *([str(number)] if number else [])])
        made.append(_piece(flat, job, part, name, number, recesses=job.recesses if index == 0 else 0))
    return _joined(made, joint_lengths([(flat, part.shown) for flat, part in ordered]))


def _joined(made: Sequence[Piece], lengths: Mapping[tuple[int, int], float]) -> tuple[Piece, ...]:
    joints: list[list[Joint]] = [[] for _ in made]
    for (i, j), length in lengths.items():
        joints[i].append(Joint(made[j].id, length))
        joints[j].append(Joint(made[i].id, length))
    return tuple(replace(piece, joints=tuple(met)) for piece, met in zip(made, joints, strict=True))


def _place(flat: FlatPanel, part: Part) -> tuple[float, float]:
    inside = part.shown.representative_point()
    y, x = (flat.coordinate_at((inside.x, inside.y), flat.vertices[:, axis]) for axis in (LATERAL, 0))
    return round(y, 1), round(x, 1)


def _piece(flat: FlatPanel, job: _Job, part: Part, name: str, number: int, *, recesses: int) -> Piece:
    line = outline(flat, part=part.shown, grown=part.grown)
    bare_mm2 = part.shown.difference(Polygon(line.cut)).area
    directional, widest = part.film in job.directional, job.widest(part.film)
    angle = _upright(line.cut, _film_direction(flat, part.role) if directional else None, widest)
    line = _turned(line, angle)
    if job.way == BULK:
        line = _as_rectangle(line, job.margin_mm, widest, directional=directional)
    nest = nest_around(line.cut, job.separation_mm / 2 + (0.0 if job.way == BULK else job.margin_mm))
    origin = np.round(nest.min(axis=0), 3)
    return Piece(
        id=name,
        panel=job.id,
        film=part.film,
        role=part.role,
        cut=np.round(line.cut - origin, 3),
        nest=np.round(nest - origin, 3),
        fold=np.round(line.fold - origin, 3),
        edge_kinds=line.kinds,
        nose=_unit(turned(np.array([flat.nose]), angle)[0]),
        covers_m2=part.shown.area / 1e6 * (1 - flat.hidden_share),
        bare_m2=bare_mm2 / 1e6,
        directional=directional,
        openings=tuple(np.round(opening - origin, 3) for opening in line.openings),
        number=number,
        recesses=recesses,
    )


def nest_around(cut: Ring, margin_mm: float) -> Ring:
    """`cut` with the handling margin, few corners, never inside the margin."""
    wide = Polygon(cut).buffer(margin_mm, quad_segs=3, join_style="mitre" if len(cut) == 4 else "round")
    return ring(largest(wide.buffer(NEST_TOLERANCE_MM, join_style="mitre").simplify(NEST_TOLERANCE_MM)).exterior)


def _as_rectangle(line: Outline, margin_mm: float, widest_mm: float, *, directional: bool) -> Outline:
    """The rectangle to cut off the roll around a piece that is trimmed on the car; its margin gives way at the roll's edge.

    Across the roll lies y where the film has a direction, else the slimmer side.
    """
    low, high = line.cut.min(axis=0), line.cut.max(axis=0)
    grown = np.full(2, margin_mm)
    across = 1 if directional else int(np.argmin(high - low))
    grown[across] = min(margin_mm, max(widest_mm - float((high - low)[across]), 0.0) / 2)
    (x0, y0), (x1, y1) = low - grown, high + grown
    return replace(line, cut=np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), openings=(), kinds=(BULK,) * 4)


def _turned(line: Outline, angle_deg: float) -> Outline:
    return replace(
        line,
        cut=turned(line.cut, angle_deg),
        fold=turned(line.fold, angle_deg),
        openings=tuple(turned(opening, angle_deg) for opening in line.openings),
    )


def _upright(cut: Ring, direction: tuple[float, float] | None, widest_mm: float) -> float:
    """Degrees to turn `cut` by: its film direction along x, else the sides of its smallest rectangle along x and y.

    When that rectangle is broader than the roll but the piece fits at another angle, the narrowest way up is taken.
    """
    if direction is not None:
        return -float(np.degrees(np.arctan2(direction[1], direction[0])))
    corners = shapely.get_coordinates(shapely.oriented_envelope(Polygon(cut)))
    sides = np.diff(corners[:3], axis=0)
    lengths = np.linalg.norm(sides, axis=1)
    if lengths.min() > widest_mm:
        return _narrowest_angle(cut)
    longer = sides[int(np.argmax(lengths))]
    return -float(np.degrees(np.arctan2(longer[1], longer[0])))


def _narrowest_angle(cut: Ring) -> float:
    hull = shapely.get_coordinates(Polygon(cut).convex_hull)
    sides = np.diff(hull, axis=0)
    narrowest = min(sides, key=lambda side: breadth_mm(Polygon(cut), _unit(side)))
    return -float(np.degrees(np.arctan2(narrowest[1], narrowest[0])))


def _film_direction(flat: FlatPanel, role: str) -> tuple[float, float]:
    """Where the roll runs on this panel: along the car, and round it on panels that face forward or back.

    So the direction is level on the whole belt of the car and a matte film looks the same on a bumper's side as on the fender.
    Along a stripe it follows the stripe, over every panel.
    """
    if role in (STRIPE, BORDER):
        return flat.nose
    corners = flat.vertices[flat.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing = float(np.abs(normals[:, 0]).sum() / max(np.linalg.norm(normals, axis=1).sum(), 1e-9))
    return (-flat.nose[1], flat.nose[0]) if facing > FACING else flat.nose


def _unit(vector: Ring) -> tuple[float, float]:
    length = max(float(np.hypot(vector[0], vector[1])), 1e-9)
    return round(float(vector[0]) / length, 6), round(float(vector[1]) / length, 6)


def _paired(made: Iterable[Piece]) -> tuple[Piece, ...]:
    """Left pieces that are mirror images of right ones say so (same film, area and perimeter to 0.1 %)."""
    known = {piece.id: piece for piece in made}
    paired = []
    for piece in known.values():
        twin = known.get(piece.id.replace("_left", "_right")) if "_left" in piece.panel else None
        paired.append(replace(piece, mirror_of=twin.id) if twin and _mirrors(piece, twin) else piece)
    return tuple(paired)


def _mirrors(left: Piece, right: Piece) -> bool:
    same_size = abs(ring_area(left.cut) - ring_area(right.cut)) <= 1e-3 * ring_area(right.cut)
    return left.film == right.film and same_size and abs(_perimeter(left.cut) - _perimeter(right.cut)) <= 1e-3 * _perimeter(right.cut)


def _perimeter(line: Ring) -> float:
    return float(np.linalg.norm(np.roll(line, -1, axis=0) - line, axis=1).sum())

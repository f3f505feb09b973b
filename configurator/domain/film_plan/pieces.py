"""The pieces of a job: what is cut for every covered panel, lamp and the windshield."""

from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

import numpy as np
from shapely.geometry import Polygon

from configurator.domain.body.records import Body, Panel
from configurator.domain.film_plan.board import BULK, as_rectangle, film_direction, nest_around, turned_outline, unit_vector, upright_angle
from configurator.domain.film_plan.flat_panel import Allowance, FlatPanel, allowance_by_edge
from configurator.domain.film_plan.joints import joint_lengths
from configurator.domain.film_plan.mirroring import mirrored, paired_up
from configurator.domain.film_plan.outline import grow, outline
from configurator.domain.film_plan.records import Joint, Piece, turned
from configurator.domain.film_plan.sections import flat_sections
from configurator.domain.film_plan.splits import split_for_roll
from configurator.domain.film_plan.stripes import LATERAL, Part, cut_along_stripes
from configurator.domain.price_book import Cutting, Film, PriceBook
from configurator.domain.scope import Scope, ScopedLamp, ScopedPanel, TreatedEdge
from configurator.domain.selection import LampFilm, Treatment

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
    return paired_up(made)


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
            cache[key] = tuple(mirrored(piece, panel.id) for piece in panel_pieces(twin, book))
        else:
            allowance = allowance_by_edge(panel.edges, book.cutting.allowance_mm, Treatment.TRIMMED)
            cache[key] = _cut_out(covered, job, allowance, panel)
    return cache[key]


def _on_the_right(name: str) -> str:
    return name.replace("_left", "_right")


def _edge_on_the_right(edge: TreatedEdge) -> TreatedEdge:
    return replace(edge, part=_on_the_right(edge.part)) if edge.part else edge


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
            direction = film_direction(flat, part.role) if part.film in job.directional else None
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
    angle = upright_angle(line.cut, film_direction(flat, part.role) if directional else None, widest)
    line = turned_outline(line, angle)
    if job.way == BULK:
        line = as_rectangle(line, job.margin_mm, widest, directional=directional)
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
        nose=unit_vector(turned(np.array([flat.nose]), angle)[0]),
        covers_m2=part.shown.area / 1e6 * (1 - flat.hidden_share),
        bare_m2=bare_mm2 / 1e6,
        directional=directional,
        openings=tuple(np.round(opening - origin, 3) for opening in line.openings),
        number=number,
        recesses=recesses,
    )

"""A panel's film cut along the lines where two finishes meet: base, stripe and border pieces, butted edge to edge."""

from dataclasses import dataclass, replace

from shapely.geometry import LineString, Polygon

from configurator.domain.film_plan.flat_panel import FlatPanel
from configurator.domain.film_plan.iso_lines import SLIVER_MM2, iso_lines, split
from configurator.domain.scope import FinishBand, StripeCut

LATERAL = 1
"""Index of y among a vertex's coordinates."""

BAND_SLIVER_MM2 = 60.0
"""A stretch of a border smaller than this (6 mm by a finger's breadth) takes its neighbour's finish; anything larger keeps its own."""


@dataclass(frozen=True, eq=False)
class Part:
    """What becomes one piece: `shown` on the car, `grown` with turn-in; its film, and its role beside its neighbours."""

    shown: Polygon
    grown: Polygon
    role: str
    film: str


def cut_along_stripes(flat: FlatPanel, whole: Part, cuts: tuple[StripeCut, ...], bands: tuple[FinishBand, ...]) -> tuple[Part, ...]:
    """The parts of `whole` between the planes y = const of `cuts`; each takes the film of the band it lies in."""
    lines = tuple(line for cut in cuts for line in iso_lines(flat, axis=LATERAL, level_mm=cut.y_mm))
    levels = sorted(cut.y_mm for cut in cuts)
    return tuple(_as_band(flat, part, levels, bands) for part in part_along(whole, lines, sliver_mm2=BAND_SLIVER_MM2))


def part_along(whole: Part, lines: tuple[LineString, ...], *, sliver_mm2: float = SLIVER_MM2) -> tuple[Part, ...]:
    """`whole` cut along `lines`: what shows and what is turned in are cut by the same lines, so butted pieces meet over the edge too."""
    if not lines:
        return (whole,)
    grown = split(whole.grown, lines, sliver_mm2=sliver_mm2)
    shown: dict[int, list[Polygon]] = {}
    for face in split(whole.shown, lines, sliver_mm2=sliver_mm2):
        owner = max(range(len(grown)), key=lambda index: grown[index].intersection(face).area)
        shown.setdefault(owner, []).append(face)
    parts = []
    for owner, faces in shown.items():
        parts += [replace(whole, shown=face, grown=_share(grown[owner], face, faces)) for face in faces]
    return tuple(parts)


def _share(grown: Polygon, face: Polygon, faces: list[Polygon]) -> Polygon:
    """Of a grown area that only its turn-in holds together, what belongs to `face`."""
    if len(faces) == 1:
        return grown
    others = [other for other in faces if other is not face]
    near = grown
    for other in others:
        near = near.difference(other.buffer(max(face.distance(other) / 2, 0.1)))
    kept = [piece for piece in getattr(near, "geoms", [near]) if piece.intersects(face)]
    return max(kept, key=lambda piece: piece.area, default=face)


def _as_band(flat: FlatPanel, part: Part, levels: list[float], bands: tuple[FinishBand, ...]) -> Part:
    inside = part.shown.representative_point()
    y = flat.coordinate_at((inside.x, inside.y), flat.vertices[:, LATERAL])
    low = max((level for level in levels if level <= y), default=float("-inf"))
    high = min((level for level in levels if level > y), default=float("inf"))
    within = [band for band in bands if band.y_to_mm > low + 1e-6 and band.y_from_mm < high - 1e-6]
    widest = max(within, key=lambda band: min(band.y_to_mm, high, 1e5) - max(band.y_from_mm, low, -1e5))
    return replace(part, role=widest.role, film=widest.film)

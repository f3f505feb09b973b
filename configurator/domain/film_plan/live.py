"""Metres of film while the visitor clicks: a sum over pieces that can only grow when a piece is added.

A placed plan would be a little more exact, but not monotone: the best plan found for 21 pieces may be shorter than the one
found for 20 of them, and a panel added would lower the price. Every term here is non-negative, so it can't.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from configurator.domain.body.records import Body
from configurator.domain.film_plan.pieces import lamp_pieces, lamps_of, panel_pieces
from configurator.domain.film_plan.records import FilmUse, Piece
from configurator.domain.price_book import Film, PriceBook
from configurator.domain.scope import Scope


@dataclass(frozen=True)
class LengthModel:
    """Film used = start x W + per_area x A + per_box x B + per_broad_area x A where broader than W / 2; length = that / W.

    A: area, B: area of the enclosing rectangle, both of the outline with its margin. The factors are shares without a unit, fitted
    for one way of cutting, roll width and margin; `start_mm` is a length. None may be negative.
    """

    way: str
    roll_width_mm: float
    margin_mm: float
    start_mm: float
    per_area: float
    per_box: float
    per_broad_area: float
    error_sd: float
    """Relative standard deviation against placed plans that the fit hasn't seen."""
    error_worst: float

    def length_mm(self, pieces: Iterable[Piece], *, roll_width_mm: float) -> float:
        """mm of a roll of `roll_width_mm`: never less than the longest piece, nor than the area of all of them needs."""
        used = area = longest = 0.0
        for piece in pieces:
            along, across = sorted(piece.nest_box_mm, reverse=True) if not piece.directional else piece.nest_box_mm
            broad = min(along, across) > roll_width_mm / 2
            used += self.per_area * piece.nest_area_mm2 + self.per_box * along * across + self.per_broad_area * piece.nest_area_mm2 * broad
            area += piece.nest_area_mm2
            longest = max(longest, least_length_mm(piece, roll_width_mm))
        return max(self.start_mm + used / roll_width_mm, longest, area / roll_width_mm) if area else 0.0


@dataclass(frozen=True)
class FilmModel:
    """The fitted lengths, one row per way of cutting, roll width and margin, and where they come from."""

    fitted: date
    method: str
    rows: tuple[LengthModel, ...]

    def row(self, *, way: str, roll_width_mm: float, margin_mm: float) -> LengthModel:
        """The row of that way of cutting nearest in width, then in margin (the factors have no unit, so they carry over)."""
        rows = [row for row in self.rows if row.way == way] or list(self.rows)
        return min(rows, key=lambda row: (abs(row.roll_width_mm - roll_width_mm), abs(row.margin_mm - margin_mm)))


def least_length_mm(piece: Piece, roll_width_mm: float) -> float:
    """The least length of roll that the piece alone takes, at the turns its film allows."""
    along, across = piece.cut_box_mm
    lengths = [along] if across <= roll_width_mm else []
    if not piece.directional and along <= roll_width_mm:
        lengths.append(across)
    return min(lengths, default=along)


def film_use(scope: Scope, body: Body, book: PriceBook, model: FilmModel) -> tuple[FilmUse, ...]:
    """Metres per film, each on the stocked width that costs least, in the price book's order of films.

    Lamps take the book's lamp yield, with their handling margins: their pieces are few and small, and cut from a roll of their own.
    """
    del body
    of_film: dict[str, list[Piece]] = defaultdict(list)
    for panel in scope.covered:
        for piece in panel_pieces(panel, book):
            of_film[piece.film].append(piece)
    for lamp in lamps_of(scope):
        for piece in lamp_pieces(lamp, book):
            of_film[piece.film].append(piece)
    return tuple(_use(book.films[film], of_film[film], book, model) for film in book.films if of_film.get(film))


def _use(film: Film, pieces: list[Piece], book: PriceBook, model: FilmModel) -> FilmUse:
    lengths = {roll.width_mm: _length_mm(film, pieces, roll.width_mm, book, model) for roll in film.rolls if _fits(pieces, roll.width_mm)}
    width = min(lengths, key=lambda width: (float(film.roll(width).cost_per_m) * lengths[width], -width))
    area = sum(piece.cut_area_mm2 for piece in pieces) / 1e6
    return FilmUse(film=film.id, roll_width_mm=width, length_m=lengths[width] / 1000, pieces=len(pieces), piece_area_m2=area)


def _length_mm(film: Film, pieces: list[Piece], width_mm: float, book: PriceBook, model: FilmModel) -> float:
    if film.kind == "lamp":
        area = sum(piece.nest_area_mm2 for piece in pieces)
        return max(area / book.cutting.lamp_yield / width_mm, *(least_length_mm(piece, width_mm) for piece in pieces), 0.0)
    row = model.row(way=book.cutting.way, roll_width_mm=width_mm, margin_mm=book.cutting.margin_mm)
    return row.length_mm(pieces, roll_width_mm=width_mm)


def _fits(pieces: list[Piece], width_mm: float) -> bool:
    return all(piece.breadth_mm() <= width_mm + 1e-6 for piece in pieces)

"""The cut line beside the panel's own edge: how far past it on each kind of edge, and what happens at corners."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely

from configurator.domain import estimating
from configurator.domain.body.records import EdgeKind
from configurator.domain.film_plan.pieces import pieces
from configurator.domain.film_plan.records import SEAM, Piece
from configurator.domain.selection import Treatment
from tests.shops import STYLES, chosen, demo_shop

APART = {"shut_line": 15.0, "wheel_arch": 19.0, "glass": 5.0, "lamp": 9.0, "part": 3.0, "body_join": 0.0, "open": 0.0}
"""A table with a figure of its own for every kind of edge, so that none can stand in for another."""

SET_BACK = dict.fromkeys(APART, -3.0) | {"open": 0.0}

CORNER_MM = 40.0
"""Corners are looked at by tests of their own."""

KNOWN = {str(kind) for kind in EdgeKind} | {SEAM}


@cache
def made(body: str, package: str, *, set_back: bool = False) -> tuple[Piece, ...]:
    """Pieces of wrapped edges by the tables above."""
    shop = demo_shop()
    table = {EdgeKind(kind): mm for kind, mm in (SET_BACK if set_back else APART).items()}
    book = replace(shop.book, cutting=replace(shop.book.cutting, allowance_mm=dict.fromkeys(Treatment, table)))
    job = estimating.work(chosen(body, package), shop)
    return pieces(job.scope, job.body, book)


def away_from_corners(piece: Piece) -> list[tuple[str, float, float]]:
    """Steps of the cut line clear of other kinds of edge: (kind, mm past the panel's own edge, negative inside it; length mm)."""
    following = np.roll(piece.cut, -1, axis=0)
    middles, lengths = (piece.cut + following) / 2, np.linalg.norm(following - piece.cut, axis=1)
    fold, kinds = shapely.Polygon(piece.fold), np.array(piece.edge_kinds)
    found = []
    for kind in set(kinds.tolist()):
        others = shapely.MultiPoint(middles[kinds != kind].tolist()) if (kinds != kind).any() else None
        for place in np.flatnonzero(kinds == kind):
            point = shapely.Point(middles[place])
            if others is None or others.distance(point) > CORNER_MM:
                gap = float(fold.exterior.distance(point))
                found.append((kind, -gap if fold.contains(point) else gap, float(lengths[place])))
    return found


@pytest.mark.parametrize("body", ["sedan", "suv", "pickup"])
def test_film_reaches_past_each_kind_of_edge_by_its_own_allowance(body: str) -> None:
    """Convex corners are rounded; inner ones are filled for the blade, whose radius r adds (1 / sin(a / 2) - 1) r in a notch of angle a:
    0.8 mm at a right angle, 3.2 mm at 45 degrees, on a step or two of the line."""
    reach: dict[str, list[tuple[float, float]]] = {}
    for piece in made(body, "full_body"):
        if piece.role == "base":
            for kind, gap, length in away_from_corners(piece):
                reach.setdefault(kind, []).append((gap, length))

    assert {"shut_line", "wheel_arch", "glass", "lamp"} <= set(reach)
    for kind, steps in reach.items():
        allowed, (gaps, lengths) = APART.get(kind, 0.0), np.array(steps).T
        assert gaps.max() <= allowed + 3.3, kind
        assert lengths[gaps > allowed + 0.85].sum() < 0.01 * lengths.sum(), kind
        if kind != "part":
            assert lengths[np.abs(gaps - allowed) < 0.5].sum() > 0.9 * lengths.sum(), kind


def test_trimmed_film_stops_short_of_the_edge_by_its_set_back() -> None:
    steps = [step for piece in made("sedan", "full_front", set_back=True) if piece.role == "base" for step in away_from_corners(piece)]
    gaps, lengths = np.array([(gap, length) for _, gap, length in steps]).T

    assert gaps.max() < -2.5
    assert lengths[np.abs(gaps + 3.0) < 0.2].sum() > 0.9 * lengths.sum()


@pytest.mark.parametrize("body", STYLES)
def test_no_horn_stands_out_beside_an_edge_that_nothing_is_turned_round(body: str) -> None:
    """Past a bare edge lies no film: what is turned in beside it is cut back to the corner."""
    for piece in made(body, "partial_front"):
        for start, end in _bare_edges(piece):
            beyond = _outer_strip(start, end, piece, depth=30.0)
            assert shapely.Polygon(piece.cut).intersection(beyond).area < 40.0, piece.id


def _bare_edges(piece: Piece) -> list[tuple[np.ndarray, np.ndarray]]:
    """Long straight steps of the cut line on an edge without allowance."""
    following = np.roll(piece.cut, -1, axis=0)
    return [
        (start, end)
        for start, end, kind in zip(piece.cut, following, piece.edge_kinds, strict=True)
        if APART.get(kind, 0.0) == 0.0 and np.hypot(*(end - start)) > 60.0
    ]


def _outer_strip(start: np.ndarray, end: np.ndarray, piece: Piece, depth: float) -> shapely.Geometry:
    """Beside a step of the cut line, outward, without its last 8 mm at either end and 0.5 mm of rounding."""
    along = (end - start) / np.hypot(*(end - start))
    out = np.array([along[1], -along[0]])
    middle = (start + end) / 2
    if shapely.Polygon(piece.cut).contains(shapely.Point(middle + out)):
        out = -out
    a, b = start + 8 * along, end - 8 * along
    return shapely.Polygon([a + 0.5 * out, b + 0.5 * out, b + depth * out, a + depth * out])


@pytest.mark.parametrize("body", STYLES)
def test_it_is_known_of_every_step_of_a_cut_line_what_lies_beyond(body: str) -> None:
    for piece in made(body, "full_body"):
        assert len(piece.edge_kinds) == len(piece.cut)
        assert set(piece.edge_kinds) <= KNOWN


@pytest.mark.parametrize("body", ["sedan", "van"])
def test_as_much_edge_of_every_kind_is_on_the_pieces_as_on_the_panels(body: str) -> None:
    """The body measures its edges in space, the pieces theirs on the flat cut line, farther out and with rounded corners."""
    job = estimating.work(chosen(body, "full_body"), demo_shop())
    on_panels: dict[str, float] = {}
    for panel in job.scope.covered:
        for edge in panel.edges:
            on_panels[str(edge.kind)] = on_panels.get(str(edge.kind), 0.0) + edge.length_mm
    on_pieces: dict[str, float] = {}
    for piece in made(body, "full_body"):
        if piece.role == "base":
            for line in (piece.cut, *piece.openings):
                lengths = np.linalg.norm(np.roll(line, -1, axis=0) - line, axis=1)
                kinds = piece.edge_kinds if line is piece.cut else ("opening",) * len(line)
                for kind, length in zip(kinds, lengths, strict=True):
                    on_pieces[kind] = on_pieces.get(kind, 0.0) + float(length)

    for kind in ("shut_line", "wheel_arch"):
        assert on_pieces[kind] == pytest.approx(on_panels[kind], rel=0.1), kind


def test_no_corner_is_sharper_than_a_blade_can_follow() -> None:
    """A cut line that is opened and closed by a disc of 1.5 mm stays as it is, but for the panels too slim for that."""
    for piece in made("sedan", "full_body"):
        shape = shapely.Polygon(piece.cut)
        opened = shape.buffer(-1.5).buffer(1.5)
        assert shape.difference(opened.buffer(0.15)).area < 2.0, piece.id

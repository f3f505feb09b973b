"""Outlines cut into rows, against what shapely (GEOS) cuts out row by row."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.film_plan.raster import Grid, on_cells, sliced
from configurator.domain.film_plan.records import Ring, turned
from configurator.domain.film_plan.row_spans import TOUCH_MM, end_for_end, in_rows_twice_as_high, row_spans
from tests.domain.film_plan.rectangles import piece

COMB = np.array([(0, 0), (90, 0), (90, 40), (70, 40), (70, 10), (50, 10), (50, 40), (30, 40), (30, 10), (0, 10)], dtype=float)
ARROW = [(0.0, 0.0), (200.0, 30.0), (120.0, 50.0), (140.0, 130.0), (20.0, 90.0)]


def cut_out(ring: Ring, rows: int, height_mm: float) -> list[list[tuple[float, float]]]:
    """For each row the stretches that shapely finds, overlapping ones joined."""
    polygon, found = shapely.Polygon(ring), []
    for row in range(rows):
        band = shapely.box(-1e5, row * height_mm + TOUCH_MM, 1e5, (row + 1) * height_mm - TOUCH_MM)
        parts = [shapely.bounds(part)[[0, 2]] for part in shapely.get_parts(polygon.intersection(band))]
        stretches: list[tuple[float, float]] = []
        for left, right in sorted((float(left), float(right)) for left, right in parts if not np.isnan(left)):
            if stretches and left <= stretches[-1][1]:
                stretches[-1] = (stretches[-1][0], max(stretches[-1][1], right))
            else:
                stretches.append((left, right))
        found.append(stretches)
    return found


def as_lists(spans: np.ndarray, rows: int) -> list[list[tuple[float, float]]]:
    return [[(left, right) for row, left, right in spans.tolist() if row == wanted] for wanted in range(rows)]


def assert_same(ours: list[list[tuple[float, float]]], theirs: list[list[tuple[float, float]]]) -> None:
    assert [len(row) for row in ours] == [len(row) for row in theirs]
    for mine, other in zip(ours, theirs, strict=True):
        assert np.array(mine) == pytest.approx(np.array(other), abs=1e-6)


@st.composite
def outlines(draw: st.DrawFn) -> Ring:
    """Simple outlines of 3 to 14 corners: seen from their middle, corner after corner."""
    count = draw(st.integers(3, 14))
    reach = draw(st.lists(st.floats(20, 300), min_size=count, max_size=count))
    around = np.linspace(0, 2 * np.pi, count, endpoint=False)
    corners = np.round(np.stack([np.cos(around), np.sin(around)], axis=1) * np.array(reach)[:, None], 3)
    ring: Ring = corners - corners.min(axis=0)
    return ring


@given(outlines(), st.sampled_from([3.0, 6.0, 11.96]))
def test_rows_of_any_outline_are_what_shapely_cuts_out(ring: Ring, height: float) -> None:
    rows = int(np.ceil(ring[:, 1].max() / height))

    assert_same(as_lists(row_spans(ring, rows, height), rows), cut_out(ring, rows, height))


def test_the_teeth_of_a_comb_are_apart_and_its_level_edges_count() -> None:
    assert as_lists(row_spans(COMB, 4, 10.0), 4) == [
        [(0.0, 90.0)],
        *[[(30.0, 50.0), (70.0, 90.0)]] * 3,
    ]


@given(outlines())
def test_rows_twice_as_high_hold_what_both_their_halves_hold(ring: Ring) -> None:
    rows = 2 * int(np.ceil(ring[:, 1].max() / 12.0))
    joined = in_rows_twice_as_high(row_spans(ring, rows, 6.0))

    assert_same(as_lists(joined, rows // 2), cut_out(ring, rows // 2, 12.0))


@given(outlines())
def test_end_for_end_is_the_outline_turned_by_half_a_turn(ring: Ring) -> None:
    rows = int(np.ceil(ring[:, 1].max() / 6.0))
    length = float(ring[:, 0].max())
    about = turned(ring, 180.0) + np.array([length, rows * 6.0])

    assert_same(as_lists(end_for_end(row_spans(ring, rows, 6.0), rows, length), rows), cut_out(about, rows, 6.0))


@pytest.mark.parametrize("halved", [False, True])
def test_cells_are_taken_where_the_outline_meets_them(halved: bool) -> None:
    """Counted cell by cell with shapely, at each of the four angles; the piece lies where `offset` says."""
    fine = Grid(480.0, 12.0, 80)
    cells = Grid(480.0, 24.0, 40) if halved else fine
    for index, each in enumerate(sliced(piece("arrow", ARROW), fine)):
        shape = on_cells(each, cells, index, halved=halved)
        outline = shapely.Polygon(turned(np.array(ARROW), each.angle_deg) + np.array(shape.offset))
        for x in range(shape.columns):
            for y in range(shape.rows):
                cell = shapely.box(x * cells.along_mm, y * cells.across_mm, (x + 1) * cells.along_mm, (y + 1) * cells.across_mm)
                meets = bool(outline.intersection(cell).area > 0.01)
                taken = bool(shape.mask >> (x * cells.rows + y) & 1)
                assert taken or not meets, (each.angle_deg, x, y)
                assert meets or not taken or outline.distance(cell) < 0.01 or _spanned(outline, cell), (each.angle_deg, x, y)


def _spanned(outline: shapely.Polygon, cell: shapely.Polygon) -> bool:
    """Whether the cell lies between two parts of the outline in its row that overlap along it, and so counts as taken."""
    low, high = cell.bounds[1], cell.bounds[3]
    parts = shapely.get_parts(outline.intersection(shapely.box(-1e4, low, 1e4, high)))
    return any(part.bounds[0] < cell.bounds[2] and part.bounds[2] > cell.bounds[0] for part in parts)

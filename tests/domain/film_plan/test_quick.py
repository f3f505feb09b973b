"""The quick planner on pieces whose best plan is known by hand, and on the demo's cars; every plan goes through the verifier."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain import estimating
from configurator.domain.film_plan.nesting import nest
from configurator.domain.film_plan.pieces import pieces
from configurator.domain.film_plan.quick import plan_quick
from configurator.domain.film_plan.records import FilmPlan, Piece, RollPlan
from configurator.domain.film_plan.rolls import film_cost, stock_of
from configurator.domain.film_plan.verify import uncovered, verify
from configurator.services.film.film_planning import plan_film
from tests.domain.film_plan.rectangles import piece, rectangle
from tests.shops import chosen, demo_shop

STEPS = 40_000
STRIPED = {"stripes": {"count": 2, "width_mm": 240, "gap_mm": 110, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss"}}}


def checked(made: list[Piece], width_mm: float, steps: int = STEPS) -> float:
    """Length of the verified run."""
    run = nest(made, width_mm, steps=steps)
    assert run is not None
    plan = FilmPlan("quick", (RollPlan("clear", width_mm, run.length_mm, run.placements),))
    assert verify(plan, made) == ()
    return run.length_mm


def test_four_squares_fill_a_strip_two_squares_wide() -> None:
    """A little smaller than half the strip: the planner looks at whole rows of cells across the roll."""
    squares = [rectangle(f"s{n}", 490, 490) for n in range(4)]

    assert checked(squares, 1000) == pytest.approx(980, abs=0.1)


def test_a_piece_longer_than_the_roll_is_broad_lies_along_it() -> None:
    assert checked([rectangle("long", 400, 1800)], 1524) == pytest.approx(1800, abs=0.1)


def test_two_triangles_share_a_square() -> None:
    first = piece("a", [(0, 0), (1000, 0), (0, 1000)])
    second = piece("b", [(1000, 0), (1000, 1000), (0, 1000)])

    assert checked([first, second], 1000, steps=200_000) == pytest.approx(1000, abs=60)


def test_a_film_with_a_direction_is_turned_end_for_end_only() -> None:
    made = [rectangle(f"d{n}", 700, 300, directional=True) for n in range(3)]
    run = nest(made, 1000, steps=STEPS)

    assert run is not None
    assert {placement.angle_deg % 180 for placement in run.placements} == {0}


def test_a_piece_broader_than_the_roll_fits_no_run() -> None:
    assert nest([rectangle("wide", 1600, 1600)], 1524, steps=STEPS) is None


@settings(max_examples=40)
@given(st.lists(st.tuples(st.floats(20, 900), st.floats(20, 900)), min_size=1, max_size=14))
def test_any_rectangles_are_placed_without_a_flaw_and_not_below_the_area_bound(sizes: list[tuple[float, float]]) -> None:
    made = [rectangle(f"r{n}", along, across) for n, (along, across) in enumerate(sizes)]

    assert checked(made, 1000, steps=8000) >= sum(along * across for along, across in sizes) / 1000 - 0.1


CASES = [
    ("sedan", {"package": "full_body"}, {}),
    ("coupe", {"package": "full_body", "vehicle": STRIPED}, {"edges": "hidden"}),
    ("pickup", {"package": "full_body"}, {"edges": "trimmed"}),
    ("van", {"package": "full_body"}, {}),
    ("suv", {"package": "partial_front"}, {}),
    ("hatchback", {"package": "track"}, {"edges": "hidden"}),
]


@pytest.mark.parametrize(("body", "more", "rest"), CASES, ids=lambda value: value if isinstance(value, str) else "")
def test_a_cars_plan_can_be_cut_and_covers_it(body: str, more: dict[str, object], rest: dict[str, object]) -> None:
    shop = demo_shop()
    job = estimating.work(chosen(body, **more, **rest), shop)  # type: ignore[arg-type]
    made = pieces(job.scope, job.body, shop.book)
    plan = plan_quick(made, shop.book)

    assert verify(plan, made, separation_mm=shop.book.cutting.separation_mm) == ()
    assert uncovered(made, job.scope) == ()
    for roll in plan.rolls:
        assert roll.length_mm * roll.roll_width_mm / 1e6 >= roll.piece_area_m2


def test_the_same_job_gives_the_same_plan() -> None:
    shop = demo_shop()
    first, second = (plan_film(shop, chosen("sedan", "full_body")) for _ in range(2))

    for one, other in zip(first.rolls, second.rolls, strict=True):
        assert one.length_mm == other.length_mm
        for a, b in zip(one.placements, other.placements, strict=True):
            assert (a.piece.id, a.angle_deg, a.x_mm, a.y_mm) == (b.piece.id, b.angle_deg, b.x_mm, b.y_mm)
            assert np.array_equal(a.piece.cut, b.piece.cut)


def test_the_deep_plan_never_costs_more_film_than_the_quick_one() -> None:
    shop, selection = demo_shop(), chosen("coupe", "full_front", edges="hidden")
    stock = stock_of(shop.book)
    quick, deep = plan_film(shop, selection), plan_film(shop, selection, deep=True, seconds=5)

    assert film_cost(deep, stock) <= film_cost(quick, stock)

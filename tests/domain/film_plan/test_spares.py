"""What is left whole of a roll: nothing in it, as large as it can be, and only what is worth keeping."""

import pytest
import shapely

from configurator.domain.film_plan.records import Placement, RollPlan
from configurator.domain.film_plan.spares import CELL_MM, LEAST_MM2, LEAST_SIDE_MM, spare_rectangles
from configurator.services.film.film_planning import plan_film
from tests.domain.film_plan.rectangles import piece, rectangle
from tests.shops import chosen, demo_shop


def roll(*placements: Placement, length_mm: float = 2000.0, width_mm: float = 1000.0) -> RollPlan:
    return RollPlan("clear", width_mm, length_mm, placements)


def test_the_corner_that_a_piece_leaves_is_found() -> None:
    """A piece of 1,190 x 990 at the start leaves 790 x 1,000 beside it (less a cell): the best of the two ways to part the rest."""
    (spare,) = spare_rectangles(roll(Placement(rectangle("a", 1190, 990), 0, 0, 0)))

    assert (spare.x_mm, spare.y_mm) == (pytest.approx(1200, abs=CELL_MM), 0.0)
    assert (spare.along_mm, spare.across_mm) == (pytest.approx(800, abs=CELL_MM), 1000.0)


def test_two_are_found_that_dont_share_film() -> None:
    one, other = spare_rectangles(roll(Placement(rectangle("a", 300, 1000), 0, 850, 0)))

    assert one.area_mm2 >= other.area_mm2
    assert one.x_mm + one.along_mm <= other.x_mm or other.x_mm + other.along_mm <= one.x_mm


def test_slim_and_small_rests_are_not_worth_keeping() -> None:
    assert spare_rectangles(roll(Placement(rectangle("a", 1990, 720), 0, 0, 0))) == ()
    assert spare_rectangles(roll(Placement(rectangle("a", 1500, 1000), 0, 0, 0), length_mm=1900.0, width_mm=500.0)) == ()


def test_a_hollow_counts_as_far_as_a_rectangle_goes_into_it() -> None:
    hollow = piece("u", [(0, 0), (1200, 0), (1200, 1000), (1000, 1000), (1000, 200), (200, 200), (200, 1000), (0, 1000)])
    (spare,) = spare_rectangles(roll(Placement(hollow, 0, 0, 0), length_mm=1200.0))

    assert (spare.along_mm, spare.across_mm) == (pytest.approx(800, abs=2 * CELL_MM), pytest.approx(800, abs=2 * CELL_MM))


@pytest.mark.parametrize("body", ["coupe", "pickup", "van"])
def test_no_piece_of_a_car_reaches_into_what_is_kept(body: str) -> None:
    for planned in plan_film(demo_shop(), chosen(body, "full_body")).rolls:
        cuts = shapely.union_all([shapely.Polygon(p.placed(p.piece.cut)) for p in planned.placements])
        for spare in spare_rectangles(planned):
            film = shapely.box(spare.x_mm, spare.y_mm, spare.x_mm + spare.along_mm, spare.y_mm + spare.across_mm)
            assert film.distance(cuts) > 0
            assert film.bounds[2] <= planned.length_mm
            assert film.bounds[3] <= planned.roll_width_mm
            assert min(spare.along_mm, spare.across_mm) >= LEAST_SIDE_MM
            assert spare.area_mm2 >= LEAST_MM2

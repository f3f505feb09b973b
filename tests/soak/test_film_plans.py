"""Too long for every day: deep plans after 1, 10 and 60 seconds, the published instances, a thousand plans judged from outside."""

import json
import random
from dataclasses import replace
from decimal import Decimal

import pytest
import shapely

from configurator.domain.film_plan.deep import plan_deep
from configurator.domain.film_plan.nesting import nest
from configurator.domain.film_plan.records import FilmPlan, RollPlan
from configurator.domain.film_plan.rolls import film_cost, stock_of
from configurator.domain.film_plan.verify import verify
from configurator.services.film.deep_planner import solve_in_child
from configurator.services.film.film_planning import plan_film
from configurator.wire.film_plan import film_plan_document
from tests.cli.any_selection import any_selection, as_selection
from tests.cli.film_judge import faults
from tests.published.test_nesting_instances import TABLE, as_piece, instance
from tests.shops import STYLES, chosen, demo_shop, scoped

JUDGED = 1000
DEEP_JUDGED = 40


@pytest.mark.parametrize("body", STYLES)
def test_more_time_never_costs_more_film_money(body: str) -> None:
    """Prints, for 1, 10 and 60 s, film laid out to the area of the pieces, and money to the quick plan's and to the best found."""
    shop, selection = demo_shop(), chosen(body, "full_body", edges="hidden")
    stock = stock_of(shop.book)
    quick = film_cost(plan_film(shop, selection), stock)
    costs: dict[float, Decimal] = {}
    bounds: dict[float, float] = {}
    for seconds in (1.0, 10.0, 60.0):
        plan = plan_film(shop, selection, deep=True, seconds=seconds)
        costs[seconds] = film_cost(plan, stock)
        area = sum(roll.piece_area_m2 for roll in plan.rolls)
        bounds[seconds] = sum(roll.length_mm * roll.roll_width_mm / 1e6 for roll in plan.rolls) / area
    best = min(costs.values())
    for seconds, cost in costs.items():
        print(f"{body} {seconds:g} s: {bounds[seconds]:.3f} of the area bound, {cost / quick:.3f} of quick, {cost / best:.3f} of the best")

    assert all(cost <= quick for cost in costs.values())


@pytest.mark.parametrize("name", TABLE)
def test_the_deep_planner_comes_near_the_best_known_and_never_below(name: str) -> None:
    """20 s each; best known from the records of the solver's repository (see test_nesting_instances)."""
    width, items = instance(name)
    scale = 1524.0 / width
    made = [as_piece(id, ring * scale, angles) for id, ring, angles in items]
    run = nest(made, 1524.0, steps=60_000)
    assert run is not None
    quick = FilmPlan("quick", (RollPlan("clear", 1524.0, run.length_mm, run.placements),))
    deep = plan_deep(quick, solve_in_child, seconds=22.0, separation_mm=0.0)
    best_known = TABLE[name][3] * scale
    print(f"{name}: quick {run.length_mm / best_known:.3f}, deep {deep.rolls[0].length_mm / best_known:.3f} of the best known")

    assert verify(deep, made) == ()
    assert best_known * 0.9999 <= deep.rolls[0].length_mm <= run.length_mm
    assert deep.rolls[0].length_mm * 1524.0 >= sum(shapely.Polygon(part.cut).area for part in made)


def test_plans_of_any_selection_stand_before_a_judge_from_outside() -> None:
    """The first forty also as deep plans of three seconds, and as rectangles."""
    shop, chance = demo_shop(), random.Random("any selection")
    bulk = replace(shop, book=replace(shop.book, cutting=replace(shop.book.cutting, way="bulk")))
    margin = shop.book.cutting.margin_mm + shop.book.cutting.separation_mm
    directional = {film.id for film in shop.book.films.values() if film.directional}
    stock = stock_of(shop.book)
    for number in range(JUDGED):
        document = any_selection(chance)
        selection = as_selection(document)
        covered = {panel.id: panel.covered_area_m2 for panel in scoped(selection).covered}
        plans = [plan_film(shop, selection)]
        if number < DEEP_JUDGED:
            plans += [plan_film(shop, selection, deep=True, seconds=3.0), plan_film(bulk, selection)]
            assert film_cost(plans[1], stock) <= film_cost(plans[0], stock), document
        for plan in plans:
            printed = json.loads(json.dumps(film_plan_document(plan)))
            found = faults(printed, covered, directional=directional, gap_mm=shop.book.cutting.separation_mm, margin_mm=margin)
            assert found == [], (document, found)

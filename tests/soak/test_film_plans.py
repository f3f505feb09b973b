"""What is too long for every day: deep plans after 1, 10 and 60 seconds, against the area bound and the best known."""

import pytest

from configurator.domain.film_plan.rolls import film_cost, stock_of
from configurator.services.film_planning import plan_film
from tests.shops import STYLES, chosen, demo_shop


@pytest.mark.parametrize("body", STYLES)
def test_more_time_never_costs_more_film_money(body: str) -> None:
    shop, selection = demo_shop(), chosen(body, "full_body", edges="hidden")
    stock = stock_of(shop.book)
    quick = film_cost(plan_film(shop, selection), stock)
    costs = []
    for seconds in (1.0, 10.0, 60.0):
        plan = plan_film(shop, selection, deep=True, seconds=seconds)
        costs.append(film_cost(plan, stock))
        bound = sum(roll.piece_area_m2 for roll in plan.rolls)
        used = sum(roll.length_mm * roll.roll_width_mm / 1e6 for roll in plan.rolls)
        print(f"{body} {seconds:g} s: {used / bound:.3f} times the area bound, {costs[-1] / quick:.3f} of the quick plan's money")

    assert all(cost <= quick for cost in costs)

"""The closed-form range against a simulation: P10, P50 and P90 of cost and of hands-on hours, over many selections.

The simulation (tests/published/monte_carlo.py) uses scipy's beta quantiles and numpy's generator and shares with the product only
the three-point times, the costs and the chances it starts from.
"""

from typing import Any

import numpy as np
import pytest

from configurator.domain.costing import Costs, costs
from configurator.domain.estimating import work
from configurator.domain.film_plan.live import film_use
from configurator.domain.moments import Z10, Z50, Z90
from tests.published.monte_carlo import simulate
from tests.shops import PACKAGES, TREATMENTS, chosen, demo_shop

ZS = (Z10, Z50, Z90)
WITHIN = 0.02

SELECTIONS: dict[str, dict[str, Any]] = {
    f"{body} {package} {edges}": {"body": body, "package": package, "edges": edges}
    for body, packages in (("coupe", PACKAGES), ("suv", ("full_front", "full_body")))
    for package in packages
    for edges in TREATMENTS
} | {
    "one mirror": {"add": ("mirror_left",)},
    "fuel door": {"add": ("fuel_door",), "edges": "hidden"},
    "front bumper hidden": {"add": ("front_bumper",), "edges": "hidden"},
    "tail lamps": {"lamps": {"tail_lamps": "smoke_light"}},
    "windshield": {"windshield": "clear"},
    "sills and cups": {"add": ("door_sill_front_left", "door_cup_front_left", "loading_edge")},
    "two-step correction": {"package": "full_front", "vehicle": {"prep": {"correction": "two_step"}}},
    "old film off": {"package": "partial_front", "vehicle": {"prep": {"remove_film": ["hood", "front_bumper"], "coated": True}}},
    "stripes": {"package": "full_body", "vehicle": {"stripes": {"count": 2, "width_mm": 240, "gap_mm": 110, "finish": "matte"}}},
}


def _costs(selection: dict[str, Any], *, car_seen: bool) -> Costs:
    shop = demo_shop()
    job = work(chosen(**selection), shop)
    film = film_use(job.scope, job.body, shop.book, shop.film_model)
    return costs(job.scope, job.operations, film, shop.book, car_seen=car_seen)


@pytest.mark.parametrize("car_seen", [True, False], ids=["seen", "unseen"])
@pytest.mark.parametrize("name", SELECTIONS)
def test_the_range_is_the_simulated_one(name: str, car_seen: bool) -> None:
    spent = _costs(SELECTIONS[name], car_seen=car_seen)
    cost, minutes = simulate(spent, samples=40_000).quantiles()
    assert np.array([spent.quantile(z) for z in ZS]) == pytest.approx(cost, rel=WITHIN)
    assert np.array([spent.minutes.lognormal_quantile(z) for z in ZS]) == pytest.approx(minutes, rel=WITHIN)

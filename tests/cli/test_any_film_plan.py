"""A few selections that nobody thought of, judged from outside; `make soak` takes a thousand."""

import json
import random

import pytest

from configurator.services.film.film_planning import plan_film
from configurator.wire.film_plan import film_plan_document
from tests.cli.any_selection import any_selection, as_selection
from tests.cli.film_judge import faults
from tests.shops import demo_shop, scoped


@pytest.mark.parametrize("seed", range(6))
def test_a_plan_of_any_selection_can_be_cut_and_covers_it(seed: int) -> None:
    document = any_selection(random.Random(f"film plan {seed}"))
    selection = as_selection(document)
    covered = {panel.id: panel.covered_area_m2 for panel in scoped(selection).covered}
    printed = json.loads(json.dumps(film_plan_document(plan_film(demo_shop(), selection))))

    assert faults(printed, covered, directional={"matte-clear"}, gap_mm=2.0, margin_mm=22.0) == [], document

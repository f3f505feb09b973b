"""The live figure: never less for more, near the placed plan, refused when a factor is negative."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain import estimating
from configurator.domain.film_plan.live import film_use
from configurator.errors import InvalidData
from configurator.loading.film_model import FILM_MODEL_FILE, load_film_model
from configurator.services.film_planning import plan_film
from tests.shops import PACKAGES, STYLES, chosen, demo_shop

SEDAN_PANELS = tuple(panel.id for panel in estimating.work(chosen("sedan", "full_body"), demo_shop()).scope.covered)


def metres(body: str, **rest: object) -> float:
    shop = demo_shop()
    job = estimating.work(chosen(body, **rest), shop)  # type: ignore[arg-type]
    return sum(use.length_m for use in film_use(job.scope, job.body, shop.book, shop.film_model))


@settings(max_examples=40)
@given(st.sets(st.sampled_from(SEDAN_PANELS), min_size=1), st.sampled_from(SEDAN_PANELS))
def test_adding_a_panel_never_takes_less_film(panels: set[str], one_more: str) -> None:
    less = metres("sedan", add=tuple(sorted(panels)))
    more = metres("sedan", add=tuple(sorted(panels | {one_more})))

    assert more >= less - 1e-9


@pytest.mark.parametrize("body", STYLES)
def test_a_larger_package_takes_more_film(body: str) -> None:
    lengths = [metres(body, package=package) for package in PACKAGES]

    assert lengths == sorted(lengths)


@pytest.mark.parametrize("body", STYLES)
@pytest.mark.parametrize("package", ["full_front", "full_body"])
def test_the_live_figure_is_near_the_placed_plan(body: str, package: str) -> None:
    """In film money, since the two may choose different widths; within three of the fit's own standard deviations."""
    shop = demo_shop()
    job = estimating.work(chosen(body, package), shop)
    film = shop.book.films["gloss-clear"]
    used = [use for use in film_use(job.scope, job.body, shop.book, shop.film_model) if use.film == film.id]
    placed = [roll for roll in plan_film(shop, chosen(body, package)).rolls if roll.film == film.id]
    said = sum(use.length_m * float(film.roll(use.roll_width_mm).cost_per_m) for use in used)
    needed = sum(roll.length_mm / 1000 * float(film.roll(roll.roll_width_mm).cost_per_m) for roll in placed)
    row = shop.film_model.row(way="nested", roll_width_mm=1524, margin_mm=shop.book.cutting.margin_mm)

    assert said == pytest.approx(needed, rel=3 * row.error_sd)


def test_a_negative_factor_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "model.yaml"
    file.write_text(FILM_MODEL_FILE.read_text(encoding="utf-8").replace("per_box: ", "per_box: -", 1), encoding="utf-8")

    with pytest.raises(InvalidData) as refused:
        load_film_model(file)

    assert refused.value.faults[0].path == "rows[0].per_box"

"""The live figure: never less for more, near the placed plan, refused when a factor is negative."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from configurator.domain import estimating
from configurator.domain.film_plan.live import film_use
from configurator.errors import InvalidData
from configurator.loading.film_model import FILM_MODEL_FILE, load_film_model
from configurator.services.film.film_planning import plan_film
from tests.shops import PACKAGES, STYLES, chosen, demo_shop

SEDAN_PANELS = tuple(panel.id for panel in estimating.work(chosen("sedan", "full_body"), demo_shop()).scope.covered)


def metres(body: str, **rest: object) -> float:
    shop = demo_shop()
    job = estimating.work(chosen(body, **rest), shop)  # type: ignore[arg-type]
    return sum(use.length_m for use in film_use(job.scope, job.body, shop.book, shop.film_model))


def film_money_of_panels(panels: set[str]) -> float:
    shop = demo_shop()
    job = estimating.work(chosen("sedan", add=tuple(sorted(panels))), shop)
    used = film_use(job.scope, job.body, shop.book, shop.film_model)
    return sum(use.length_m * float(shop.book.films[use.film].roll(use.roll_width_mm).cost_per_m) for use in used)


@settings(max_examples=40)
@given(st.sets(st.sampled_from(SEDAN_PANELS), min_size=1), st.sampled_from(SEDAN_PANELS))
@example({"rocker_left", "rocker_right"}, "fender_left")
def test_film_never_costs_less_for_one_more_panel(panels: set[str], one_more: str) -> None:
    """Metres can fall: with a fender, two rockers move from the narrow roll to fewer metres of the wide one."""
    assert film_money_of_panels(panels | {one_more}) >= film_money_of_panels(panels) - 1e-9


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


def film_money(body: str, package: str, way: str) -> tuple[float, float]:
    """What clear film costs by the live figure, and by the placed plan."""
    shop = demo_shop()
    shop = replace(shop, book=replace(shop.book, cutting=replace(shop.book.cutting, way=way)))
    job = estimating.work(chosen(body, package), shop)
    film = shop.book.films["gloss-clear"]
    used = [use for use in film_use(job.scope, job.body, shop.book, shop.film_model) if use.film == film.id]
    placed = [roll for roll in plan_film(shop, chosen(body, package)).rolls if roll.film == film.id]
    said = sum(use.length_m * float(film.roll(use.roll_width_mm).cost_per_m) for use in used)
    return said, sum(roll.length_mm / 1000 * float(film.roll(roll.roll_width_mm).cost_per_m) for roll in placed)


def test_the_live_figure_of_lamp_film_is_right_on_the_whole() -> None:
    """Two or three lamps are too few for a law, so single cars err; over all bodies and sets of lamps the errors cancel."""
    shop = demo_shop()
    sets: list[dict[str, str]] = [{"headlamps": "clear"}, {"tail_lamps": "clear"}, {"headlamps": "clear", "tail_lamps": "clear"}]
    said = needed = 0.0
    for body in STYLES:
        for lamps in sets:
            selection = chosen(body, lamps=lamps)
            job = estimating.work(selection, shop)
            said += sum(use.length_m for use in film_use(job.scope, job.body, shop.book, shop.film_model) if use.film == "lamp-clear")
            needed += sum(roll.length_mm / 1000 for roll in plan_film(shop, selection).rolls if roll.film == "lamp-clear")

    assert said == pytest.approx(needed, rel=0.1)


@pytest.mark.parametrize("way", ["nested", "bulk"])
def test_the_live_figure_errs_by_no_more_than_the_range_allows_for(way: str) -> None:
    """Over bodies and packages, root mean square, against the standard deviation that the range is made with (and a fifth, for chance);
    short plans count as if they were 2 m, as in the fit."""
    shop = demo_shop()
    errors = []
    for body in STYLES:
        for package in ("partial_front", "full_front", "full_body"):
            said, needed = film_money(body, package, way)
            short = 2.0 * float(shop.book.films["gloss-clear"].roll(1524).cost_per_m)
            errors.append((said - needed) / max(needed, short))
    row = shop.film_model.row(way=way, roll_width_mm=1524, margin_mm=shop.book.cutting.margin_mm)
    spread = max(shop.book.cutting.film_length_cv, row.error_sd)

    assert float(np.sqrt(np.mean(np.square(errors)))) <= 1.2 * spread
    assert abs(float(np.mean(errors))) <= 0.6 * spread


@pytest.mark.parametrize("body", STYLES)
def test_rectangles_off_the_roll_take_more_film_than_nested_pieces(body: str) -> None:
    nested, bulk = film_money(body, "full_body", "nested"), film_money(body, "full_body", "bulk")

    assert bulk[0] > nested[0]
    assert bulk[1] > nested[1]


def test_the_way_of_cutting_changes_what_the_visitor_is_told() -> None:
    shop = demo_shop()
    bulk = replace(shop, book=replace(shop.book, cutting=replace(shop.book.cutting, way="bulk")))
    usual, rectangles = (estimating.estimate(chosen("sedan", "full_body"), data) for data in (shop, bulk))

    assert rectangles.price.typical > usual.price.typical


def test_a_negative_factor_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "model.yaml"
    file.write_text(FILM_MODEL_FILE.read_text(encoding="utf-8").replace("per_box: ", "per_box: -", 1), encoding="utf-8")

    with pytest.raises(InvalidData) as refused:
        load_film_model(file)

    assert refused.value.faults[0].path == "rows[0].per_box"

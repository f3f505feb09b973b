"""What a job costs the shop itself, and what a price leaves: against the same sum written out from the price book."""

from dataclasses import replace
from decimal import Decimal

import pytest

from configurator.domain.costing import costs
from configurator.domain.job_cost import job_cost, margin
from tests.shops import chosen, demo_shop, estimated


@pytest.mark.parametrize(("style", "package"), [("sedan", "full_front"), ("suv", "full_body"), ("coupe", "partial_front")])
def test_it_is_film_at_cost_and_hands_at_what_they_cost(style: str, package: str) -> None:
    book, estimate = demo_shop().book, estimated(chosen(style, package, edges="hidden"))
    film = sum(use.length_m * float(book.films[use.film].roll(use.roll_width_mm).cost_per_m) for use in estimate.film)
    hours = {role: sum(op.mean for op in estimate.operations if op.role == role) / 60 for role in ("installer", "assembler", "advisor")}
    hands = sum(hours[role] * float(book.rates.cost_per_hour[role]) for role in hours)
    overhead = sum(hours.values()) * float(book.rates.overhead_per_hour) + float(book.rates.overhead_per_job)
    spent = costs(estimate.scope, estimate.operations, estimate.film, book)
    cost = job_cost(estimate, book)

    assert float(cost.typical) == pytest.approx(film + hands + overhead + spent.consumables + spent.tape + spent.risk.mean, abs=0.01)
    assert cost.hands_at_cost
    assert cost.typical <= cost.late
    assert cost.typical < estimate.price.typical


def test_without_costs_in_the_book_hands_count_at_their_rate() -> None:
    shop, estimate = demo_shop(), estimated(chosen("sedan", "full_front"))
    book = replace(shop.book, rates=replace(shop.book.rates, cost_per_hour={}))
    cost = job_cost(estimate, book)

    assert not cost.hands_at_cost
    assert cost.typical > job_cost(estimate, shop.book).typical
    mean_of_lines = sum(line.typical for line in estimate.lines if line.code not in {"spread", "discount", "rounding", "tax"})
    assert cost.typical < mean_of_lines, "film is sold above its cost"


def test_more_work_costs_more() -> None:
    book = demo_shop().book
    amounts = [
        job_cost(estimated(chosen("wagon", package)), book).typical for package in ("partial_front", "full_front", "track", "full_body")
    ]

    assert amounts == sorted(amounts)


@pytest.mark.parametrize(("net", "cost", "share"), [("100", "60", 0.4), ("60", "60", 0.0), ("50", "60", -0.2), ("0", "60", None)])
def test_the_margin_is_what_is_left_of_the_price(net: str, cost: str, share: float | None) -> None:
    assert margin(Decimal(net), Decimal(cost)) == (pytest.approx(share) if share is not None else None)

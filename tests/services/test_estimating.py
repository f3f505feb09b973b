"""Estimates, measured bodies and work plans as the commands and pages ask for them."""

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal

import pytest

from configurator.domain.body.measure import seam_length_mm
from configurator.domain.selection import Material
from configurator.services.estimating import estimate, measured_body, package_order_faults, work_plan
from tests.shops import chosen, demo_shop

STRIPES = {"count": 1, "width_mm": 300, "offset_mm": 40, "finish": "matte"}


def test_an_estimate_is_the_domain_s_own() -> None:
    assert estimate(demo_shop(), chosen("coupe", "full_front")).price_book == "demo-2027.1"


def test_placed_spans_add_up_to_the_planned_minutes() -> None:
    plan = work_plan(demo_shop(), chosen("coupe", "full_body", edges="hidden"))
    placed: dict[str, float] = defaultdict(float)
    for span in plan.stay.placed:
        placed[span.operation] += (span.end - span.start).total_seconds() / 60
    for operation in plan.operations:
        if operation.role is None:
            assert operation.id not in placed
        else:
            assert placed[operation.id] == pytest.approx(plan.planned_minutes[operation.id], abs=0.02), operation.id


def test_nothing_chosen_is_no_work() -> None:
    plan = work_plan(demo_shop(), chosen("coupe"))
    assert (plan.operations, plan.planned_minutes, plan.stay) == ((), {}, None)


def test_a_measured_body_knows_its_materials_and_seams_whatever_is_covered() -> None:
    measured = measured_body(demo_shop(), chosen("coupe", vehicle={"stripes": STRIPES, "surfaces": {"rear_lid": "carbon_gloss"}}))
    assert measured.materials["rear_lid"] is Material.CARBON_GLOSS
    assert measured.materials["windshield"] is Material.LAMINATED_GLASS
    hood = measured.body.panels["hood"]
    assert measured.seams_mm["hood"] == pytest.approx(seam_length_mm(hood, -110) + seam_length_mm(hood, 190))
    assert measured.seams_mm["fender_left"] == 0


def test_the_demo_s_packages_stand_in_order_on_every_body() -> None:
    assert package_order_faults(demo_shop()) == ()


def test_a_discount_that_turns_the_order_round_is_found() -> None:
    shop = demo_shop()
    packages = {**shop.book.packages, "track": replace(shop.book.packages["track"], discount=Decimal("0.6"))}
    faults = package_order_faults(replace(shop, book=replace(shop.book, packages=packages)))
    assert {(fault.path, fault.code) for fault in faults} == {("packages.track.discount", "package_cheaper_than_smaller")}
    assert {fault.facts["body"] for fault in faults} == set(shop.styles)

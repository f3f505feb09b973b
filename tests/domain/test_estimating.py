"""The whole chain on real bodies: sums, order, monotony, symmetry, determinism, and what is assumed."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from configurator.domain.estimate import Estimate
from configurator.domain.estimating import Knowledge
from configurator.domain.selection import Package, Selection, Treatment
from configurator.errors import InvalidInput
from tests.shops import PACKAGES, TREATMENTS, body_for, chosen, demo_shop, estimated

STRIPES = {"count": 2, "width_mm": 240, "gap_mm": 110, "offset_mm": 0, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss"}}
SLOW = settings(deadline=None, max_examples=30, suppress_health_check=[HealthCheck.too_slow])
"""The first estimate of a body builds it."""


@st.composite
def selections(draw: st.DrawFn, bodies: tuple[str, ...] = ("coupe", "suv", "pickup")) -> Selection:
    body = draw(st.sampled_from(bodies))
    panels = sorted(panel.id for panel in body_for(chosen(body)).panels.values() if panel.selectable)
    panels = [id for id in panels if not id.startswith(("headlamp", "fog_lamp", "tail_lamp", "windshield"))]
    vehicle: dict[str, Any] = {
        "paint": draw(st.sampled_from(["gloss", "matte"])),
        "condition": {"paint": draw(st.sampled_from(["new", "driven", "chipped"]))},
        "prep": {"correction": draw(st.sampled_from(["none", "one_step", "two_step"])), "coated": draw(st.booleans())},
    }
    if draw(st.booleans()):
        vehicle["stripes"] = {**STRIPES, "width_mm": draw(st.integers(60, 300))}
    return chosen(
        body,
        draw(st.sampled_from(["none", *PACKAGES])),
        add=tuple(draw(st.lists(st.sampled_from(panels), max_size=6, unique=True))),
        edges=draw(st.sampled_from(TREATMENTS)),
        lamps=draw(st.dictionaries(st.sampled_from(["headlamps", "tail_lamps"]), st.sampled_from(["none", "clear", "smoke_dark"]))),
        windshield=draw(st.sampled_from(["none", "clear"])),
        drop_off=str(draw(st.dates(date(2027, 1, 1), date(2028, 12, 31)))),
        vehicle=vehicle,
    )


def _not_lower(before: Estimate, after: Estimate) -> None:
    for end in ("low", "typical", "high"):
        assert getattr(before.price, end) <= getattr(after.price, end)
    for end in ("typical", "high"):
        assert before.labour_hours[end] <= after.labour_hours[end] + 1e-9
    if before.timeline and after.timeline:
        for one, other in ((before.timeline.typical, after.timeline.typical), (before.timeline.high, after.timeline.high)):
            assert one.hand_back <= other.hand_back
            assert one.days_off_road <= other.days_off_road


# -- properties


@SLOW
@given(selections())
def test_lines_add_up_and_figures_stand_in_order(selection: Selection) -> None:
    found = estimated(selection)
    assert sum((line.typical for line in found.lines), Decimal(0)) == found.price.typical
    assert found.price.low <= found.price.typical <= found.price.high
    assert all(line.low <= line.typical <= line.high for line in found.lines)
    assert found.labour_hours["typical"] <= found.labour_hours["high"]
    if found.timeline:
        assert found.timeline.typical.hand_back <= found.timeline.high.hand_back
        assert sum(driver.share for driver in found.drivers) == pytest.approx(1.0)


@SLOW
@given(selections(), st.data())
def test_adding_a_panel_lowers_neither_price_nor_hours_nor_days(selection: Selection, data: st.DataObject) -> None:
    panels = [panel for panel in estimated(selection).scope.panels if panel not in selection.add]
    added = data.draw(st.sampled_from(panels))
    assume(estimated(selection).scope.panels[added].material != "fabric")
    _not_lower(estimated(selection), estimated(replace(selection, add=(*selection.add, added))))


@SLOW
@given(selections())
def test_packages_stand_in_order(selection: Selection) -> None:
    found = [estimated(replace(selection, package=Package(package), add=(), lamps={})) for package in PACKAGES]
    for smaller, larger in pairwise(found):
        _not_lower(smaller, larger)


@SLOW
@given(selections())
def test_better_hidden_edges_are_never_cheaper_or_quicker(selection: Selection) -> None:
    found = [estimated(replace(selection, edges=Treatment(treatment))) for treatment in TREATMENTS]
    for plainer, better in pairwise(found):
        _not_lower(plainer, better)


@SLOW
@given(selections())
def test_the_same_selection_gives_the_same_estimate(selection: Selection) -> None:
    one, other = estimated(selection), estimated(selection)
    assert (one.price, one.lines, one.film, one.operations, one.timeline, one.drivers) == (
        other.price,
        other.lines,
        other.film,
        other.operations,
        other.timeline,
        other.drivers,
    )


@pytest.mark.parametrize("body", ["coupe", "suv", "pickup"])
@pytest.mark.parametrize("edges", TREATMENTS)
def test_left_costs_what_right_costs(body: str, edges: str) -> None:
    """All but the quarters, of which one has the fuel door."""
    names = ("fender", "mirror", "door_front", "rocker", "a_pillar", "handle_front", "door_cup_front")
    left, right = (estimated(chosen(body, add=tuple(f"{name}_{side}" for name in names), edges=edges)) for side in ("left", "right"))
    assert left.price == right.price
    assert left.labour_hours == pytest.approx(right.labour_hours)
    assert left.timeline.typical.hand_back == right.timeline.typical.hand_back


# -- nothing chosen


def test_nothing_chosen_costs_nothing() -> None:
    found = estimated(chosen("coupe"))
    assert (found.price.low, found.price.typical, found.price.high) == (0, 0, 0)
    assert (found.lines, found.operations, found.film, found.timeline) == ((), (), (), None)
    assert found.reason == "nothing_chosen"
    assert {str(amount) for amount in (found.price.low, found.price.high)} == {"0.00"}


def test_everything_taken_out_again_is_nothing_coverable() -> None:
    found = estimated(chosen("coupe", add=("front_lip",), vehicle={"features": ["front_lip"]}))
    assert (found.price.typical, found.reason) == (0, "nothing_coverable")


# -- what is assumed


def _assumed(selection: Selection, **known: Any) -> list[str]:
    return [message.code for message in estimated(selection, Knowledge(**known)).assumptions]


def test_everything_nobody_said_is_listed() -> None:
    assert _assumed(chosen("coupe", "full_front")) == [
        "size_assumed",
        "features_assumed",
        "lamp_suggested",
        "region_assumed",
        "drop_off_assumed",
        "car_not_seen",
    ]


def test_what_was_said_is_not_assumed() -> None:
    size = {"length_mm": 4420, "width_mm": 1880, "height_mm": 1300, "wheelbase_mm": 2600}
    selection = chosen(
        "coupe",
        "full_front",
        vehicle={"size": size, "features": ["badges"]},
        lamps={"headlamps": "clear"},
        region="us",
        drop_off="2027-03-09",
    )
    assert _assumed(selection, car_seen=True) == []


def test_a_closed_day_moves_to_the_next_open_one_and_says_so() -> None:
    """4 July 2027 is a Sunday, so Monday the 5th is the holiday as observed (5 USC 6103): the car comes on Tuesday."""
    found = estimated(chosen("coupe", "full_front", drop_off="2027-07-03"))
    moved = next(message for message in found.assumptions if message.code == "drop_off_moved")
    assert (moved.facts["asked"], moved.facts["day"]) == (date(2027, 7, 3), date(2027, 7, 6))
    assert found.timeline.typical.drop_off.isoformat() == "2027-07-06T08:30:00-04:00"


def test_fresh_paint_is_judged_on_the_day_the_car_can_come() -> None:
    """Sprayed on 21 May 2027, ready 45 days later, on Monday 5 July, a holiday as observed: asked for the 3rd, it comes on the 6th."""
    vehicle = {"condition": {"resprayed": {"hood": "2027-05-21"}}}
    found = estimated(chosen("coupe", "full_front", drop_off="2027-07-03", vehicle=vehicle))
    assert found.scope.panels["hood"].covered
    assert found.selection.drop_off == date(2027, 7, 6)


def test_a_car_that_was_seen_has_the_tighter_range() -> None:
    unseen, seen = (estimated(chosen("sedan", "full_body"), Knowledge(car_seen=seen)).price for seen in (False, True))
    assert seen.high - seen.low < unseen.high - unseen.low


# -- what changes what


def test_each_choice_changes_the_result_as_a_shop_would_expect() -> None:
    plain = estimated(chosen("coupe", "full_front"))
    dearer: dict[str, dict[str, Any]] = {
        "paint correction": {"vehicle": {"prep": {"correction": "one_step"}}},
        "chipped paint": {"vehicle": {"condition": {"paint": "chipped"}}},
        "wax to strip": {"vehicle": {"prep": {"coated": True}}},
        "old film": {"vehicle": {"prep": {"remove_film": ["hood"]}}},
        "stripes": {"vehicle": {"stripes": STRIPES}},
        "colour film": {"finish": {"default": "gloss_black"}},
        "windshield": {"windshield": "clear"},
        "tail lamps": {"lamps": {"headlamps": "clear", "tail_lamps": "smoke_light"}},
    }
    for name, change in dearer.items():
        assert estimated(chosen("coupe", "full_front", **change)).price.typical > plain.price.typical, name
    assert estimated(chosen("coupe", "full_front", lamps={"headlamps": "none"})).price.typical < plain.price.typical


def test_a_fresh_respray_takes_its_panel_out() -> None:
    vehicle = {"condition": {"resprayed": {"hood": "2027-03-01"}}}
    assert estimated(chosen("coupe", "full_front", vehicle=vehicle)).price.typical < estimated(chosen("coupe", "full_front")).price.typical


def test_a_bad_selection_is_refused_whole() -> None:
    with pytest.raises(InvalidInput):
        estimated(chosen("coupe", add=("bonnet",)))


def test_prices_follow_the_package_discount_of_the_book() -> None:
    found = estimated(chosen("coupe", "track"))
    before = sum(line.typical for line in found.lines if line.code not in ("discount", "rounding"))
    (discount,) = [line.typical for line in found.lines if line.code == "discount"]
    assert discount == -(before * demo_shop().book.packages["track"].discount).quantize(Decimal("0.01"))

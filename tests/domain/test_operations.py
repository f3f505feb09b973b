"""The operations of a job: what there is to do, by whom, after what, for how long."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator.domain.body.records import EdgeKind, Side
from configurator.domain.operations import film_steps, operations
from configurator.domain.scope import OldFilm, PartOff, Scope
from configurator.domain.selection import Correction, PaintCondition, Treatment
from configurator.domain.work import Kind, Operation, Role, Zone
from tests.builders import a_lamp, a_panel, a_scope, a_scoped_panel, a_selection, the_book
from tests.shops import PACKAGES, STYLES, TREATMENTS, body_for, chosen, demo_shop, scoped

HOOD = a_scoped_panel("hood", area_m2=1.6, edges_m={EdgeKind.SHUT_LINE: 4.0})
BUMPER = a_scoped_panel("front_bumper", area_m2=1.0, difficulty=0.28, recesses=4)
DOOR = a_scoped_panel("door_front_left", area_m2=0.8, side=Side.LEFT)

BUMPER_OFF = PartOff("front_bumper", "front_bumper", "front_bumper", "assembler", ("front_bumper",), Zone.NOSE)
HEADLAMP_OFF = PartOff("headlamp_left", "headlamp", "front_bumper", "assembler", ("front_bumper", "hood"), Zone.NOSE)
BADGE_OFF = PartOff("badge_front", "badge", "hood", "installer", ("hood",), Zone.HOOD)


def _work(scope: Scope, **vehicle: object) -> dict[str, Operation]:
    return {operation.id: operation for operation in operations(scope, a_selection(**vehicle), the_book())}


# -- what there is to do


def test_a_film_job_runs_from_check_in_to_hand_over() -> None:
    work = _work(a_scope(HOOD))
    assert list(work) == ["check_in", "wash", "film_hood", "settle", "inspect", "hand_over"]
    assert [operation.after for operation in work.values()] == [
        (),
        ("check_in",),
        ("wash",),
        ("film_hood",),
        ("settle",),
        ("inspect",),
    ]


def test_nothing_covered_is_nothing_to_do() -> None:
    assert operations(a_scope(), a_selection(), the_book()) == ()


def test_paint_work_comes_before_the_film_in_its_order() -> None:
    old = OldFilm("hood", a_panel("hood"), area_m2=1.6, perimeter_mm=5000)
    scope = replace(a_scope(HOOD), old_film=(old,))
    work = _work(scope, coated=True, correction=Correction.TWO_STEP)
    assert list(work)[:6] == ["check_in", "wash", "remove_film_hood", "strip_coating", "correction", "film_hood"]
    assert work["film_hood"].after == ("correction",)
    assert work["remove_film_hood"].usual == pytest.approx(5 + 35 * 1.6 + 2 * 5)
    assert work["strip_coating"].usual == pytest.approx(15 + 10 * 1.6)
    assert work["correction"].usual == pytest.approx(20 + 75 * 1.6)
    assert _work(a_scope(HOOD), correction=Correction.ONE_STEP)["correction"].usual == pytest.approx(20 + 45 * 1.6)


def test_lamps_and_windshield_have_operations_of_their_own() -> None:
    scope = replace(a_scope(lamps=(a_lamp("headlamp_left", area_m2=0.1, perimeter_m=1.2),)), windshield=None)
    scope = replace(scope, windshield=a_lamp("windshield", area_m2=1.05, perimeter_m=4.1))
    work = _work(scope)
    assert work["lamp_film_headlamp_left"].usual == pytest.approx(8 + 60 * 0.1 + 4 * 1.2)
    assert work["windshield_film"].usual == pytest.approx(40 + 50 * 1.05 + 6 * 4.1)
    assert (work["lamp_film_headlamp_left"].kind, work["windshield_film"].kind) == (Kind.LAMP, Kind.WINDSHIELD)


@pytest.mark.parametrize(("condition", "factor"), [(PaintCondition.NEW, 0.85), (PaintCondition.DRIVEN, 1.0), (PaintCondition.CHIPPED, 1.3)])
def test_the_wash_hangs_on_the_paint(condition: PaintCondition, factor: float) -> None:
    assert _work(a_scope(HOOD), paint_condition=condition)["wash"].usual == pytest.approx(factor * (40 + 12 * 1.6))


# -- film


def test_film_minutes_are_the_sum_of_their_steps() -> None:
    """By hand: 8 + 3 + 5 x 1; 30 x 1 x (1 + 4 x 0.28); 4 recesses of 7."""
    work = _work(a_scope(BUMPER))
    steps = {step.code: step.minutes for step in work["film_front_bumper"].steps}
    assert steps == pytest.approx({"prepare": 16.0, "lay": 63.6, "recess": 28.0})
    assert work["film_front_bumper"].usual == pytest.approx(107.6)
    assert work["film_front_bumper"].least == pytest.approx(0.72 * 107.6)
    assert work["film_front_bumper"].most == pytest.approx(1.90 * 107.6)


@pytest.mark.parametrize(("treatment", "minutes"), [(Treatment.TRIMMED, 1.5), (Treatment.WRAPPED, 5.0), (Treatment.HIDDEN, 5.5)])
def test_an_edge_takes_its_treatments_minutes(treatment: Treatment, minutes: float) -> None:
    panel = a_scoped_panel("hood", area_m2=1.0, edges_m={EdgeKind.SHUT_LINE: 2.0}, treatment=treatment)
    (edge,) = [step for step in film_steps(panel, the_book().time.film) if step.detail]
    assert (edge.code, edge.detail, edge.quantity, edge.unit) == (str(treatment), "shut_line", 2.0, "m")
    assert edge.minutes == pytest.approx(2 * minutes)


def test_a_seam_along_a_stripe_is_a_step() -> None:
    (seam,) = [step for step in film_steps(a_scoped_panel("hood", area_m2=1.0, seam_m=3.0), the_book().time.film) if step.code == "seam"]
    assert (seam.quantity, seam.minutes) == (3.0, 27.0)


# -- parts that come off


def test_the_bumper_comes_off_before_the_headlamp_and_goes_on_after_it() -> None:
    work = _work(a_scope(BUMPER, HOOD, parts=(HEADLAMP_OFF, BADGE_OFF, BUMPER_OFF)))
    assert work["off_headlamp_left"].after == ("off_front_bumper",)
    assert work["off_front_bumper"].after == ("wash",)
    assert "on_headlamp_left" in work["on_front_bumper"].after
    assert list(work).index("off_front_bumper") < list(work).index("off_headlamp_left")


def test_film_waits_for_the_parts_over_it_and_parts_for_the_film_under_them() -> None:
    work = _work(a_scope(BUMPER, HOOD, DOOR, parts=(BUMPER_OFF, HEADLAMP_OFF, BADGE_OFF)))
    assert set(work["film_front_bumper"].after) == {"off_front_bumper", "off_headlamp_left"}
    assert set(work["film_hood"].after) == {"off_headlamp_left", "off_badge_front"}
    assert work["film_door_front_left"].after == ("wash",)
    assert set(work["on_headlamp_left"].after) == {"film_front_bumper", "film_hood"}
    assert work["on_badge_front"].after == ("film_hood",)


def test_parts_are_refitted_by_their_role() -> None:
    work = _work(a_scope(BUMPER, HOOD, parts=(BUMPER_OFF, BADGE_OFF)))
    assert work["off_front_bumper"].role is Role.ASSEMBLER
    assert work["off_badge_front"].role is Role.INSTALLER
    assert (work["off_badge_front"].least, work["off_badge_front"].usual, work["off_badge_front"].most) == (5, 8, 15)
    assert (work["on_badge_front"].least, work["on_badge_front"].usual, work["on_badge_front"].most) == (4, 6, 10)


# -- settling


def test_settling_needs_no_hands_and_waits_for_all_film() -> None:
    work = _work(a_scope(HOOD, DOOR, lamps=(a_lamp("tail_lamp_left", area_m2=0.05, perimeter_m=1.0),)))
    settle = work["settle"]
    assert settle.role is None
    assert set(settle.after) == {"film_hood", "film_door_front_left", "lamp_film_tail_lamp_left"}
    assert (settle.least, settle.usual, settle.most) == (720, 720, 720)


# -- on real bodies


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(STYLES), st.sampled_from(PACKAGES), st.sampled_from(TREATMENTS))
def test_every_job_is_a_network_in_order(body: str, package: str, edges: str) -> None:
    selection = chosen(body, package, edges=edges)
    done: set[str] = set()
    for operation in operations(scoped(selection), a_selection(body), demo_shop().book):
        assert set(operation.after) <= done
        assert operation.id not in done
        assert 0 < operation.least <= operation.usual <= operation.most
        assert (operation.role is None) == (operation.kind is Kind.SETTLE)
        done.add(operation.id)


def test_the_front_is_two_zones() -> None:
    work = {operation.panel: operation.zone for operation in operations(scoped(chosen("sedan", "full_body")), a_selection(), the_book())}
    assert (work["front_bumper"], work["headlamp_left"]) == (Zone.NOSE, Zone.NOSE)
    assert work["hood"] is Zone.HOOD
    assert (work["fender_left"], work["door_rear_right"], work["mirror_right"]) == (Zone.LEFT, Zone.RIGHT, Zone.RIGHT)
    assert (work["roof"], work["rear_lid"], work["rear_bumper"], work["tail_lamp_left"]) == (Zone.TOP, Zone.REAR, Zone.REAR, Zone.REAR)


def test_every_part_that_comes_off_is_in_the_demo_catalogue() -> None:
    catalogue = demo_shop().book.parts
    features = {body: sorted(demo_shop().styles[body].possible_features) for body in STYLES}
    fittings = {fitting.part for body in STYLES for fitting in body_for(chosen(body, vehicle={"features": features[body]})).fittings}
    assert fittings <= set(catalogue)

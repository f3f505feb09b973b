"""Which cautions a choice calls for, where, and for whom."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import pytest

from configurator.domain.cautions import CautionRule, Reader, Severity, When, cautions
from configurator.domain.estimate import Caution
from configurator.domain.lamps import lamp_light
from configurator.domain.scope import Scope
from configurator.domain.selection import Correction, LampFilm, Material, PaintCondition, Selection, Treatment, Vehicle
from configurator.loading.cautions import load_cautions
from configurator.loading.light_rules import load_rule_sets
from configurator.loading.price_book import demo_price_book
from tests.domain.light_cases import a_part_off, a_scope, a_scoped_panel, a_selection

RULES = load_rule_sets()
HOOD = a_scoped_panel("hood")


def said(scope: Scope, selection: Selection, *, reader: Reader = Reader.VISITOR) -> tuple[Caution, ...]:
    light = lamp_light(scope, selection, RULES, demo_price_book())
    return cautions(scope, selection, light, load_cautions(), reader=reader)


def codes(found: Iterable[Caution]) -> set[str]:
    return {caution.code for caution in found}


def places(found: Iterable[Caution], code: str) -> list[str | None]:
    return [caution.where for caution in found if caution.code == code]


def a_car(**changes: object) -> Vehicle:
    return replace(Vehicle(body="coupe", features=frozenset()), **changes)  # type: ignore[arg-type]


def test_nothing_chosen_nothing_said() -> None:
    assert said(a_scope(), a_selection()) == ()


def test_the_gravest_come_first() -> None:
    lamps = {"tail_lamps": LampFilm.SMOKE_DARK}
    found = said(a_scope(HOOD, lamps=lamps), a_selection(lamps=lamps))

    ranks = [list(Severity).index(Severity(caution.severity)) for caution in found]
    assert ranks == sorted(ranks)
    assert found[0].severity == "stop"


# --- lamps and glass


@pytest.mark.parametrize(
    ("film", "code"),
    [
        (LampFilm.SMOKE_LIGHT, "light_check_locally"),
        (LampFilm.SMOKE_MEDIUM, "light_likely_not_road_legal"),
        (LampFilm.SMOKE_DARK, "light_forbidden"),
    ],
)
def test_a_lamps_status_is_said_at_the_lamp_with_the_rule_that_decided(film: LampFilm, code: str) -> None:
    lamps = {"tail_lamps": film}
    caution = next(caution for caution in said(a_scope(lamps=lamps), a_selection(lamps=lamps)) if caution.code == code)

    assert caution.where == "tail_lamps"
    assert "FMVSS 108" in str(caution.source)
    assert caution.message.facts["share"] == next(
        film_of.transmission for film_of in demo_price_book().films.values() if film_of.kind == "lamp" and film_of.lamp_grade is film
    )


def test_the_shops_own_breach_is_told_to_the_shop_in_the_united_states_alone() -> None:
    lamps = {"tail_lamps": LampFilm.SMOKE_MEDIUM}
    scope = a_scope(lamps=lamps)

    assert "light_shop_in_breach" in codes(said(scope, a_selection(lamps=lamps), reader=Reader.WORK_ORDER))
    assert "light_shop_in_breach" not in codes(said(scope, a_selection(lamps=lamps), reader=Reader.VISITOR))
    assert "light_shop_in_breach" not in codes(said(scope, a_selection(lamps=lamps, region="un"), reader=Reader.WORK_ORDER))


def test_where_no_rule_is_known_that_is_said() -> None:
    lamps = {"fog_lamps": LampFilm.CLEAR}

    assert "no_rule_known" in codes(said(a_scope(lamps=lamps), a_selection(lamps=lamps, region="none")))
    assert "no_rule_known" not in codes(said(a_scope(lamps=lamps), a_selection(lamps=lamps, region="us")))


def test_a_camera_behind_the_windshield_stops_the_work_until_it_is_settled() -> None:
    selection = a_selection(vehicle=a_car(features=frozenset({"windshield_camera"})))
    found = said(a_scope(windshield=True), selection)

    assert [(c.severity, c.where) for c in found if c.code == "windshield_camera"] == [("stop", "windshield")]
    assert places(found, "windshield_zones") == ["windshield"]
    assert "windshield_camera" not in codes(said(a_scope(windshield=True), a_selection()))
    assert "windshield_camera" not in codes(said(a_scope(HOOD), selection))


# --- airbags, sensors, high voltage


def test_airbags_behind_pillar_trim_are_named_at_each_pillar_when_edges_are_hidden() -> None:
    scope = a_scope(a_scoped_panel("a_pillar_left"), a_scoped_panel("a_pillar_right"), HOOD)

    for reader, code, where in (
        (Reader.WORK_ORDER, "airbags_behind_pillar_trim", ["a_pillar_left", "a_pillar_right"]),
        (Reader.VISITOR, "airbags_near_hidden_edges", [None]),
    ):
        assert places(said(scope, a_selection(edges=Treatment.HIDDEN), reader=reader), code) == where
        assert places(said(scope, a_selection(edges=Treatment.WRAPPED), reader=reader), code) == []


def test_parts_that_come_off_call_for_airbag_sensor_and_high_voltage_cautions_once() -> None:
    parts = (
        a_part_off("door_handle", "door_front_left"),
        a_part_off("door_handle", "door_front_right"),
        a_part_off("front_bumper", "front_bumper"),
    )
    found = said(a_scope(HOOD, parts=parts), a_selection(edges=Treatment.HIDDEN), reader=Reader.WORK_ORDER)

    for code in ("airbags_behind_trim", "impact_sensors", "high_voltage"):
        assert [(c.severity, c.where) for c in found if c.code == code] == [("stop", None)]
    assert places(found, "bumper_sensors") == ["front_bumper"]


def test_parking_sensors_and_mirror_cameras_are_named_where_film_meets_them() -> None:
    scope = a_scope(a_scoped_panel("front_bumper"), a_scoped_panel("mirror_left"), a_scoped_panel("mirror_right"))
    car = a_car(features=frozenset({"parking_sensors", "camera_mirrors"}))
    found = said(scope, a_selection(vehicle=car))

    assert places(found, "parking_sensors") == ["front_bumper"]
    assert places(found, "camera_mirrors") == ["mirror_left", "mirror_right"]
    assert not {"parking_sensors", "camera_mirrors"} & codes(said(scope, a_selection()))


# --- paint


def test_a_repainted_panel_is_named_with_its_date_when_film_goes_on_it() -> None:
    car = a_car(resprayed={"hood": date(2027, 1, 4), "roof": date(2026, 1, 4)})
    found = said(a_scope(HOOD), a_selection(vehicle=car))

    fresh = [caution for caution in found if caution.code == "respray_fresh"]
    assert [(caution.where, caution.message.facts["resprayed"]) for caution in fresh] == [("hood", date(2027, 1, 4))]
    assert places(found, "respray_weak") == ["hood"]


def test_old_film_is_named_where_it_comes_off_even_when_nothing_new_goes_on() -> None:
    found = said(a_scope(), a_selection(vehicle=a_car(remove_film=("hood", "roof"))))

    assert places(found, "old_film") == ["hood", "roof"]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"paint_condition": PaintCondition.CHIPPED}, "paint_chipped"),
        ({"paint_condition": PaintCondition.DRIVEN}, "paint_driven"),
        ({"coated": True}, "coating_stripped"),
        ({"correction": Correction.TWO_STEP}, "correction_thins"),
    ],
)
def test_the_paints_condition_and_preparation_call_for_their_cautions(changes: dict[str, object], code: str) -> None:
    assert places(said(a_scope(HOOD), a_selection(vehicle=a_car(**changes))), code) == [None]
    assert code not in codes(said(a_scope(HOOD), a_selection()))


def test_gloss_film_on_matte_paint_is_warned_of_where_it_lies() -> None:
    matte = a_scoped_panel("hood", material=Material.MATTE_PAINT, finish="gloss")
    kept = a_scoped_panel("roof", material=Material.MATTE_PAINT, finish="matte")

    assert places(said(a_scope(matte, kept), a_selection(), reader=Reader.WORK_ORDER), "gloss_over_matte") == ["hood"]


# --- the work itself


def test_every_job_carries_the_cautions_of_the_work() -> None:
    in_the_bay = codes(said(a_scope(HOOD), a_selection(), reader=Reader.WORK_ORDER))

    assert {"blades", "heat", "solvents", "wet_floor"} <= in_the_bay
    assert "after_care" in codes(said(a_scope(HOOD), a_selection()))


def test_every_caution_of_the_catalogue_is_called_by_some_job() -> None:
    """One car with everything, in two regions: what stays silent here would never be said."""
    panels = [
        a_scoped_panel(id)
        for id in ("hood", "front_bumper", "rear_bumper", "grille", "roof", "mirror_left", "a_pillar_left", "roof_rail_left")
    ]
    panels.append(a_scoped_panel("rear_lid", material=Material.MATTE_PAINT, finish="gloss"))
    features = frozenset({"parking_sensors", "camera_mirrors", "windshield_camera"})
    parts = tuple(a_part_off(part, "hood") for part in ("front_bumper", "antenna", "mirror", "headlamp", "tailgate_handle"))
    found: set[str] = set()
    for region, film, condition in (
        ("us", LampFilm.SMOKE_DARK, PaintCondition.CHIPPED),
        ("none", LampFilm.SMOKE_MEDIUM, PaintCondition.DRIVEN),
    ):
        car = a_car(features=features, resprayed={"hood": date(2027, 1, 4)}, remove_film=("hood",), coated=True, paint_condition=condition)
        car = replace(car, correction=Correction.ONE_STEP)
        lamps = {"headlamps": film, "tail_lamps": film}
        for where in (region, "un", "au"):
            selection = a_selection(vehicle=car, edges=Treatment.HIDDEN, lamps=lamps, region=where)
            scope = a_scope(*panels, lamps=lamps, windshield=True, parts=parts)
            for reader in Reader:
                found |= codes(said(scope, selection, reader=reader))

    assert found == {rule.code for rule in load_cautions()}


# --- triggers


def test_all_that_a_caution_asks_must_hold() -> None:
    rule = CautionRule("any", Severity.CARE, (Reader.VISITOR,), When(covered=("hood", "roof"), materials=(Material.CARBON_GLOSS,)))
    scope = a_scope(
        HOOD, a_scoped_panel("roof", material=Material.CARBON_GLOSS), a_scoped_panel("rear_lid", material=Material.CARBON_GLOSS)
    )

    assert [caution.where for caution in cautions(scope, a_selection(), (), [rule])] == ["roof"]


def test_a_caution_that_is_said_once_names_no_place() -> None:
    rule = CautionRule("any", Severity.CARE, (Reader.VISITOR,), When(covered=("*",)), once=True)

    assert [caution.where for caution in cautions(a_scope(HOOD, a_scoped_panel("roof")), a_selection(), (), [rule])] == [None]

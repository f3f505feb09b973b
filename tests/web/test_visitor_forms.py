"""A step's form becomes the flat query of the contract."""

import pytest
from werkzeug.datastructures import MultiDict

from configurator.errors import Fault
from configurator.web.visitor.car_form import car_pairs
from configurator.web.visitor.coverage_form import coverage_pairs
from configurator.web.visitor.faults import control_id, query_key, without
from configurator.web.visitor.finish_form import finish_pairs
from configurator.web.visitor.form import Form, carried, is_page_key, owns, plan_pairs
from configurator.web.visitor.steps import Step, step_of

PACKAGES = {"none": (), "partial_front": ("front_bumper", "hood"), "full_front": ("front_bumper", "hood", "fender_left")}


def fields(*pairs: tuple[str, str]) -> MultiDict[str, str]:
    return MultiDict(pairs)


def coverage(*pairs: tuple[str, str]) -> list[tuple[str, str]]:
    return coverage_pairs(fields(*pairs), lambda package: PACKAGES[package])


class TestCoverage:
    def test_ticks_as_the_package_has_them_add_and_remove_nothing(self) -> None:
        assert (
            coverage(("package", "partial_front"), ("f.package", "partial_front"), ("f.panel", "hood"), ("f.panel", "front_bumper")) == []
        )

    def test_a_further_tick_is_added_and_a_cleared_one_removed(self) -> None:
        sent = coverage(("package", "partial_front"), ("f.package", "partial_front"), ("f.panel", "hood"), ("f.panel", "roof"))

        assert sent == [("add", "roof"), ("remove", "front_bumper")]

    def test_another_package_starts_from_its_own_panels(self) -> None:
        sent = coverage(
            ("package", "full_front"), ("f.package", "partial_front"), ("f.ticked", "front_bumper.hood.roof"),
            ("f.panel", "front_bumper"), ("f.panel", "hood"), ("f.panel", "roof"),
        )  # fmt: skip

        assert sent == []

    def test_ticks_changed_in_the_same_go_stay_on_top_of_the_new_package(self) -> None:
        sent = coverage(
            ("package", "full_front"),
            ("f.package", "partial_front"),
            ("f.ticked", "front_bumper.hood"),
            ("f.panel", "hood"),
            ("f.panel", "roof"),
        )

        assert sent == [("add", "roof"), ("remove", "front_bumper")]

    def test_a_panel_wanted_whole_is_added_to_the_package_that_covers_a_strip_of_it(self) -> None:
        sent = coverage(
            ("package", "partial_front"),
            ("f.package", "partial_front"),
            ("f.panel", "hood"),
            ("f.panel", "front_bumper"),
            ("f.whole", "hood"),
        )

        assert sent == [("add", "hood")]

    def test_a_panel_that_waits_for_its_paint_stays_added(self) -> None:
        assert coverage(("package", "none"), ("f.package", "none"), ("f.waiting", "roof")) == [("add", "roof")]

    def test_the_browser_alone_decides_nothing_when_no_package_is_named(self) -> None:
        assert coverage(("f.panel", "roof")) == [("add", "roof")]


class TestCar:
    def test_a_typical_size_sends_no_length(self) -> None:
        assert car_pairs(fields(("f.size", "typical"), ("f.length", "4700"))) == []

    def test_a_measured_size_sends_what_was_typed_in_its_unit(self) -> None:
        sent = car_pairs(fields(("f.size", "measured"), ("unit", "in"), ("f.unit_was", "in"), ("f.length", "185"), ("f.width", "")))

        assert sent == [("length_in", "185")]

    @pytest.mark.parametrize(("typed", "key"), [("4700", "length_mm"), ("185", "length_in"), ("nonsense", "length_mm")])
    def test_a_figure_typed_before_the_unit_was_switched_keeps_its_own_unit(self, typed: str, key: str) -> None:
        for now, before in (("mm", "in"), ("in", "mm")):
            assert car_pairs(fields(("f.size", "measured"), ("unit", now), ("f.unit_was", before), ("f.length", typed))) == [(key, typed)]

    def test_the_usual_features_are_not_named(self) -> None:
        assert car_pairs(fields(("f.usual", "badges.fog_lamps"), ("f.feature", "fog_lamps"), ("f.feature", "badges"))) == []

    def test_other_features_are_named_exactly(self) -> None:
        assert car_pairs(fields(("f.usual", "badges.fog_lamps"), ("f.feature", "badges"))) == [("feature", ""), ("feature", "badges")]

    def test_no_feature_at_all_is_said(self) -> None:
        assert car_pairs(fields(("f.usual", "badges"))) == [("feature", "")]

    def test_another_body_drops_what_belonged_to_the_old_one(self) -> None:
        sent = car_pairs(
            fields(
                ("f.body", "coupe"),
                ("body", "van"),
                ("f.size", "measured"),
                ("f.length", "4400"),
                ("f.usual", "badges"),
                ("f.made_of.hood", "carbon_gloss"),
                ("f.respray_panel_0", "hood"),
                ("f.respray_date_0", "2027-01-05"),
            )
        )

        assert sent == []

    def test_a_part_on_both_sides_is_asked_for_once(self) -> None:
        sent = car_pairs(fields(("f.made_of.mirror", "carbon_gloss"), ("f.made_of.front_lip", "gloss_paint"), ("f.made_of.hood", "")))

        assert sent == [
            ("surface.mirror_left", "carbon_gloss"),
            ("surface.mirror_right", "carbon_gloss"),
            ("surface.front_lip", "gloss_paint"),
        ]

    @pytest.mark.parametrize("paint", ["gloss", "matte"])
    def test_stripes_start_as_two_in_the_finish_of_the_paint(self, paint: str) -> None:
        assert car_pairs(fields(("f.striped", "yes"), ("paint", paint))) == [("stripes", f"2,240,110,0,{paint}")]

    def test_stripes_keep_their_finish_and_border(self) -> None:
        sent = car_pairs(
            fields(
                ("f.striped", "yes"),
                ("f.stripe_count", "1"),
                ("f.stripe_width", "300"),
                ("f.stripe_gap", "0"),
                ("f.stripe_offset", "-40"),
                ("f.stripe_finish", "gloss_black"),
                ("f.stripe_border", "6,gloss"),
            )
        )

        assert sent == [("stripes", "1,300,0,-40,gloss_black,6,gloss")]

    def test_a_respray_needs_both_panel_and_day(self) -> None:
        sent = car_pairs(
            fields(
                ("f.respray_panel_0", "hood"),
                ("f.respray_date_0", "2027-01-05"),
                ("f.respray_panel_1", "roof"),
                ("f.respray_date_1", ""),
                ("f.respray_panel_2", ""),
                ("f.respray_date_2", "2027-01-05"),
            )
        )

        assert sent == [("resprayed.hood", "2027-01-05")]


class TestFinish:
    def test_the_stripes_take_the_finish_and_border_picked_here(self) -> None:
        sent = finish_pairs(
            fields(("f.stripe_shape", "2,240,110,0"), ("f.stripe_finish", "matte"), ("f.border_finish", "gloss"), ("f.border_width", "8"))
        )

        assert sent == [("stripes", "2,240,110,0,matte,8,gloss")]

    def test_a_further_panel_gets_its_own_finish(self) -> None:
        assert finish_pairs(fields(("f.own_panel", "roof"), ("f.own_finish", "gloss_black"))) == [("finish.roof", "gloss_black")]

    def test_a_panel_that_has_one_already_keeps_it(self) -> None:
        assert finish_pairs(fields(("finish.roof", "matte"), ("f.own_panel", "roof"), ("f.own_finish", "gloss"))) == []


class TestForm:
    def test_a_step_carries_what_it_does_not_edit(self) -> None:
        pairs = [("body", "coupe"), ("package", "track"), ("finish.roof", "matte"), ("edges", "hidden"), ("lamp.headlamps", "clear")]

        assert carried(Step.COVERAGE, pairs) == [pairs[0], *pairs[2:]]
        assert carried(Step.FINISH, pairs) == [pairs[0], pairs[1], *pairs[3:]]

    def test_stripes_are_edited_under_car_and_under_finish(self) -> None:
        assert owns(Step.CAR, "stripes")
        assert owns(Step.FINISH, "stripes")
        assert not owns(Step.EDGES, "stripes")

    def test_page_keys_and_helper_fields_are_no_part_of_the_plan(self) -> None:
        form = Form(
            Step.EDGES, fields(("step", "edges"), ("f.form", "edges"), ("lang", "de"), ("go", "estimate"), ("body", "suv"), ("edges", ""))
        )

        assert plan_pairs(form, lambda pairs, package: ()) == [("body", "suv")]
        assert is_page_key("f.panel")
        assert not is_page_key("finish")

    def test_steps_are_named_by_the_address(self) -> None:
        assert step_of("") is Step.CAR
        assert step_of("lamps") is Step.LAMPS
        assert step_of("nonsense") is None
        assert [step.following for step in Step] == [*list(Step)[1:], Step.SEND]


class TestFaults:
    @pytest.mark.parametrize(
        ("path", "key"),
        [
            ("vehicle.size.length_mm", "length_mm"),
            ("vehicle.stripes.border.width_mm", "stripes"),
            ("vehicle.surfaces.hood", "surface.hood"),
            ("vehicle.condition.resprayed.hood", "resprayed.hood"),
            ("coverage.add[1]", "add"),
            ("finish.panels.roof", "finish.roof"),
            ("lamps.headlamps", "lamp.headlamps"),
            ("length_in", "length_in"),
        ],
    )
    def test_a_path_leads_back_to_its_query_key(self, path: str, key: str) -> None:
        assert query_key(path) == key

    def test_only_the_value_at_fault_is_taken_out_of_a_list(self) -> None:
        pairs = [("body", "coupe"), ("add", "hood"), ("add", "wing"), ("add", "roof")]

        assert without(pairs, [Fault("coverage.add[1]", "unknown_panel")]) == [("body", "coupe"), ("add", "hood"), ("add", "roof")]

    def test_a_length_in_inches_is_found_by_its_path_in_millimetres(self) -> None:
        assert without([("length_in", "9")], [Fault("vehicle.size.length_mm", "too_small")]) == []

    def test_a_fault_names_the_control_that_mends_it(self) -> None:
        assert control_id("vehicle.size.length_mm") == "length"
        assert control_id("vehicle.stripes.width_mm") == "stripe_width"
        assert control_id("vehicle.condition.resprayed.roof", ["hood", "roof"]) == "respray_date_1"
        assert control_id("contact.email") == "email"
        assert control_id("dates[1]") == "dates"
        assert control_id("selection.lamps.tail_lamps") == "lamp-tail_lamps"

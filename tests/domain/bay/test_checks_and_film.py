"""The checklist with its signatures, and batch numbers for everything on the car."""

import pytest

from configurator.domain.bay.checks import OFF_ROAD, checks_for, checks_under, fitters, signatures_for
from configurator.domain.bay.film import boxes_of, unnamed
from configurator.domain.bay.tasks import TaskState, Timer
from configurator.domain.work import Kind, Role
from tests.domain.bay.builders import NOON, a_box, a_task, done, laying


def test_a_job_without_parts_and_seams_is_not_asked_about_them() -> None:
    asked = checks_for([a_task()])

    assert {"washed", "edges_down", "lamps_work", "settled"} <= set(asked)
    assert not {"parts_bagged", "parts_back", "seams_closed", "seals_dry"} & set(asked)


def test_parts_seams_seals_and_off_road_lamps_each_add_their_check() -> None:
    asked = checks_for([a_task("off_cowl")], lamps_off_road=["tail_lamps"], seams=True, seals=True)

    assert {"parts_bagged", "parts_back", "seams_closed", "seals_dry", OFF_ROAD + "tail_lamps"} <= set(asked)


def test_a_part_that_stayed_on_needs_no_bag() -> None:
    assert "parts_bagged" not in checks_for([a_task("off_cowl", state=TaskState.STRUCK)])


def test_an_assembler_signs_where_an_assembler_worked_and_only_for_the_parts() -> None:
    tasks = [a_task("off_mirror", role=Role.ASSEMBLER), a_task()]

    assert signatures_for(tasks) == ("installer", "assembler", "second")
    assert signatures_for([a_task()]) == ("installer", "second")
    assert signatures_for([a_task()], alone=True) == ("installer",)
    assert checks_under("assembler", ("washed", "parts_back", "lamps_work")) == ("parts_back",)
    assert checks_under("installer", ("washed", "parts_back")) == ("washed", "parts_back")


def test_whoever_timed_or_finished_film_is_a_fitter() -> None:
    hood = done("film_hood", finished_by_id=1, timers=(Timer(2, "Wen", NOON, NOON),))
    parts = done("off_badge", finished_by_id=3)
    wash = done("wash", kind=Kind.WASH, laid=None, finished_by_id=4)

    assert fitters([hood, parts, wash, a_task("film_roof", timers=(Timer(5, "Ines", NOON),))]) == {1, 2}


def test_a_box_that_names_nothing_stands_for_the_rest() -> None:
    first, second = a_box(batch="A"), a_box(batch="B", panels=("mirror_left",))

    assert boxes_of("hood", "gloss-clear", [first, second]) == (first,)
    assert boxes_of("mirror_left", "gloss-clear", [first, second]) == (second,)
    assert boxes_of("hood", "matte-clear", [first, second]) == ()


@pytest.mark.parametrize(
    ("boxes", "left"),
    [
        ((), (("gloss-clear", "hood"), ("matte-clear", "hood"))),
        ((a_box(),), (("matte-clear", "hood"),)),
        ((a_box(panels=("roof",)), a_box("matte-clear")), (("gloss-clear", "hood"),)),
        ((a_box(), a_box("matte-clear")), ()),
    ],
)
def test_each_film_on_each_panel_needs_a_batch(boxes: tuple, left: tuple) -> None:  # type: ignore[type-arg]
    tasks = [done("film_hood", laid=laying("gloss-clear", "matte-clear")), a_task("film_roof"), a_task("film_door", state=TaskState.STRUCK)]

    assert unnamed(tasks, boxes) == left

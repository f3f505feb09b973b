"""Tasks of a work order: what is made of the operations, and what comes next."""

from datetime import timedelta

from configurator.domain.bay.tasks import TaskState, Timer, is_ready, next_task, settles_until, struck_panels, tasks_of, unfinished
from configurator.domain.estimating import work
from configurator.domain.phases import planned_minutes
from configurator.domain.work import Kind, Role
from tests.domain.bay.builders import NOON, a_task, done
from tests.shops import chosen, demo_shop

HANDS = frozenset({Role.INSTALLER})


def made(**rest: object) -> tuple:  # type: ignore[type-arg]
    shop = demo_shop()
    job = work(chosen("coupe", "full_front", **rest), shop)  # type: ignore[arg-type]
    planned = {operation.id: planned_minutes(operation, shop.book.time.k50) for operation in job.operations}
    return job, tasks_of(job.operations, planned, job.scope, shop.book)


def test_every_operation_becomes_one_task_in_its_order() -> None:
    job, tasks = made(edges="hidden")

    assert [task.key for task in tasks] == [operation.id for operation in job.operations]
    assert [task.usual for task in tasks] == [operation.usual for operation in job.operations]
    assert [task.place for task in tasks] == list(range(len(tasks)))


def test_bags_count_in_the_order_in_which_parts_come_off_and_hold_on_the_way_back() -> None:
    _, tasks = made(edges="hidden")
    off = [task for task in tasks if task.kind is Kind.PARTS_OFF]
    on = {task.panel: task.bag for task in tasks if task.kind is Kind.PARTS_ON}

    assert [task.bag for task in off] == list(range(1, len(off) + 1))
    assert on == {task.panel: task.bag for task in off}
    assert [task.bag for task in tasks if task.kind is Kind.PARTS_ON] == sorted(on.values(), reverse=True)


def test_a_film_task_says_which_films_it_lays() -> None:
    """A stripe in another finish is another film on the same panel; a lamp takes its own."""
    stripes = {"count": 2, "width_mm": 240, "gap_mm": 110, "offset_mm": 0, "finish": "matte"}
    _, tasks = made(vehicle={"stripes": stripes}, lamps={"headlamps": "clear"})
    laid = {task.panel: task.laid.films for task in tasks if task.laid}

    assert set(laid["hood"]) == {"gloss-clear", "matte-clear"}
    assert laid["fender_left"] == ("gloss-clear",)
    assert laid["headlamp_left"] == ("lamp-clear",)


def test_a_strip_is_part_of_a_panel() -> None:
    shop = demo_shop()
    job = work(chosen("coupe", "partial_front"), shop)
    tasks = tasks_of(job.operations, dict.fromkeys([operation.id for operation in job.operations], 1.0), job.scope, shop.book)
    laid = {task.panel: task.laid for task in tasks if task.laid}

    assert laid["hood"].is_part  # type: ignore[union-attr]
    assert not laid["front_bumper"].is_part  # type: ignore[union-attr]


def test_what_nobody_has_to_tick_is_never_missing() -> None:
    kinds = [
        a_task("check_in", kind=Kind.CHECK_IN),
        a_task("settle", kind=Kind.SETTLE, role=None),
        a_task("hand_over", kind=Kind.HAND_OVER),
    ]

    assert unfinished([*kinds, a_task(), done("film_roof")]) == (a_task(),)


def test_next_is_what_one_is_timing_then_the_first_that_nothing_holds_up() -> None:
    wash, hood = a_task("wash", kind=Kind.WASH, panel=None, laid=None), a_task("film_hood", after=("wash",))
    roof = a_task("film_roof", after=("wash",), timers=(Timer(7, "Wen", NOON),))

    assert next_task([wash, hood, roof], roles=HANDS, user_id=1) == wash
    assert next_task([wash, hood, roof], roles=HANDS, user_id=7) == roof
    assert next_task([wash], roles=frozenset({Role.ASSEMBLER}), user_id=1) is None


def test_next_passes_over_what_somebody_else_is_timing() -> None:
    hood, roof = a_task("film_hood", timers=(Timer(7, "Wen", NOON),)), a_task("film_roof")

    assert next_task([hood, roof], roles=HANDS, user_id=1) == roof


def test_a_struck_task_holds_nothing_up() -> None:
    off, hood = a_task("off_badge", state=TaskState.STRUCK, reason="glued"), a_task("film_hood", after=("off_badge",))

    assert is_ready(hood, {task.key: task for task in (off, hood)})


def test_settling_counts_from_the_last_film_laid() -> None:
    """By hand: laid at 12:00 and 14:00, settling 12 hours: until 02:00."""
    settle = a_task("settle", kind=Kind.SETTLE, usual=720.0, role=None, laid=None)
    hood, roof = done("film_hood"), done("film_roof", finished_at=NOON + timedelta(hours=2))

    assert settles_until([hood, roof, settle]) == NOON + timedelta(hours=14)
    assert settles_until([hood, a_task("film_roof"), settle]) is None
    assert settles_until([hood, a_task("film_roof", state=TaskState.STRUCK), settle]) == NOON + timedelta(hours=12)
    assert settles_until([a_task("film_roof", state=TaskState.STRUCK), settle]) is None


def test_only_film_that_was_left_out_makes_a_panel_bare() -> None:
    tasks = [a_task("film_hood", state=TaskState.STRUCK), a_task("off_badge", state=TaskState.STRUCK), done("film_roof")]

    assert struck_panels(tasks) == {"hood"}

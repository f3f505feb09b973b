"""Work on tasks from two tablets: nothing is lost, nothing is averaged, nothing counts twice."""

import threading
from datetime import timedelta

import pytest

from configurator.domain.bay.tasks import TaskState
from configurator.domain.bay.timing import TimersDiffer
from configurator.domain.work import Kind
from configurator.errors import InvalidInput
from configurator.services.bay import working
from configurator.services.bay.office import NoSuchTask, NotInBay
from configurator.services.bay.working import TaskFinished
from tests.services.bay.conftest import Bay

HOOD = "film_hood"


@pytest.fixture
def reference(bay: Bay) -> str:
    return bay.at_work()


def task(bay: Bay, reference: str, key: str = HOOD):  # type: ignore[no-untyped-def]
    return bay.job(reference).by_key[key]


def wait(bay: Bay, **span: float) -> None:
    bay.clock.now += timedelta(**span)


def test_a_clock_started_twice_is_one_clock(bay: Bay, reference: str) -> None:
    for _ in range(2):
        working.start(reference, HOOD, bay["tomas"], bay.office)

    assert len(task(bay, reference).timers) == 1


def test_starting_one_task_stops_ones_clock_on_another(bay: Bay, reference: str) -> None:
    working.start(reference, "wash", bay["tomas"], bay.office)
    wait(bay, minutes=12)
    working.start(reference, HOOD, bay["tomas"], bay.office)

    assert task(bay, reference, "wash").running == ()
    assert len(task(bay, reference).running) == 1


def test_done_takes_the_clocks_minutes_without_the_break(bay: Bay, reference: str) -> None:
    """The clock stands at 12:00; the demo shop's break is 12:30 to 13:15: from 12:00 to 13:45 sixty minutes are work."""
    working.start(reference, HOOD, bay["tomas"], bay.office)
    wait(bay, minutes=105)
    working.finish(reference, HOOD, bay["tomas"], bay.office)

    finished = task(bay, reference)
    assert (finished.state, finished.minutes, finished.finished_by) == (TaskState.DONE, 60.0, "Tomas")
    assert finished.running == ()


def test_typed_minutes_hold_over_the_clocks(bay: Bay, reference: str) -> None:
    working.start(reference, HOOD, bay["tomas"], bay.office)
    wait(bay, minutes=25)
    working.finish(reference, HOOD, bay["tomas"], bay.office, minutes="20")

    assert task(bay, reference).minutes == 20.0


def test_without_a_clock_nothing_is_made_up(bay: Bay, reference: str) -> None:
    working.finish(reference, HOOD, bay["tomas"], bay.office)

    assert (task(bay, reference).state, task(bay, reference).minutes) == (TaskState.DONE, None)


def test_done_twice_changes_nothing(bay: Bay, reference: str) -> None:
    working.finish(reference, HOOD, bay["tomas"], bay.office, minutes="60")
    before = task(bay, reference)
    wait(bay, minutes=5)
    working.finish(reference, HOOD, bay["wen"], bay.office)
    working.finish(reference, HOOD, bay["wen"], bay.office, minutes="60")

    assert task(bay, reference) == before


def test_other_minutes_for_a_finished_task_are_asked_about_and_then_settled(bay: Bay, reference: str) -> None:
    working.finish(reference, HOOD, bay["tomas"], bay.office, minutes="60")

    with pytest.raises(TaskFinished) as asked:
        working.finish(reference, HOOD, bay["wen"], bay.office, minutes="75")
    assert (asked.value.task.minutes, asked.value.minutes) == (60.0, 75.0)
    assert task(bay, reference).minutes == 60.0

    working.finish(reference, HOOD, bay["wen"], bay.office, minutes="75", settles=True)
    assert task(bay, reference).minutes == 75.0


def test_two_clocks_at_once_are_asked_about_and_nothing_is_kept(bay: Bay, reference: str) -> None:
    working.start(reference, HOOD, bay["tomas"], bay.office)
    wait(bay, minutes=7)
    working.start(reference, HOOD, bay["wen"], bay.office)
    wait(bay, minutes=20)

    with pytest.raises(TimersDiffer) as asked:
        working.finish(reference, HOOD, bay["tomas"], bay.office)

    assert asked.value.minutes == {"Tomas": 27.0, "Wen": 20.0}
    assert task(bay, reference).state is TaskState.OPEN
    assert len(task(bay, reference).running) == 2

    working.finish(reference, HOOD, bay["tomas"], bay.office, minutes="47", settles=True)
    assert task(bay, reference).minutes == 47.0


def test_pausing_stops_only_ones_own_clock(bay: Bay, reference: str) -> None:
    for name in ("tomas", "wen"):
        working.start(reference, HOOD, bay[name], bay.office)
    working.stop(reference, HOOD, bay["tomas"], bay.office)
    working.stop(reference, HOOD, bay["tomas"], bay.office)

    assert [timer.name for timer in task(bay, reference).running] == ["Wen"]


@pytest.mark.parametrize(
    ("minutes", "clips", "path"), [("x", "", "minutes"), ("99999", "", "minutes"), ("-4", "", "minutes"), ("", "1.5", "clips")]
)
def test_minutes_and_clips_are_whole_and_bounded(bay: Bay, reference: str, minutes: str, clips: str, path: str) -> None:
    with pytest.raises(InvalidInput) as refused:
        working.finish(reference, HOOD, bay["tomas"], bay.office, minutes=minutes, clips=clips)

    assert [fault.path for fault in refused.value.faults] == [path]
    assert task(bay, reference).state is TaskState.OPEN


def test_a_part_left_on_takes_its_way_back_with_it(bay: Bay, reference: str) -> None:
    off = next(one for one in bay.job(reference).tasks if one.kind is Kind.PARTS_OFF)
    working.strike(reference, off.key, "the tape is brittle", bay["jost"], bay.office)

    struck = [one for one in bay.job(reference).tasks if one.panel == off.panel and one.is_part]
    assert {(one.kind, one.state, one.reason) for one in struck} == {
        (Kind.PARTS_OFF, TaskState.STRUCK, "the tape is brittle"),
        (Kind.PARTS_ON, TaskState.STRUCK, "the tape is brittle"),
    }


def test_leaving_out_needs_a_reason_and_stands_in_the_history(bay: Bay, reference: str) -> None:
    with pytest.raises(InvalidInput):
        working.strike(reference, HOOD, "  ", bay["tomas"], bay.office)
    working.strike(reference, HOOD, "paint lifts", bay["tomas"], bay.office)

    with bay.office.store.reading() as work:
        history = work.requests.history(bay.request(reference).id)
    assert [(event.kind, event.reason, event.facts["panel"]) for event in history if event.kind == "task_struck"] == [
        ("task_struck", "paint lifts", "hood")
    ]


def test_a_struck_task_is_not_done_and_a_done_one_not_struck(bay: Bay, reference: str) -> None:
    working.strike(reference, HOOD, "paint lifts", bay["tomas"], bay.office)
    with pytest.raises(TaskFinished):
        working.finish(reference, HOOD, bay["wen"], bay.office)
    with pytest.raises(TaskFinished):
        working.start(reference, HOOD, bay["wen"], bay.office)
    working.reopen(reference, HOOD, bay["wen"], bay.office)
    working.finish(reference, HOOD, bay["wen"], bay.office)
    with pytest.raises(TaskFinished):
        working.strike(reference, HOOD, "too late", bay["tomas"], bay.office)


@pytest.mark.parametrize("key", ["film_wing", "check_in", "settle", "hand_over"])
def test_what_nobody_ticks_can_not_be_ticked(bay: Bay, reference: str, key: str) -> None:
    with pytest.raises(NoSuchTask):
        working.finish(reference, key, bay["tomas"], bay.office)


def test_nothing_is_done_on_a_car_that_is_not_in_the_bay(bay: Bay) -> None:
    with pytest.raises(NotInBay):
        working.start(bay.scheduled(), HOOD, bay["tomas"], bay.office)


def test_different_tasks_at_the_same_moment_are_all_kept(bay: Bay, reference: str) -> None:
    keys = [one.key for one in bay.job(reference).tasks if one.is_asked_for]
    start = threading.Barrier(len(keys))

    def press(key: str) -> None:
        start.wait()
        working.finish(reference, key, bay["tomas"], bay.office, minutes="10")

    threads = [threading.Thread(target=press, args=(key,)) for key in keys]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert {one.key for one in bay.job(reference).tasks if one.state is TaskState.DONE} == set(keys)


def test_of_different_minutes_at_the_same_moment_one_is_kept_and_the_others_are_asked(bay: Bay, reference: str) -> None:
    outcomes: list[object] = []
    start = threading.Barrier(5)

    def press(minutes: int) -> None:
        start.wait()
        try:
            working.finish(reference, HOOD, bay["tomas"], bay.office, minutes=str(minutes))
            outcomes.append(float(minutes))
        except TaskFinished:
            outcomes.append("asked")

    threads = [threading.Thread(target=press, args=(minutes,)) for minutes in (50, 55, 60, 65, 70)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    kept = [outcome for outcome in outcomes if outcome != "asked"]
    assert len(kept) == 1
    assert outcomes.count("asked") == 4
    assert task(bay, reference).minutes == kept[0]


def test_clocks_started_at_the_same_moment_are_one_per_person(bay: Bay, reference: str) -> None:
    names = ["tomas"] * 3 + ["wen"] * 3
    start = threading.Barrier(len(names))

    def press(name: str) -> None:
        start.wait()
        working.start(reference, HOOD, bay[name], bay.office)

    threads = [threading.Thread(target=press, args=(name,)) for name in names]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(timer.name for timer in task(bay, reference).running) == ["Tomas", "Wen"]


def test_what_a_part_took_last_time_is_remembered_by_body(bay: Bay, reference: str) -> None:
    off = next(one for one in bay.job(reference).tasks if one.kind is Kind.PARTS_OFF)
    for minutes in ("21", "17"):
        other = bay.at_work()
        working.finish(other, off.key, bay["jost"], bay.office, minutes=minutes)
        wait(bay, days=1)

    with bay.office.store.reading() as work:
        assert work.bay.last_minutes("coupe", Kind.PARTS_OFF) == {off.panel: 17.0}
        assert work.bay.last_minutes("coupe", Kind.PARTS_ON) == {}
        assert work.bay.last_minutes("suv", Kind.PARTS_OFF) == {}

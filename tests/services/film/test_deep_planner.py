"""The nesting solver as a child process: bounded, killed with all it started, believed only as far as its answer can be checked."""

import os
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from configurator.domain.film_plan.deep import (
    DEEP_FAILED,
    DEEP_MISSING,
    DEEP_OUT_OF_TIME,
    QUICK_WAS_CHEAPER,
    Answer,
    Item,
    Job,
    Solved,
    plan_deep,
)
from configurator.domain.film_plan.nesting import nest
from configurator.domain.film_plan.records import FilmPlan, RollPlan
from configurator.domain.film_plan.rolls import film_cost, stock_of
from configurator.domain.film_plan.verify import verify
from configurator.services.film.deep_planner import solve_in_child
from configurator.services.film.film_planning import plan_film
from tests.domain.film_plan.rectangles import rectangle
from tests.shops import chosen, demo_shop

ANSWER = '{"job": "0", "length": 500.0, "places": {"a": [0.0, 0.0, 0.0]}}'


def job(*ids: str, seconds: int = 1) -> Job:
    items = tuple(Item(id, rectangle(id, 400, 300).cut, (0.0, 90.0, 180.0, 270.0)) for id in ids)
    return Job("0", 1000.0, items, seconds, seed=1)


def worker(program: str) -> Sequence[str]:
    return (sys.executable, "-c", program)


def test_the_solver_answers_within_its_time() -> None:
    """Two squares beside each other need no more than one of them along the roll."""
    started = time.monotonic()
    answer = solve_in_child([job("a", "b", seconds=1)], 20.0)

    assert answer.note is None
    assert answer.solved["0"].length_mm < 2 * 300 + 1
    assert set(answer.solved["0"].places) == {"a", "b"}
    assert time.monotonic() - started < 20.0


def test_a_solver_that_is_not_installed_is_said() -> None:
    assert solve_in_child([job("a")], 5.0, command=worker("raise SystemExit(3)")) == Answer({}, DEEP_MISSING)


@pytest.mark.parametrize("words", ["nonsense", '{"job": "0"}', '{"job": "0", "length": "x", "places": {}}', '{"job": "0", "failed": true}'])
def test_an_answer_that_makes_no_sense_is_passed_over(words: str) -> None:
    assert solve_in_child([job("a")], 5.0, command=worker(f"print({words!r})")) == Answer({}, DEEP_FAILED)


def test_a_solver_that_dies_keeps_what_it_said_before() -> None:
    answer = solve_in_child(
        [job("a"), replace(job("a"), id="1")], 5.0, command=worker(f"print({ANSWER!r}, flush=True); raise SystemExit(1)")
    )

    assert answer.note == DEEP_FAILED
    assert answer.solved["0"].length_mm == 500.0


def test_when_time_is_up_the_solver_and_what_it_started_are_killed(tmp_path: Path) -> None:
    """What it found until then counts; a child of its own doesn't go on running."""
    pid = tmp_path / "pid"
    program = (
        "import pathlib, subprocess, sys, time\n"
        "child = subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(60)'])\n"
        f"pathlib.Path({str(pid)!r}).write_text(str(child.pid))\n"
        f"print({ANSWER!r}, flush=True)\n"
        "time.sleep(60)\n"
    )
    started = time.monotonic()
    answer = solve_in_child([job("a"), replace(job("a"), id="1")], 3.0, command=worker(program))

    assert time.monotonic() - started < 20.0
    assert answer.note == DEEP_OUT_OF_TIME
    assert set(answer.solved) == {"0"}
    assert _ends(int(pid.read_text()))


def _ends(pid: int) -> bool:
    """Whether a process is gone (or is only waiting to be buried) within some seconds."""
    for _ in range(100):
        try:
            os.kill(pid, 0)
            if "\nState:\tZ" in Path(f"/proc/{pid}/status").read_text():
                return True
        except (ProcessLookupError, FileNotFoundError):
            return True
        time.sleep(0.05)
    return False


BASE_PIECES = [rectangle("a", 400, 300), rectangle("b", 400, 290), rectangle("c", 250, 700)]


def base() -> FilmPlan:
    run = nest(BASE_PIECES, 1000.0, steps=10)
    assert run is not None
    loose = tuple(replace(placement, x_mm=placement.x_mm + 300.0 * index) for index, placement in enumerate(run.placements))
    return FilmPlan("quick", (RollPlan("clear", 1000.0, run.length_mm + 900.0, loose),))


def answering(places: dict[str, tuple[float, float, float]], length: float) -> Answer:
    return Answer({"0": Solved(length, places)})


def test_a_shorter_strip_that_can_be_cut_is_taken() -> None:
    good = {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 300.0), "c": (0.0, 400.0, 0.0)}
    plan = plan_deep(base(), lambda jobs, seconds: answering(good, 650.0), seconds=5.0, separation_mm=0.0)

    assert (plan.planner, plan.note) == ("deep", None)
    assert plan.rolls[0].length_mm == pytest.approx(650.0)
    assert verify(plan, BASE_PIECES) == ()


@pytest.mark.parametrize(
    "places",
    [
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 200.0), "c": (0.0, 400.0, 0.0)},  # b lies on a
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 300.0)},  # c is missing
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 300.0), "c": (45.0, 500.0, 0.0)},  # turned as no film may be
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 300.0), "c": (0.0, float("nan"), 0.0)},
    ],
)
def test_a_strip_that_cant_be_cut_is_not_believed(places: dict[str, tuple[float, float, float]]) -> None:
    before = base()
    plan = plan_deep(before, lambda jobs, seconds: answering(places, 650.0), seconds=5.0, separation_mm=0.0)

    assert plan.rolls == before.rolls
    assert (plan.planner, plan.note) == ("quick", QUICK_WAS_CHEAPER)


def test_without_a_solver_the_plan_is_the_quick_one_or_a_cheaper_one_with_a_note() -> None:
    shop, selection = demo_shop(), chosen("sedan", "full_front")
    quick = plan_film(shop, selection)
    plan = plan_film(shop, selection, deep=True, seconds=20.0, solve=lambda jobs, seconds: Answer({}, DEEP_MISSING))

    assert plan.note == DEEP_MISSING
    assert plan.planner == "quick"
    assert film_cost(plan, stock_of(shop.book)) <= film_cost(quick, stock_of(shop.book))


def test_too_little_time_for_the_solver_is_said() -> None:
    shop, selection = demo_shop(), chosen("sedan", "full_front")
    plan = plan_film(shop, selection, deep=True, seconds=0.5)

    assert (plan.planner, plan.note) == ("quick", DEEP_OUT_OF_TIME)


def test_a_roll_that_cant_be_shorter_is_not_searched() -> None:
    """One piece alone, or pieces that fill the roll: the solver is not asked, and the plan is as deep as any."""
    full = FilmPlan("quick", (RollPlan("clear", 300.0, 400.0, nest([rectangle("a", 400, 300)], 300.0, steps=10).placements),))  # type: ignore[union-attr]

    def refuse(jobs: Sequence[Job], seconds: float) -> Answer:
        raise AssertionError("asked")

    plan = plan_deep(full, refuse, seconds=5.0, separation_mm=0.0)
    assert (plan.planner, plan.note) == ("deep", None)

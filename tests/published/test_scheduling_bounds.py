"""Lower bounds that hold for any schedule, and published optima of preemptive scheduling.

The two classical bounds (R. L. Graham 1966): no schedule is shorter than the longest chain of operations that wait for each other,
nor than the work divided by the people who can do it. A resource-constrained instance such as those of PSPLIB doesn't fit here: its
activities take several resources at once, can't be interrupted, and follow a network instead of the fixed phases of this job.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import accumulate

import pytest
from hypothesis import given, settings

from configurator.domain import crew
from configurator.domain.calendar import ShopCalendar
from configurator.domain.crew import Bundle, Task
from configurator.domain.phases import planned_minutes
from configurator.domain.scheduling import timeline
from configurator.domain.work import Kind, Operation, Role
from configurator.loading.price_book import demo_price_book
from tests.work_builders import MONDAY, person, shop
from tests.work_strategies import DROP_OFFS, jobs, limits_of, shops

BOOK = demo_price_book()
ROUNDING_MINUTES = 0.5


def longest_chain(job: Sequence[Operation], minutes: Mapping[str, float]) -> float:
    """The critical path in minutes of hands (settling, which passes while the shop is closed, left out)."""
    finished: dict[str, float] = {}
    for operation in job:
        before = max((finished[each] for each in operation.after), default=0.0)
        finished[operation.id] = before + (0 if operation.kind is Kind.SETTLE else minutes[operation.id])
    return max(finished.values())


@settings(max_examples=60, deadline=None)
@given(jobs(), shops(), DROP_OFFS)
def test_the_bay_is_held_at_least_as_long_as_the_critical_path(job: list[Operation], calendar: ShopCalendar, day: date) -> None:
    minutes = {operation.id: planned_minutes(operation, BOOK.time.k50) for operation in job}
    stay = timeline(job, calendar, day, BOOK, placed=False).typical

    assert stay.bay_minutes >= longest_chain(job, minutes) - ROUNDING_MINUTES


@settings(max_examples=60, deadline=None)
@given(jobs(), shops(), DROP_OFFS)
def test_the_bay_is_held_at_least_as_long_as_the_work_of_each_role_takes_its_people(
    job: list[Operation], calendar: ShopCalendar, day: date
) -> None:
    stay = timeline(job, calendar, day, BOOK, placed=False).typical
    for role in (Role.INSTALLER, Role.ASSEMBLER, Role.ADVISOR):
        people = sum(role in each.roles for each in calendar.hours.people)
        at_once = min(people, calendar.hours.installers_per_car) if role is Role.INSTALLER else people
        work = sum(planned_minutes(operation, BOOK.time.k50) for operation in job if operation.role is role)

        assert stay.bay_minutes * at_once >= work - ROUNDING_MINUTES


def end_of(minutes: Sequence[float], people: int) -> float:
    """Minutes until bundles of these lengths are done by so many people who are in all the time."""
    crew_members = [person(f"Person {index}", "installer") for index in range(people)]
    diary = shop(crew_members).diary(MONDAY)
    bundles = [Bundle(Role.INSTALLER, (Task(str(index), round(60 * each)),)) for index, each in enumerate(minutes)]
    start = diary.shifts[0].start
    return (crew.finish(diary, start, crew.demands(bundles, limits_of(crew_members, people))) - start) / 60


@pytest.mark.parametrize(
    ("minutes", "people", "optimum"),
    [((4, 5, 3, 5, 4), 3, 7), ((9, 1, 1), 2, 9), ((2, 2, 2), 2, 3), ((8, 7, 6, 5, 4, 3, 2, 1), 3, 12), ((10,), 3, 10)],
)
def test_preemptive_optimum_on_identical_machines(minutes: tuple[float, ...], people: int, optimum: float) -> None:
    """P | pmtn | Cmax = max(longest, sum / m): R. McNaughton 1959. The first line is P. Brucker's textbook example (from memory)."""
    assert end_of(minutes, people) == pytest.approx(optimum)


def test_two_identical_machines_over_growing_jobs_follow_the_formula() -> None:
    lengths = (30, 20, 25, 10, 45, 5)
    for total, jobs_so_far in zip(accumulate(lengths), accumulate(([each] for each in lengths), lambda one, more: one + more), strict=True):
        assert end_of(jobs_so_far, 2) == pytest.approx(max(*jobs_so_far, 0, total / 2))

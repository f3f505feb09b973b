"""The end of a phase against an independent optimum.

Source: scipy's HiGHS linear-programming solver. Within an interval in which the same people are in, shares of work can be laid out
without conflict exactly when no person and no bundle is asked for more than the interval's length (preemptive open shop: T. Gonzalez
and S. Sahni, Open shop scheduling to minimize finish time, Journal of the ACM 23, 1976). So a phase can end at T exactly when a
linear program over person x bundle x interval has a solution.
"""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from configurator.domain import crew
from configurator.domain.calendar import Diary, NothingOpen
from configurator.domain.crew import Bundle, Limits
from configurator.domain.price_book import Person
from tests.work_builders import MONDAY, shop
from tests.work_strategies import HOUR, ROLES, bundles, crews, limits_of


def can_end_by(diary: Diary, start: int, end: int, work: list[Bundle], limits: Limits) -> bool:
    """Whether the linear program has a solution: minutes of person p at bundle b in interval i."""
    shifts = [(max(shift.start, start), min(shift.end, end), shift.people) for shift in diary.shifts_between(start, end)]
    cells = [
        (person_, index, interval)
        for interval, (_, _, people) in enumerate(shifts)
        for person_ in people
        for index, bundle in enumerate(work)
        if bundle.role in diary.people[person_].roles
    ]
    if not cells:
        return not any(bundle.seconds for bundle in work)
    rows, bounds = [], []
    for interval, (begin, until, _) in enumerate(shifts):
        for chosen in range(len(diary.people)):
            rows.append([cell[0] == chosen and cell[2] == interval for cell in cells])
            bounds.append(until - begin)
        for index in range(len(work)):
            rows.append([cell[1] == index and cell[2] == interval for cell in cells])
            bounds.append(until - begin)
        for role in ROLES:
            rows.append([work[cell[1]].role is role and cell[2] == interval for cell in cells])
            bounds.append((until - begin) * limits[role])
    demand = np.array([[cell[1] == index for cell in cells] for index in range(len(work))], dtype=float)
    answer = linprog(
        np.zeros(len(cells)),
        A_ub=np.array(rows, dtype=float),
        b_ub=np.array(bounds, dtype=float),
        A_eq=demand,
        b_eq=np.array([bundle.seconds for bundle in work], dtype=float),
        method="highs",
    )
    return bool(answer.status == 0)


@settings(max_examples=150, deadline=None)
@given(crews(), bundles(), st.integers(1, 3), st.integers(0, 4 * 24 * HOUR))
def test_a_phase_ends_at_the_optimum_of_the_linear_program(people: list[Person], work: list[Bundle], at_once: int, later: int) -> None:
    calendar = shop(people)
    diary = calendar.diary(MONDAY)
    start = diary.shifts[0].start + later
    limits = limits_of(people, at_once)
    try:
        end = crew.finish(diary, start, crew.demands(work, limits))
    except NothingOpen:
        assert {bundle.role for bundle in work if bundle.seconds} - {role for each in people for role in each.roles}
        return

    assert can_end_by(diary, start, end, work, limits)
    assert end == start or not can_end_by(diary, start, end - 1, work, limits)

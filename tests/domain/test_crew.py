"""A crew on one phase: the sharing-out keeps to the end that was worked out, and to everybody's hours."""

from collections import defaultdict
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain import crew
from configurator.domain.calendar import Diary, NothingOpen
from configurator.domain.crew import Bundle, Stint, Task
from configurator.domain.price_book import Person
from configurator.domain.work import Role
from tests.work_builders import JOST, MONDAY, ROBIN, TOMAS, WEN, person, shop
from tests.work_strategies import HOUR, bundles, crews, limits_of

MINUTE = 60


def bundle(minutes: float, role: Role = Role.INSTALLER) -> Bundle:
    return Bundle(role, (Task(f"{role} {minutes}", round(minutes * MINUTE)),))


def ends(people: list[Person], work: list[Bundle], at_once: int = 2) -> str:
    """When the work is done that is begun at the opening of Friday 1 January 2027 (no holiday in this calendar)."""
    diary = shop(people).diary(MONDAY)
    start = diary.shifts[0].start
    return f"{diary.moment(crew.finish(diary, start, crew.demands(work, limits_of(people, at_once)))):%a %H:%M}"


def test_two_people_share_what_can_be_shared_but_not_one_bundle() -> None:
    """McNaughton 1959: max(sum / n, longest)."""
    assert ends([TOMAS, WEN], [bundle(120), bundle(60), bundle(60)]) == "Fri 10:30"
    assert ends([TOMAS, WEN], [bundle(180), bundle(30), bundle(30)]) == "Fri 11:30"


def test_a_third_pair_of_hands_helps_only_as_far_as_the_shop_lets_it_at_the_car() -> None:
    third = person("Ada Moor", "installer")
    work = [bundle(60), bundle(60), bundle(60)]

    assert ends([TOMAS, WEN, third], work, at_once=2) == "Fri 10:00"
    assert ends([TOMAS, WEN, third], work, at_once=3) == "Fri 09:30"


def test_roles_work_side_by_side_unless_one_person_has_both() -> None:
    work = [bundle(60), bundle(60, Role.ASSEMBLER)]
    owner = person("Ines Calder", "installer", "assembler")

    assert ends([TOMAS, person("Jost Hamel", "assembler")], work) == "Fri 09:30"
    assert ends([owner], work) == "Fri 10:30"
    assert ends([owner, TOMAS], work) == "Fri 09:30"


def test_a_role_that_nobody_has_is_named() -> None:
    with pytest.raises(NothingOpen) as refused:
        ends([TOMAS], [bundle(10, Role.ASSEMBLER)])

    assert refused.value.role is Role.ASSEMBLER
    assert refused.value.faults[0].facts["role"] == "assembler"


def test_a_bundle_that_must_go_on_takes_over_in_time() -> None:
    """Three equal bundles for two people: one of them changes hands, as in McNaughton's wrap-around."""
    diary = shop([TOMAS, WEN]).diary(MONDAY)
    work = [bundle(60), bundle(60), bundle(60)]
    start = diary.shifts[0].start
    stints = crew.share_out(diary, start, start + 90 * MINUTE, work, limits_of([TOMAS, WEN], 2))

    assert sorted((s.bundle, s.person, (s.start - start) // MINUTE, (s.end - start) // MINUTE) for s in stints) == [
        (0, 0, 0, 60),
        (1, 0, 60, 90),
        (1, 1, 0, 30),
        (2, 1, 30, 90),
    ]


def test_people_stay_with_what_they_are_at_over_the_break() -> None:
    diary = shop([TOMAS, WEN]).diary(MONDAY)
    work = [bundle(300), bundle(90), bundle(90)]
    start = diary.shifts[0].start
    end = crew.finish(diary, start, crew.demands(work, limits_of([TOMAS, WEN], 2)))
    stints = crew.share_out(diary, start, end, work, limits_of([TOMAS, WEN], 2))

    assert [(s.bundle, s.person) for s in stints] == [(0, 0), (1, 1), (2, 1), (0, 0)]


def test_work_in_turn_goes_on_only_while_every_role_is_in() -> None:
    diary = shop([ROBIN, TOMAS, WEN, JOST]).diary(MONDAY)
    start = diary.shifts[0].start
    in_turn = [bundle(30, Role.ASSEMBLER), bundle(30)]

    assert f"{diary.moment(crew.finish_in_turn(diary, start, in_turn)):%a %d %H:%M}" == "Tue 05 09:30"
    assert [(s.bundle, diary.people[s.person].name) for s in crew.in_turn(diary, start, in_turn)] == [(0, "Jost Hamel"), (1, "Tomas Reyl")]
    assert crew.finish_in_turn(diary, start, []) == start


def test_roles_that_are_never_in_together_are_refused() -> None:
    monday_only = person("Tomas Reyl", "installer", weekdays=[0])
    diary = shop([monday_only, JOST]).diary(MONDAY)

    with pytest.raises(NothingOpen):
        crew.finish_in_turn(diary, diary.shifts[0].start, [bundle(30, Role.ASSEMBLER), bundle(30)])


def test_tasks_are_laid_along_stints_in_their_order() -> None:
    work = Bundle(Role.INSTALLER, (Task("a", 30), Task("nothing", 0), Task("b", 50)))
    stints = [Stint(0, 1, 100, 140), Stint(0, 2, 200, 240)]

    assert [(name, s.person, s.start, s.end) for name, s in crew.along(work, stints)] == [
        ("a", 1, 100, 130),
        ("b", 1, 130, 140),
        ("b", 2, 200, 240),
    ]


def apart(stints: list[Stint]) -> bool:
    ordered = sorted((stint.start, stint.end) for stint in stints)
    return all(earlier[1] <= later[0] for earlier, later in pairwise(ordered))


def most_at_once(stints: list[Stint]) -> int:
    return max((sum(other.start <= stint.start < other.end for other in stints) for stint in stints), default=0)


def inside_own_hours(diary: Diary, stint: Stint) -> bool:
    return any(shift.start <= stint.start and stint.end <= shift.end and stint.person in shift.people for shift in diary.shifts)


@settings(max_examples=150, deadline=None)
@given(crews(), bundles(), st.integers(1, 3), st.integers(0, 5 * 24 * HOUR), st.integers(0, 3 * HOUR))
def test_sharing_out_reaches_the_end_and_keeps_every_rule(
    people: list[Person], work: list[Bundle], at_once: int, later: int, slack: int
) -> None:
    diary = shop(people).diary(MONDAY)
    limits = limits_of(people, at_once)
    start = diary.shifts[0].start + later
    try:
        end = crew.finish(diary, start, crew.demands(work, limits)) + slack
    except NothingOpen:
        return
    stints = crew.share_out(diary, start, end, work, limits)
    by_person, by_bundle = defaultdict(list), defaultdict(list)
    for stint in stints:
        by_person[stint.person].append(stint)
        by_bundle[stint.bundle].append(stint)

    assert [sum(s.end - s.start for s in by_bundle[index]) for index in range(len(work))] == [each.seconds for each in work]
    assert all(start <= stint.start < stint.end <= end for stint in stints)
    assert all(inside_own_hours(diary, stint) for stint in stints)
    assert all(work[stint.bundle].role in people[stint.person].roles for stint in stints)
    assert all(apart(mine) for mine in (*by_person.values(), *by_bundle.values()))
    assert most_at_once([stint for stint in stints if work[stint.bundle].role is Role.INSTALLER]) <= at_once

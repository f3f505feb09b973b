"""The phase schedule: monotone, and placed without breaking anybody's hours."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.calendar import NothingOpen, ShopCalendar, calendar_of
from configurator.domain.phases import PHASES, planned_minutes
from configurator.domain.scheduling import timeline
from configurator.domain.timeline import PlacedSpan, Stay, Timeline
from configurator.domain.work import Kind, Operation, Role, Zone
from configurator.loading.price_book import demo_price_book
from tests.work_builders import JOST, MONDAY, ROBIN, TOMAS, WEN, operation, person, shop, worked_example
from tests.work_strategies import DROP_OFFS, HANDS, KINDS_WITH_ZONES, MINUTES, jobs, shops

BOOK = demo_price_book()


def in_words(moment: datetime) -> str:
    return f"{moment:%a %d %H:%M}"


def typical(operations: Sequence[Operation], calendar: ShopCalendar | None = None, drop_off: date = MONDAY) -> Stay:
    return timeline(operations, calendar or shop(), drop_off, BOOK).typical


# -- single facts


def test_a_job_is_brought_at_the_opening_and_returned_at_the_hand_over() -> None:
    stay = typical(worked_example())

    assert in_words(stay.drop_off) == "Mon 08 08:30"
    assert in_words(stay.hand_back) == "Wed 10 09:20"


def test_a_closed_drop_off_day_moves_to_the_next_open_one_and_says_so() -> None:
    calendar = shop(closed=[date(2027, 3, 15)])
    saturday = timeline(worked_example(), calendar, date(2027, 3, 13), BOOK)

    assert (saturday.moved_from, in_words(saturday.typical.drop_off)) == (date(2027, 3, 13), "Tue 16 08:30")
    assert timeline(worked_example(), calendar, MONDAY, BOOK).moved_from is None


def test_a_moment_of_the_day_can_be_asked_for() -> None:
    calendar = shop()
    at_noon_break = timeline(worked_example(), calendar, datetime(2027, 3, 8, 12, 45, tzinfo=calendar.zone), BOOK)
    in_the_evening = timeline(worked_example(), calendar, datetime(2027, 3, 8, 20, tzinfo=calendar.zone), BOOK)

    assert (in_words(at_noon_break.typical.drop_off), at_noon_break.moved_from) == ("Mon 08 13:15", None)
    assert (in_words(in_the_evening.typical.drop_off), in_the_evening.moved_from) == ("Tue 09 08:30", MONDAY)


def test_a_moment_on_a_day_on_which_nobody_takes_cars_in_moves_to_the_next_day() -> None:
    robin = person("Robin Hale", "advisor", days_off=[MONDAY])
    calendar = shop((robin, TOMAS, WEN, JOST))

    moved = timeline(worked_example(), calendar, datetime(2027, 3, 8, 9, tzinfo=calendar.zone), BOOK)

    assert (in_words(moved.typical.drop_off), moved.moved_from) == ("Tue 09 08:30", MONDAY)


def test_a_job_that_ends_at_closing_time_is_handed_back_at_closing_time() -> None:
    work = [
        operation("check_in", Kind.CHECK_IN, 15, role=Role.ADVISOR),
        operation("film", Kind.FILM, 460, zone=Zone.NOSE),
        operation("hand_over", Kind.HAND_OVER, 20, role=Role.ADVISOR),
    ]
    one_minute_more = [work[0], replace(work[1], usual=461, least=461, most=461), work[2]]

    assert in_words(typical(work).hand_back) == "Mon 08 17:30"
    assert in_words(typical(one_minute_more).hand_back) == "Tue 09 08:31"


def test_work_that_ends_outside_opening_hours_is_handed_back_at_the_next_opening() -> None:
    work = [operation("film", Kind.FILM, 60, zone=Zone.NOSE), operation("settle", Kind.SETTLE, 720, role=None)]

    assert in_words(typical(work).hand_back) == "Tue 09 08:30"


def test_an_assembler_in_on_thursdays_only_holds_the_car_till_then() -> None:
    jost = person("Jost Hamel", "assembler", weekdays=[3])
    stay = typical(worked_example(), shop((ROBIN, TOMAS, WEN, jost)))

    assert {f"{span.start:%a}" for span in stay.placed if span.who == "Jost Hamel"} == {"Thu"}
    assert (in_words(stay.hand_back), stay.days_off_road) == ("Fri 12 09:20", 4)


def test_a_holiday_week_is_waited_out() -> None:
    """Brought on Thursday 23 December, shop closed 27 to 31: film is on by Friday 08:35, the assembler is next in on Tuesday 4 January.

    Then 75 minutes of parts, 30 of inspection, 20 of hand-over; noons of 23 December to 3 January.
    """
    calendar = shop(closed=[date(2027, 12, 27) + timedelta(days=day) for day in range(5)])
    stay = typical(worked_example(), calendar, date(2027, 12, 23))

    assert (in_words(stay.hand_back), stay.days_off_road) == ("Tue 04 10:35", 12)


def test_the_installers_own_days_off_slow_the_film_down() -> None:
    """700 minutes: together 350. With one of them off on Monday 495 are done by then, and the other 205 take both 102.5 more."""
    work = [
        operation(str(zone), Kind.FILM, minutes, zone=zone) for zone, minutes in ((Zone.NOSE, 300), (Zone.LEFT, 200), (Zone.RIGHT, 200))
    ]
    wen = person("Wen Adair", "installer", days_off=[MONDAY])

    assert f"{typical(work).hand_back:%a %H:%M:%S}" == "Mon 15:05:00"
    assert f"{typical(work, shop((ROBIN, TOMAS, wen))).hand_back:%a %H:%M:%S}" == "Tue 10:12:30"


def test_a_shop_of_one_does_everything_in_turn() -> None:
    """Monday till 12:00 check-in, wash, parts; film 30 + 255 + 195 minutes till Tuesday 11:45; parts on till 13:55; settled overnight."""
    ines = person("Ines Calder", "advisor", "installer", "assembler")
    stay = typical(worked_example(), shop((ines,)))

    assert {span.who for span in stay.placed} == {"Ines Calder"}
    assert in_words(stay.hand_back) == "Wed 10 09:20"


def test_a_headlamp_waits_for_the_bumper_even_where_another_role_takes_it_out() -> None:
    work = [
        operation("bumper_off", Kind.PARTS_OFF, 60, role=Role.ASSEMBLER, zone=Zone.NOSE),
        operation("headlamp_off", Kind.PARTS_OFF, 30, zone=Zone.NOSE, after=["bumper_off"]),
        operation("badge_off", Kind.PARTS_OFF, 20, zone=Zone.REAR),
    ]
    placed = {span.operation: (in_words(span.start), in_words(span.end)) for span in typical(work).placed}

    assert placed == {
        "badge_off": ("Mon 08 08:30", "Mon 08 08:50"),
        "bumper_off": ("Tue 09 08:30", "Tue 09 09:30"),
        "headlamp_off": ("Tue 09 09:30", "Tue 09 10:00"),
    }


def test_two_people_share_the_paint_correction() -> None:
    work = [operation("correction", Kind.CORRECTION, 120)]

    assert sorted((span.who, in_words(span.end)) for span in typical(work).placed) == [
        ("Tomas Reyl", "Mon 08 09:30"),
        ("Wen Adair", "Mon 08 09:30"),
    ]
    assert in_words(typical(work, shop((ROBIN, TOMAS))).hand_back) == "Mon 08 10:30"


def test_correction_in_steps_that_wait_for_each_other_is_not_shared() -> None:
    work = [operation("cut", Kind.CORRECTION, 60), operation("polish", Kind.CORRECTION, 60, after=["cut"])]

    assert in_words(typical(work).hand_back) == "Mon 08 10:30"


def test_phases_are_told_with_their_spans_and_settling_runs_through_the_night() -> None:
    phases = {each.phase: (in_words(each.start), in_words(each.end)) for each in typical(worked_example()).phases}

    assert phases["settle"] == ("Tue 09 15:15", "Wed 10 03:15")
    assert phases["parts_on"] == ("Tue 09 15:15", "Tue 09 16:30")
    assert phases["inspect"] == ("Wed 10 08:30", "Wed 10 09:00")
    assert list(phases) == ["check_in", "wash", "parts_off", "film", "parts_on", "settle", "inspect", "hand_over"]


def test_settling_is_clock_time_through_the_night_of_a_clock_change() -> None:
    """12 hours from Saturday 17:30 end on Sunday 06:30 by the clock when it skipped an hour, at 04:30 when it showed one twice."""
    calendar = shop(weekdays=range(7), people=[person(each.name, *each.roles, weekdays=range(7)) for each in (ROBIN, TOMAS, WEN)])
    work = [operation("film", Kind.FILM, 495, zone=Zone.NOSE), operation("settle", Kind.SETTLE, 720, role=None)]
    ends = [typical(work, calendar, saturday).phases[-1].end for saturday in (date(2027, 3, 13), date(2027, 11, 6))]

    assert [f"{end:%a %H:%M}" for end in ends] == ["Sun 06:30", "Sun 04:30"]


def test_without_placing_the_dates_are_the_same() -> None:
    placed = timeline(worked_example(), shop(), MONDAY, BOOK)
    quick = timeline(worked_example(), shop(), MONDAY, BOOK, placed=False)

    assert quick == Timeline(replace(placed.typical, placed=()), replace(placed.high, placed=()))


def test_an_empty_job_is_back_at_once() -> None:
    stay = typical([])

    assert (stay.hand_back, stay.days_off_road, stay.bay_minutes, stay.placed) == (stay.drop_off, 1, 0, ())


def test_planned_minutes_are_the_mean_and_a_constant_share_of_the_spread() -> None:
    """a 72, m 100, b 190: mean 110.33, s = sqrt(38.33 x 79.67 / 7) = 20.89."""
    film = operation("film", Kind.FILM, 100, least=72, most=190)

    assert planned_minutes(film, 0) == pytest.approx(110.333, abs=0.01)
    assert planned_minutes(film, 0.83) == pytest.approx(127.670, abs=0.01)
    assert planned_minutes(film, -10) == 0


@pytest.mark.parametrize(
    "work",
    [
        [operation("film", Kind.FILM, 10, after=["nothing"])],
        [operation("wash", Kind.WASH, 10, after=["film"]), operation("film", Kind.FILM, 10)],
        [operation("a", Kind.FILM, 10, after=["b"]), operation("b", Kind.FILM, 10, after=["a"])],
        [operation("film", Kind.FILM, 10, role=None)],
    ],
    ids=["unknown", "later phase", "each other", "no role"],
)
def test_operations_that_contradict_the_phases_are_refused(work: list[Operation]) -> None:
    with pytest.raises(ValueError, match=r"after|wait|role"):
        typical(work)


def test_a_job_that_nobody_can_do_is_refused_with_the_role() -> None:
    with pytest.raises(NothingOpen) as refused:
        typical(worked_example(), shop((ROBIN, TOMAS)))

    assert refused.value.role is Role.ASSEMBLER


def test_every_kind_of_work_has_its_phase() -> None:
    assert sorted(kind for kinds in PHASES for kind in kinds) == sorted(Kind)


# -- properties


def comes_back(operations: Sequence[Operation], calendar: ShopCalendar, drop_off: date) -> Timeline:
    return timeline(operations, calendar, drop_off, BOOK, placed=False)


def never_earlier(less: Timeline, more: Timeline) -> bool:
    pairs = ((less.typical, more.typical), (less.high, more.high))
    return all(short.hand_back <= long.hand_back for short, long in pairs)


def never_fewer_days(less: Timeline, more: Timeline) -> bool:
    pairs = ((less.typical, more.typical), (less.high, more.high))
    return all(short.days_off_road <= long.days_off_road and short.bay_minutes <= long.bay_minutes for short, long in pairs)


@st.composite
def jobs_and_more(draw: st.DrawFn) -> tuple[list[Operation], list[Operation]]:
    """A job, and the same one with an operation added that may wait for others, and that others may wait for from then on."""
    job = draw(jobs())
    kind = draw(st.sampled_from(KINDS_WITH_ZONES))
    role = draw(st.sampled_from((Role.INSTALLER, Role.ASSEMBLER))) if kind in (Kind.PARTS_OFF, Kind.PARTS_ON) else Role.INSTALLER
    same = [each for each in job if each.kind is kind]
    split = draw(st.integers(0, len(same)))
    before, later = same[:split], same[split:]
    waits = draw(st.sets(st.sampled_from([each.id for each in before]), max_size=2)) if before else set()
    makes_wait = draw(st.sets(st.sampled_from([each.id for each in later]), max_size=2)) if later else set()
    added = operation("added", kind, draw(MINUTES), role=role, zone=draw(st.sampled_from(Zone)), after=sorted(waits))
    more = [replace(each, after=(*each.after, "added")) if each.id in makes_wait else each for each in job]
    at = next((index for index, each in enumerate(more) if each.id in {one.id for one in later}), len(more))
    return job, [*more[:at], added, *more[at:]]


@settings(max_examples=120, deadline=None)
@given(jobs_and_more(), shops(), DROP_OFFS)
def test_adding_an_operation_never_gives_the_car_back_earlier(
    both: tuple[list[Operation], list[Operation]], calendar: ShopCalendar, day: date
) -> None:
    less, more = (comes_back(job, calendar, day) for job in both)

    assert never_earlier(less, more)
    assert never_fewer_days(less, more)


@settings(max_examples=80, deadline=None)
@given(jobs(), st.data(), shops(), DROP_OFFS)
def test_longer_operations_never_give_the_car_back_earlier(
    job: list[Operation], data: st.DataObject, calendar: ShopCalendar, day: date
) -> None:
    chosen = data.draw(st.sampled_from(job))
    factor = data.draw(st.floats(1, 3))
    longer = replace(chosen, least=chosen.least * factor, usual=chosen.usual * factor, most=chosen.most * factor)
    less, more = (comes_back(work, calendar, day) for work in (job, [longer if each is chosen else each for each in job]))

    assert never_earlier(less, more)
    assert never_fewer_days(less, more)


@settings(max_examples=80, deadline=None)
@given(jobs(), shops(), DROP_OFFS, HANDS, st.sets(st.integers(0, 4), min_size=1))
def test_another_person_never_gives_the_car_back_later(
    job: list[Operation], calendar: ShopCalendar, day: date, roles: tuple[str, ...], weekdays: set[int]
) -> None:
    another = person("Another", *roles, weekdays=sorted(weekdays))
    more_people = calendar_of(replace(calendar.hours, people=(*calendar.hours.people, another)), calendar.closed)

    assert never_earlier(comes_back(job, more_people, day), comes_back(job, calendar, day))


@settings(max_examples=50, deadline=None)
@given(jobs(), shops(), DROP_OFFS)
def test_one_more_installer_at_the_car_never_gives_it_back_later(job: list[Operation], calendar: ShopCalendar, day: date) -> None:
    more = calendar_of(replace(calendar.hours, installers_per_car=calendar.hours.installers_per_car + 1), calendar.closed)

    assert never_earlier(comes_back(job, more, day), comes_back(job, calendar, day))


@settings(max_examples=80, deadline=None)
@given(jobs(), shops(), DROP_OFFS, st.sets(st.integers(0, 30), max_size=5), st.booleans())
def test_fewer_open_hours_never_give_the_car_back_earlier(
    job: list[Operation], calendar: ShopCalendar, day: date, closed: set[int], mornings_only: bool
) -> None:
    spans = (
        tuple(replace(span, end=time(12)) for span in calendar.hours.open if span.start < time(12))
        if mornings_only
        else calendar.hours.open
    )
    fewer = calendar_of(replace(calendar.hours, open=spans), calendar.closed | {MONDAY + timedelta(days=each) for each in closed})

    assert never_earlier(comes_back(job, calendar, day), comes_back(job, fewer, day))


@settings(max_examples=80, deadline=None)
@given(jobs(), shops(), DROP_OFFS, st.integers(1, 10))
def test_bringing_the_car_later_never_gives_it_back_earlier(job: list[Operation], calendar: ShopCalendar, day: date, later: int) -> None:
    assert never_earlier(comes_back(job, calendar, day), comes_back(job, calendar, day + timedelta(days=later)))


def seconds(span: PlacedSpan) -> float:
    return span.end.timestamp() - span.start.timestamp()


def no_overlap(spans: Sequence[PlacedSpan]) -> bool:
    ordered = sorted((span.start.timestamp(), span.end.timestamp()) for span in spans)
    return all(earlier[1] <= later[0] for earlier, later in pairwise(ordered))


def most_at_once(spans: Sequence[PlacedSpan]) -> int:
    return max((sum(other.start <= span.start < other.end for other in spans) for span in spans), default=0)


def in_own_hours(span: PlacedSpan, calendar: ShopCalendar) -> bool:
    who = next(each for each in calendar.hours.people if each.name == span.who)
    day = span.start.date()
    opened = [each for each in calendar.hours.open if each.weekday == day.weekday() and calendar.is_open(day) and calendar.is_in(who, day)]
    return span.end.date() == day and any(each.start <= span.start.time() and span.end.time() <= each.end for each in opened)


@settings(max_examples=100, deadline=None)
@given(jobs(), shops(), DROP_OFFS)
def test_every_operation_is_placed_by_the_rules(job: list[Operation], calendar: ShopCalendar, day: date) -> None:
    stays = timeline(job, calendar, day, BOOK)
    by_id = {each.id: each for each in job}
    for stay, k in ((stays.typical, BOOK.time.k50), (stays.high, BOOK.time.k90)):
        by_operation, by_person = defaultdict(list), defaultdict(list)
        for span in stay.placed:
            by_operation[span.operation].append(span)
            by_person[span.who].append(span)
        for each in job:
            placed = sum(seconds(span) for span in by_operation[each.id])
            assert placed == pytest.approx(0 if each.kind is Kind.SETTLE else 60 * planned_minutes(each, k), abs=1e-6)
            for before in each.after:
                assert all(a.end <= b.start for a in by_operation[before] for b in by_operation[each.id])
        assert all(in_own_hours(span, calendar) for span in stay.placed)
        assert all(by_id[span.operation].role in _roles(span.who, calendar) for span in stay.placed)
        assert all(no_overlap(spans) for spans in by_person.values())
        installers = [span for span in stay.placed if by_id[span.operation].role is Role.INSTALLER]
        assert most_at_once(installers) <= calendar.hours.installers_per_car
        assert all(stay.drop_off <= span.start and span.end <= stay.hand_back for span in stay.placed)
        settled = next(each for each in stay.phases if each.phase == "settle").end
        assert all(span.start >= settled for span in by_operation["inspect"])


def _roles(name: str, calendar: ShopCalendar) -> tuple[str, ...]:
    return next(each.roles for each in calendar.hours.people if each.name == name)


@settings(max_examples=80, deadline=None)
@given(jobs(), shops(), DROP_OFFS)
def test_the_high_end_is_never_before_the_typical(job: list[Operation], calendar: ShopCalendar, day: date) -> None:
    stays = comes_back(job, calendar, day)

    assert stays.typical.hand_back <= stays.high.hand_back
    assert stays.typical.days_off_road <= stays.high.days_off_road
    assert calendar.open_minutes(stays.high.drop_off, stays.high.hand_back) == stays.high.bay_minutes

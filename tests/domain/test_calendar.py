"""The shop's calendar: days, people, and clocks that change."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.calendar import NothingOpen, ShopCalendar, calendar_of
from configurator.domain.work import Role
from tests.work_builders import JOST, MONDAY, ROBIN, TOMAS, WEN, hours, person, shop

EVERY_DAY = range(7)
SPRING_FORWARD = date(2027, 3, 14)
"""The night on which clocks in New York skip 02:00-03:00."""
FALL_BACK = date(2027, 11, 7)
"""The night on which clocks in New York show 01:00-02:00 twice."""


def night_shop(start: time, end: time, zone: str = "America/New_York") -> ShopCalendar:
    return shop(spans=[(start, end)], weekdays=EVERY_DAY, time_zone=zone)


def windows(calendar: ShopCalendar, day: date) -> list[tuple[str, str]]:
    diary = calendar.diary(day)
    return [(f"{diary.moment(shift.start):%H:%M%z}", f"{diary.moment(shift.end):%H:%M%z}") for shift in diary.shifts if shift.day == day]


def open_hours(calendar: ShopCalendar, day: date) -> float:
    midnight = datetime.combine(day, time.min, calendar.zone)
    return calendar.open_minutes(midnight, midnight + timedelta(days=1)) / 60


def test_a_day_has_its_windows_and_its_break() -> None:
    assert windows(shop(), MONDAY) == [("08:30-0500", "12:30-0500"), ("13:15-0500", "17:30-0500")]


def test_the_shop_is_closed_on_weekends_on_holidays_and_on_its_own_days() -> None:
    calendar = calendar_of(hours(closed=(date(2027, 3, 10),)), [date(2027, 5, 31)])

    assert [calendar.is_open(day) for day in (MONDAY, date(2027, 3, 10), date(2027, 3, 13), date(2027, 5, 31))] == [
        True,
        False,
        False,
        False,
    ]


def test_spans_that_touch_or_overlap_are_one_window() -> None:
    calendar = shop(spans=[(time(12), time(15)), (time(8), time(12)), (time(14), time(18))])

    assert windows(calendar, MONDAY) == [("08:00-0500", "18:00-0500")]


def test_a_span_that_ends_at_midnight_runs_to_the_end_of_the_day() -> None:
    assert open_hours(night_shop(time(0), time(0)), MONDAY) == 24


@pytest.mark.parametrize(
    ("start", "end", "day", "expected"),
    [
        (time(1), time(4), SPRING_FORWARD, ("01:00-0500", "04:00-0400")),
        (time(2, 30), time(4), SPRING_FORWARD, ("03:00-0400", "04:00-0400")),
        (time(1), time(2, 30), SPRING_FORWARD, ("01:00-0500", "03:00-0400")),
        (time(1, 30), time(4), FALL_BACK, ("01:30-0400", "04:00-0500")),
    ],
)
def test_an_opening_span_follows_the_wall_clock_through_a_clock_change(
    start: time, end: time, day: date, expected: tuple[str, str]
) -> None:
    assert windows(night_shop(start, end), day) == [expected]


def test_a_night_of_a_clock_change_has_an_hour_less_or_more_of_work() -> None:
    calendar = night_shop(time(0), time(6))

    assert [open_hours(calendar, day) for day in (SPRING_FORWARD, MONDAY, FALL_BACK)] == [5, 6, 7]


def test_a_span_inside_the_skipped_hour_isnt_there() -> None:
    calendar = night_shop(time(2, 10), time(2, 50))

    assert windows(calendar, SPRING_FORWARD) == []
    assert windows(calendar, SPRING_FORWARD + timedelta(days=1)) == [("02:10-0400", "02:50-0400")]


def test_where_midnight_itself_is_skipped_the_day_begins_at_one() -> None:
    """In Santiago clocks go from 24:00 to 01:00 on the first Saturday night of September: 5 September 2027 has no midnight."""
    assert windows(night_shop(time(0), time(2), "America/Santiago"), date(2027, 9, 5)) == [("01:00-0300", "02:00-0300")]


@settings(deadline=None)
@given(
    st.datetimes(datetime(2026, 1, 1), datetime(2029, 12, 31)),
    st.sampled_from(["America/New_York", "Europe/Berlin", "Australia/Lord_Howe"]),
)
def test_an_instant_is_the_first_at_which_the_clock_shows_that_time_or_later(wall: datetime, zone: str) -> None:
    wall = wall.replace(microsecond=0, fold=0)
    calendar = shop(time_zone=zone)
    instant = calendar.instant(wall)

    assert datetime.fromtimestamp(instant, calendar.zone).replace(tzinfo=None) >= wall
    assert datetime.fromtimestamp(instant - 1, calendar.zone).replace(tzinfo=None) < wall


@settings(deadline=None)
@given(st.dates(date(2026, 1, 1), date(2028, 12, 31)), st.sampled_from(["America/New_York", "Europe/Berlin", "Asia/Kolkata"]))
def test_a_days_windows_are_the_same_whether_or_not_its_clock_changes_are_asked_for(day: date, zone: str) -> None:
    """Days without a clock change take a short cut; it must lead to the same instants."""
    calendar = shop(weekdays=EVERY_DAY, time_zone=zone)
    expected = [
        (calendar.instant(datetime.combine(day, span.start)), calendar.instant(datetime.combine(day, span.end)))
        for span in calendar.hours.open
        if span.weekday == day.weekday()
    ]

    assert [(shift.start, shift.end) for shift in calendar.diary(day).shifts if shift.day == day] == expected


def test_people_are_in_on_their_weekdays_except_their_days_off() -> None:
    tomas = person("Tomas Reyl", "installer", days_off=[date(2027, 3, 9)])
    calendar = shop((ROBIN, tomas, WEN, JOST))
    week = [MONDAY + timedelta(days=ahead) for ahead in range(5)]

    assert [calendar.minutes_in(Role.INSTALLER, day) / 495 for day in week] == [2, 1, 2, 2, 2]
    assert [calendar.minutes_in(Role.ASSEMBLER, day) / 495 for day in week] == [0, 1, 0, 1, 0]
    assert calendar.minutes_in(Role.INSTALLER, date(2027, 3, 13)) == 0


def test_somebody_with_two_roles_fills_one_place_at_a_time() -> None:
    both = person("Ines Calder", "installer", "assembler")
    diary = shop((ROBIN, TOMAS, both)).diary(MONDAY)
    everyone, owner_alone = frozenset({0, 1, 2}), frozenset({0, 2})

    assert diary.filled(((Role.INSTALLER, 2), (Role.ASSEMBLER, 1)), everyone) == 2
    assert diary.filled(((Role.INSTALLER, 1), (Role.ASSEMBLER, 1)), everyone) == 2
    assert diary.filled(((Role.INSTALLER, 1), (Role.ASSEMBLER, 1)), owner_alone) == 1
    assert diary.filled(((Role.ASSEMBLER, 3),), everyone) == 1


def test_a_car_can_be_brought_only_when_somebody_is_there_to_take_it_in() -> None:
    robin = person("Robin Hale", "advisor", days_off=[MONDAY, date(2027, 3, 9)])

    assert shop((robin, TOMAS)).first_open_day(date(2027, 3, 6)) == date(2027, 3, 10)
    assert shop((ROBIN, TOMAS)).first_open_day(MONDAY) == MONDAY


@pytest.mark.parametrize(
    "calendar",
    [shop(spans=()), shop((TOMAS,)), shop((person("Robin Hale", "advisor", weekdays=[6]),))],
    ids=["never open", "nobody checks in", "only in when closed"],
)
def test_a_calendar_without_any_opening_says_so_instead_of_searching_for_ever(calendar: ShopCalendar) -> None:
    with pytest.raises(NothingOpen) as refused:
        calendar.first_open_day(MONDAY)

    assert refused.value.faults[0].code == "nothing_open"
    assert refused.value.faults[0].facts == {"role": "advisor", "since": MONDAY, "years": 2}


def test_the_last_days_of_the_calendar_are_refused_not_crashed_into() -> None:
    with pytest.raises(NothingOpen):
        shop(weekdays=[]).first_open_day(date(9999, 12, 30))


def test_open_minutes_count_only_open_hours_whatever_zone_they_are_asked_in() -> None:
    calendar = shop()
    start = datetime(2027, 3, 12, 17, tzinfo=calendar.zone)
    end = datetime(2027, 3, 15, 13, tzinfo=calendar.zone)

    assert calendar.open_minutes(start, end) == 30 + 240
    assert calendar.open_minutes(start.astimezone(UTC), end.astimezone(UTC)) == 30 + 240

"""Days off-road: the number of local noons in (drop-off, hand-back], at least 1. Counted here day by day in UTC, for comparison.

Clock changes: time-zone rules of the IANA database (tzdata).
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.timeline import days_off_road

NEW_YORK, BERLIN = ZoneInfo("America/New_York"), ZoneInfo("Europe/Berlin")


def days(zone: ZoneInfo, drop_off: str, hand_back: str) -> int:
    return days_off_road(*(datetime.fromisoformat(text).replace(tzinfo=zone) for text in (drop_off, hand_back)))


def noons(drop_off: datetime, hand_back: datetime) -> int:
    """Every local noon as an instant, counted one by one."""
    first, last = drop_off.date() - timedelta(days=1), hand_back.date() + timedelta(days=1)
    every_day = (first + timedelta(days=ahead) for ahead in range((last - first).days + 1))
    at = (datetime.combine(day, time(12), drop_off.tzinfo).astimezone(UTC) for day in every_day)
    return sum(drop_off.astimezone(UTC) < noon <= hand_back.astimezone(UTC) for noon in at)


@pytest.mark.parametrize(
    ("drop_off", "hand_back", "expected"),
    [
        ("2027-03-08 08:30", "2027-03-08 17:00", 1),
        ("2027-03-08 08:30", "2027-03-09 09:20", 1),
        ("2027-03-08 08:30", "2027-03-09 14:00", 2),
        ("2027-03-08 13:30", "2027-03-09 11:00", 1),
        ("2027-03-08 08:30", "2027-03-08 11:00", 1),
        ("2027-03-08 13:30", "2027-03-08 15:00", 1),
    ],
    ids=["one noon", "back next morning", "two noons", "afternoon to morning", "none, still a day", "none, after noon"],
)
def test_a_night_at_the_shop_counts_by_its_noons(drop_off: str, hand_back: str, expected: int) -> None:
    assert days(NEW_YORK, drop_off, hand_back) == expected


def test_exactly_noon_counts_at_hand_back_and_not_at_drop_off() -> None:
    assert days(NEW_YORK, "2027-03-08 08:30", "2027-03-10 12:00") == 3
    assert days(NEW_YORK, "2027-03-08 08:30", "2027-03-10 11:59:59") == 2
    assert days(NEW_YORK, "2027-03-08 12:00", "2027-03-10 12:00") == 2
    assert days(NEW_YORK, "2027-03-08 11:59:59", "2027-03-10 12:00") == 3


def test_over_a_month_end_and_over_a_leap_day() -> None:
    assert days(NEW_YORK, "2027-04-29 08:30", "2027-05-03 09:00") == 4
    assert days(NEW_YORK, "2028-02-28 08:30", "2028-03-01 09:00") == 2
    assert days(NEW_YORK, "2027-02-26 08:30", "2027-03-01 14:00") == 4
    assert days(NEW_YORK, "2027-12-30 08:30", "2028-01-03 09:00") == 4


def test_three_days_over_the_spring_clock_change_though_71_hours_passed() -> None:
    """Berlin, Friday 27 March 2026 09:00 to Monday 30 March 09:00: three days by the wall clock, 71 hours elapsed."""
    drop_off, hand_back = (datetime(2026, 3, day, 9, tzinfo=BERLIN) for day in (27, 30))

    assert days_off_road(drop_off, hand_back) == 3
    assert hand_back.timestamp() - drop_off.timestamp() == 71 * 3600


def test_over_the_autumn_clock_change_though_25_hours_passed() -> None:
    """New York, Saturday 6 November 2027 13:00 to Sunday 13:00: one noon, 25 hours."""
    assert days(NEW_YORK, "2027-11-06 13:00", "2027-11-07 13:00") == 1
    assert days(NEW_YORK, "2027-03-13 13:00", "2027-03-14 13:00") == 1


@settings(deadline=None)
@given(
    st.sampled_from([NEW_YORK, BERLIN, ZoneInfo("Australia/Lord_Howe"), ZoneInfo("Asia/Kathmandu")]),
    st.datetimes(datetime(2026, 1, 1), datetime(2029, 1, 1)),
    st.timedeltas(timedelta(0), timedelta(days=40)),
)
def test_the_rule_is_the_count_of_noons(zone: ZoneInfo, wall: datetime, length: timedelta) -> None:
    drop_off = wall.replace(tzinfo=UTC).astimezone(zone)
    hand_back = (wall.replace(tzinfo=UTC) + length).astimezone(zone)

    assert days_off_road(drop_off, hand_back) == max(1, noons(drop_off, hand_back))


def test_a_public_holiday_counts_since_the_car_isnt_there() -> None:
    """Memorial Day 2027 is Monday 31 May: Friday to Tuesday 14:00 are five noons whether or not the shop is open."""
    assert date(2027, 5, 31).isoweekday() == 1
    assert days(NEW_YORK, "2027-05-28 08:30", "2027-06-01 14:00") == 5

"""Weeks and days against published dates."""

from datetime import date

import pytest

from configurator.domain.weeks import IsoWeek


@pytest.mark.parametrize(
    ("day", "week", "weekday"),
    [(date(2021, 1, 3), "2020-W53", 7), (date(2024, 12, 30), "2025-W01", 1), (date(2027, 1, 1), "2026-W53", 5)],
)
def test_week_dates_at_the_turn_of_the_year(day: date, week: str, weekday: int) -> None:
    """ISO 8601 week dates: 2021-01-03 is 2020-W53-7, 2024-12-30 is 2025-W01-1, 2027-01-01 is 2026-W53-5 (from memory)."""
    assert str(IsoWeek.of(day)) == week
    assert IsoWeek.of(day).days[weekday - 1] == day


def test_a_year_has_53_weeks_when_it_begins_on_a_thursday_or_is_a_leap_year_that_begins_on_a_wednesday() -> None:
    """ISO 8601 (from memory): a year has 53 weeks exactly when 1 January is a Thursday, or a Wednesday in a leap year."""
    for year in range(2000, 2100):
        leap = (year % 4 == 0 and year % 100 != 0) or year % 400 == 0
        first = date(year, 1, 1).isoweekday()
        long_year = first == 4 or (leap and first == 3)

        assert IsoWeek.of(date(year, 12, 28)).number == (53 if long_year else 52)


def test_weeks_sort_and_hold_seven_days() -> None:
    assert IsoWeek.of(date(2026, 12, 31)) < IsoWeek.of(date(2027, 1, 4))
    assert [day.isoformat() for day in IsoWeek(2026, 53).days][::6] == ["2026-12-28", "2027-01-03"]

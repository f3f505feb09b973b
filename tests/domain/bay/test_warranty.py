"""Warranty and care dates."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.bay.warranty import care_dates, warranty_end
from configurator.domain.calendar import calendar_of
from configurator.domain.price_book import AfterCare
from configurator.loading.price_book import demo_price_book


@pytest.mark.parametrize(
    ("start", "years", "end"),
    [
        (date(2027, 3, 18), 10, date(2037, 3, 18)),
        (date(2028, 2, 29), 1, date(2029, 2, 28)),
        (date(2028, 2, 29), 4, date(2032, 2, 29)),
        (date(2096, 2, 29), 4, date(2100, 2, 28)),
        (date(2027, 2, 28), 1, date(2028, 2, 28)),
        (date(2027, 12, 31), 5, date(2032, 12, 31)),
    ],
)
def test_a_warranty_ends_on_the_same_date_or_the_months_last_day(start: date, years: int, end: date) -> None:
    """Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), read in its text: a period in years ends with the same date; where that day
    doesn't occur in the last month, with the month's last day. 2100 is no leap year (Gregorian rule)."""
    assert warranty_end(start, years) == end


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(0, 30))
def test_it_is_never_off_by_more_than_the_leap_day(start: date, years: int) -> None:
    end = warranty_end(start, years)

    assert (end.year, end.month) == (start.year + years, start.month)
    assert end.day in {start.day, start.day - 1}
    assert end.day == start.day or (start.month, start.day) == (2, 29)


def test_care_dates_are_real_dates_and_checks_fall_on_open_days() -> None:
    zone = ZoneInfo("America/New_York")
    calendar = calendar_of(demo_price_book().hours, {date(2027, 3, 26)})
    care = AfterCare(no_wash_days=2, hand_wash_days=7, check_days=(7, 30))

    dates = care_dates(datetime(2027, 3, 19, 16, 0, tzinfo=zone), care, calendar.first_open_day)

    assert dates.dry_until == datetime(2027, 3, 21, 16, 0, tzinfo=zone)
    assert dates.by_hand_until == date(2027, 3, 26)
    assert dates.checks == (date(2027, 3, 29), date(2027, 4, 19))  # closed Friday -> Monday; 18 April is a Sunday
    assert all(calendar.can_be_brought(day) for day in dates.checks)


def test_two_checks_that_move_to_one_day_are_one() -> None:
    zone = ZoneInfo("America/New_York")
    calendar = calendar_of(demo_price_book().hours, ())
    care = AfterCare(check_days=(1, 2, 3))

    dates = care_dates(datetime(2027, 3, 19, 16, 0, tzinfo=zone), care, calendar.first_open_day)

    assert dates.checks == (date(2027, 3, 22),)
    assert dates.checks[0] - date(2027, 3, 19) == timedelta(days=3)

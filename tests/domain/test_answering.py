"""The promise to answer within one working day, on the shop's own clock."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from configurator.domain.answering import answer_due
from configurator.domain.price_book import Hours, OpeningSpan

NEW_YORK = ZoneInfo("America/New_York")
HOURS = Hours(
    time_zone="America/New_York",
    open=tuple(
        span for day in range(5) for span in (OpeningSpan(day, time(8, 30), time(12, 30)), OpeningSpan(day, time(13, 15), time(17, 30)))
    ),
    holiday_country="US",
    holiday_subdivision=None,
    closed=(date(2027, 3, 11),),
    bays=2,
    installers_per_car=2,
    people=(),
    reference_drop_off=date(2027, 3, 8),
)


def due(local: datetime, closed: frozenset[date] = frozenset()) -> datetime:
    return answer_due(local.replace(tzinfo=NEW_YORK).astimezone(UTC), HOURS, closed)


@pytest.mark.parametrize(
    ("received", "expected"),
    [
        (datetime(2027, 3, 8, 10, 16), datetime(2027, 3, 9, 10, 16)),  # Monday -> Tuesday
        (datetime(2027, 3, 8, 22, 5), datetime(2027, 3, 9, 17, 30)),  # after closing: held inside the opening hours
        (datetime(2027, 3, 8, 5, 0), datetime(2027, 3, 9, 8, 30)),  # before opening
        (datetime(2027, 3, 12, 16, 0), datetime(2027, 3, 15, 16, 0)),  # Friday -> Monday, over the change to summer time
        (datetime(2027, 3, 13, 9, 0), datetime(2027, 3, 16, 8, 30)),  # Saturday counts from Monday's opening
        (datetime(2027, 3, 10, 12, 0), datetime(2027, 3, 12, 12, 0)),  # the shop's own closed Thursday is skipped
    ],
)
def test_it_is_due_at_the_same_time_on_the_next_open_day(received: datetime, expected: datetime) -> None:
    assert due(received).replace(tzinfo=None) == expected


def test_public_holidays_are_no_working_days() -> None:
    assert due(datetime(2027, 3, 8, 10, 0), frozenset({date(2027, 3, 9)})).date() == date(2027, 3, 10)


def test_the_clock_is_the_shops_own_on_both_sides_of_the_change_to_summer_time() -> None:
    """US daylight saving began on 14 March 2027 (second Sunday of March, 15 USC 260a): UTC-5 before, UTC-4 after."""
    friday = due(datetime(2027, 3, 12, 16, 0))

    assert friday.utcoffset().total_seconds() == -4 * 3600  # type: ignore[union-attr]
    assert friday.astimezone(UTC) == datetime(2027, 3, 15, 20, 0, tzinfo=UTC)

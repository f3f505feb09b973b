"""The week as a ruler: where moments lie, and rows in which no bar covers another."""

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.weeks import IsoWeek
from configurator.web.staff.week_axis import BESIDE, SLIM, breaks, rows_of, week_axis
from tests.work_builders import shop

SHOP = shop()
WEEK = IsoWeek(2027, 11)
AXIS = week_axis(WEEK, SHOP)
DAY = 100 / 5.6
"""Five full days and two narrow ones of 0.3."""


def share(text: str) -> float:
    return AXIS.share(datetime.fromisoformat(text).replace(tzinfo=SHOP.zone))


@pytest.mark.parametrize(
    ("moment", "expected"),
    [
        ("2027-03-01 12:00", 0), ("2027-03-15 00:00", 0), ("2027-03-15 08:30", 0), ("2027-03-15 13:00", DAY / 2), ("2027-03-15 17:30", DAY),
        ("2027-03-15 23:00", DAY), ("2027-03-16 08:30", DAY), ("2027-03-16 10:45", 1.25 * DAY), ("2027-03-20 13:00", 5.15 * DAY),
        ("2027-03-21 23:59", 100), ("2027-03-22 08:30", 100), ("2027-05-01 00:00", 100),
    ],
)  # fmt: skip
def test_where_a_moment_lies(moment: str, expected: float) -> None:
    assert share(moment) == pytest.approx(expected)


def test_a_moment_is_read_on_the_shops_clock() -> None:
    utc = datetime.fromisoformat("2027-03-15T17:00:00+00:00")

    assert AXIS.share(utc) == pytest.approx(share("2027-03-15 13:00"))


def test_the_days_fill_the_week_without_a_gap() -> None:
    for before, after in zip(AXIS.columns, AXIS.columns[1:], strict=False):
        assert before.left + before.width == pytest.approx(after.left)
    assert AXIS.columns[0].left == 0
    assert AXIS.columns[-1].left + AXIS.columns[-1].width == pytest.approx(100)


def test_a_week_with_a_clock_change_has_seven_days_like_any_other() -> None:
    """New York: 14 March 2027, a Sunday."""
    axis = week_axis(IsoWeek.of(date(2027, 3, 14)), SHOP)

    assert [column.width for column in axis.columns] == pytest.approx([column.width for column in AXIS.columns])
    assert (axis.end - axis.start).days == 7


def test_the_lunch_break_shows_on_open_days_only() -> None:
    closed = week_axis(WEEK, shop(closed=[date(2027, 3, 17)]))

    assert len(list(breaks(SHOP, AXIS))) == 5
    assert len(list(breaks(closed.calendar, closed))) == 4
    left, width = next(iter(breaks(SHOP, AXIS)))
    assert (left, width) == (pytest.approx(240 / 540 * DAY), pytest.approx(45 / 540 * DAY))


def test_two_cars_that_follow_each_other_share_a_row_and_a_short_first_one_does_not() -> None:
    assert rows_of([(0, 20), (20, 60)]) == (0, 0)
    assert rows_of([(0, 2), (2.5, 40), (40, 60)]) == (0, 1, 0), "the words beside the short bar would be covered"
    assert rows_of([(0, 30), (10, 40), (20, 50)]) == (0, 1, 2)
    assert rows_of([]) == ()


def test_half_a_day_holds_its_words_and_an_hour_does_not() -> None:
    half, hour = share("2027-03-15 12:30"), share("2027-03-15 09:30")

    assert rows_of([(0, half), (half, 40)]) == (0, 0)
    assert rows_of([(0, hour), (hour, 40)]) == (0, 1)


@given(st.lists(st.tuples(st.floats(0, 99), st.floats(0.1, 60)), max_size=12))
def test_no_bar_and_no_word_is_covered(pairs: list[tuple[float, float]]) -> None:
    spans = sorted((left, min(left + width, 100.0)) for left, width in pairs)
    placed = list(zip(rows_of(spans), spans, strict=True))

    for index, (row, (left, right)) in enumerate(placed):
        for other_row, (other_left, _) in placed[index + 1 :]:
            needs = right if right - left >= SLIM else right + BESIDE
            assert row != other_row or other_left >= needs - 0.011

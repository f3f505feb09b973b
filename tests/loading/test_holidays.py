"""Public holidays by country and region.

Dates: 5 U.S.C. 6103 and the Office of Personnel Management's rule for holidays on weekends (federal holidays 2027), the Banking and
Financial Dealings Act 1971 (England), the Bavarian Feiertagsgesetz; each from memory, Easter 2027 being 28 March.
"""

from datetime import date

import pytest

from configurator.domain.calendar import calendar_of
from configurator.errors import InvalidData
from configurator.loading.holidays import closed_days
from tests.work_builders import hours

FEDERAL_2027 = {
    "2027-01-01", "2027-01-18", "2027-02-15", "2027-05-31", "2027-06-18", "2027-07-05", "2027-09-06", "2027-10-11", "2027-11-11",
    "2027-11-25", "2027-12-24", "2027-12-31",
}  # fmt: skip
"""Those on weekdays; Juneteenth, Independence Day, Christmas and New Year 2028 fall on weekends and are observed beside them."""


def closed(country: str | None, subdivision: str | None = None, years: range = range(2027, 2028)) -> frozenset[date]:
    return closed_days(hours(holiday_country=country, holiday_subdivision=subdivision), years)


def test_federal_holidays_of_the_united_states_as_observed() -> None:
    weekdays = {day.isoformat() for day in closed("US") if day.isoweekday() < 6}

    assert weekdays == FEDERAL_2027


def test_a_holiday_that_moves_with_easter() -> None:
    assert {date(2027, 3, 26), date(2027, 3, 29), date(2027, 5, 6), date(2027, 5, 17)} <= closed("DE")
    assert {date(2028, 4, 14), date(2028, 4, 17)} <= closed("DE", years=range(2028, 2029))


def test_a_subdivision_adds_its_own_days() -> None:
    """Epiphany, Corpus Christi and All Saints' in Bavaria."""
    assert {date(2027, 1, 6), date(2027, 5, 27), date(2027, 11, 1)} == closed("DE", "BY") - closed("DE")
    assert date(2027, 8, 30) in closed("GB", "ENG")
    assert date(2027, 8, 30) not in closed("GB", "SCT")


def test_years_that_werent_asked_for_are_left_out() -> None:
    assert {day.year for day in closed("US", years=range(2026, 2030))} == {2026, 2027, 2028, 2029}


def test_the_shops_own_days_are_closed_whatever_the_country() -> None:
    own = hours(holiday_country=None, closed=(date(2027, 3, 10),))

    assert closed_days(own, [2027]) == {date(2027, 3, 10)}
    assert date(2027, 3, 10) in closed_days(hours(closed=(date(2027, 3, 10),)), [2027])


def test_a_calendar_is_closed_on_the_observed_day() -> None:
    calendar = calendar_of(hours(), closed("US"))

    assert not calendar.is_open(date(2027, 7, 5))
    assert calendar.first_open_day(date(2027, 7, 3)) == date(2027, 7, 6)


@pytest.mark.parametrize(
    ("country", "subdivision", "path", "code"),
    [
        ("XX", None, "hours.holiday_country", "unknown_holiday_country"),
        ("US", "ZZ", "hours.holiday_subdivision", "unknown_holiday_subdivision"),
    ],
)
def test_a_country_or_subdivision_that_isnt_known_is_named_with_its_file(
    country: str, subdivision: str | None, path: str, code: str
) -> None:
    with pytest.raises(InvalidData) as refused:
        closed_days(hours(holiday_country=country, holiday_subdivision=subdivision), [2027], file="mine.yaml")

    assert refused.value.file == "mine.yaml"
    assert [(fault.path, fault.code) for fault in refused.value.faults] == [(path, code)]

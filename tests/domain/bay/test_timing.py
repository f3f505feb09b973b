"""Real minutes: breaks and nights are taken out, clocks that ran at once are asked about. Hand-made times on the demo shop's hours."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from configurator.domain.bay.tasks import Timer
from configurator.domain.bay.timing import TimersDiffer, measured, worked_minutes
from configurator.domain.calendar import calendar_of
from configurator.loading.price_book import demo_price_book

ZONE = ZoneInfo("America/New_York")
CALENDAR = calendar_of(demo_price_book().hours, ())
"""Monday to Friday 08:30-12:30 and 13:15-17:30."""


def at(day: int, clock: str) -> datetime:
    hour, _, minute = clock.partition(":")
    return datetime(2027, 3, day, int(hour), int(minute), tzinfo=ZONE)


@pytest.mark.parametrize(
    ("start", "end", "minutes"),
    [
        (at(8, "09:00"), at(8, "10:30"), 90),
        (at(8, "12:00"), at(8, "13:45"), 60),
        (at(8, "12:00"), at(8, "13:00"), 60),
        (at(8, "12:45"), at(8, "14:00"), 75),
        (at(8, "17:00"), at(9, "09:00"), 60),
        (at(5, "17:00"), at(8, "09:00"), 60),
        (at(8, "18:00"), at(8, "19:00"), 60),
        (at(8, "16:30"), at(8, "18:30"), 120),
    ],
    ids=[
        "plain",
        "over the break",
        "stopped in the break",
        "started in the break",
        "overnight",
        "over a weekend",
        "evening",
        "stayed late",
    ],
)
def test_closed_time_that_lies_wholly_inside_is_taken_out(start: datetime, end: datetime, minutes: float) -> None:
    assert worked_minutes(start, end, CALENDAR) == pytest.approx(minutes)


def test_a_stretch_that_ends_before_it_starts_is_nothing() -> None:
    assert worked_minutes(at(8, "10:00"), at(8, "09:00"), CALENDAR) == 0


def test_a_clock_change_costs_no_minute() -> None:
    """US clocks go forward on 14 March 2027 (Energy Policy Act of 2005): the night between is an hour shorter, the work isn't."""
    assert worked_minutes(at(12, "17:00"), at(15, "09:00"), CALENDAR) == pytest.approx(60)


def test_people_who_took_over_from_each_other_add_up() -> None:
    timers = [Timer(1, "Tomas", at(8, "09:00"), at(8, "10:00")), Timer(2, "Wen", at(8, "10:00"), at(8, "10:45"))]

    assert measured("film_hood", timers, at(8, "12:00"), CALENDAR) == pytest.approx(105)


def test_a_running_timer_counts_up_to_now() -> None:
    assert measured("film_hood", [Timer(1, "Tomas", at(8, "09:00"))], at(8, "09:20"), CALENDAR) == pytest.approx(20)


def test_without_a_timer_nothing_is_known() -> None:
    assert measured("film_hood", [], at(8, "09:20"), CALENDAR) is None


def test_two_clocks_at_once_are_not_averaged_but_asked_about() -> None:
    timers = [Timer(1, "Tomas", at(8, "09:00"), at(8, "10:04")), Timer(2, "Wen", at(8, "09:00") - timedelta(minutes=7), at(8, "10:04"))]

    with pytest.raises(TimersDiffer) as asked:
        measured("film_hood", timers, at(8, "12:00"), CALENDAR)

    assert asked.value.minutes == pytest.approx({"Tomas": 64, "Wen": 71})


def test_one_persons_two_stretches_are_no_two_clocks() -> None:
    timers = [Timer(1, "Tomas", at(8, "09:00"), at(8, "09:30")), Timer(1, "Tomas", at(8, "10:00"), at(8, "10:30"))]

    assert measured("film_hood", timers, at(8, "12:00"), CALENDAR) == pytest.approx(60)

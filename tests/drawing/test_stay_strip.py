"""The stay strip: days in rows of seven, bars by the clock, noons that can be counted."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.timeline import days_off_road
from configurator.drawing.stay_strip import StayTimes, StripDay, StripWords, stay_strip, strip_days
from tests.drawing.reading import Node, assert_well_made, by_class, read, share, spans, words

ZONE = ZoneInfo("America/New_York")
WORDS = StripWords("Four days off-road, at most five.", "bring", "ready", "latest", "closed")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def times(drop_off: str, typical: str, high: str) -> StayTimes:
    return StayTimes(*(datetime.fromisoformat(text).replace(tzinfo=ZONE) for text in (drop_off, typical, high)))


def strip(stay: StayTimes, *, rtl: bool = False, closed: frozenset[int] = frozenset({5, 6})) -> str:
    days = [StripDay(day, WEEKDAYS[day.weekday()], str(day.day), closed=day.weekday() in closed) for day in strip_days(stay)]
    return stay_strip(stay, days, WORDS, prefix="stay", rtl=rtl)


FOUR_DAYS = times("2027-03-08 08:30", "2027-03-12 11:00", "2027-03-15 18:00")
ONE_DAY = times("2027-03-08 06:00", "2027-03-08 18:00", "2027-03-08 18:00")


def test_it_is_one_sentence_to_a_screen_reader_and_well_made() -> None:
    assert_well_made(strip(FOUR_DAYS), title=WORDS.title, prefix="stay")


def test_a_strip_begins_with_the_drop_off_and_has_whole_rows() -> None:
    assert strip_days(ONE_DAY) == tuple(date(2027, 3, 8) + timedelta(days=ahead) for ahead in range(7))
    assert len(strip_days(FOUR_DAYS)) == 14
    assert strip_days(times("2027-03-12 08:30", "2027-03-17 09:20", "2027-03-18 09:00"))[-1] == date(2027, 3, 18)


def test_bars_run_by_the_clock_from_midnight_to_midnight() -> None:
    """06:00 is a quarter and 18:00 three quarters into Monday, which is the first seventh of the width."""
    root = read(strip(ONE_DAY))

    assert spans(by_class(root, "figure-film")) == [(pytest.approx(0.25 / 7, abs=1e-4), pytest.approx(0.75 / 7, abs=1e-4))]
    assert by_class(root, "figure-may") == []


def test_a_longer_stay_goes_on_in_the_next_row() -> None:
    stay = times("2027-03-08 12:00", "2027-03-16 00:00", "2027-03-17 12:00")
    root = read(strip(stay))

    assert spans(by_class(root, "figure-film")) == [(pytest.approx(0.5 / 7, abs=1e-4), 1), (0, pytest.approx(1 / 7, abs=1e-4))]
    assert spans(by_class(root, "figure-may")) == [(pytest.approx(1 / 7, abs=1e-4), pytest.approx(2.5 / 7, abs=1e-4))]


def test_from_right_to_left_the_first_day_is_on_the_right() -> None:
    root = read(strip(ONE_DAY, rtl=True))

    assert spans(by_class(root, "figure-film")) == [(pytest.approx(1 - 0.75 / 7, abs=1e-4), pytest.approx(1 - 0.25 / 7, abs=1e-4))]


def under_days(root: Node) -> dict[str, str]:
    """Day number -> the word under it, of cells that hold both."""
    cells = [words(cell) for cell in root if cell.tag.endswith("svg")]
    return {cell[1]: cell[2] for cell in cells if len(cell) == 3}


def test_the_days_that_matter_are_named() -> None:
    assert under_days(read(strip(FOUR_DAYS))) == {"8": "bring", "12": "ready", "15": "latest"}


def test_back_on_the_same_day_and_no_later_it_says_ready_once() -> None:
    assert under_days(read(strip(ONE_DAY))) == {"8": "ready"}
    assert under_days(read(strip(times("2027-03-08 08:30", "2027-03-09 09:00", "2027-03-09 15:00")))) == {"8": "bring", "9": "ready"}


def test_closed_days_are_hatched_and_neighbours_share_the_word() -> None:
    root = read(strip(times("2027-03-10 08:30", "2027-03-11 09:00", "2027-03-11 09:00"), closed=frozenset({2, 5, 6, 0})))
    hatched = [node for node in root.iter() if node.get("fill") == "url(#stay-closed)"]

    assert words(root).count("closed") == 1
    assert len(hatched) == 4


def test_a_long_word_keeps_its_beginning_in_sight() -> None:
    days = [StripDay(day, "Mo", str(day.day)) for day in strip_days(ONE_DAY)]
    german = StripWords("x", "bringen", "abholbereit", "spätestens", "geschlossen")
    long = by_class(read(stay_strip(ONE_DAY, days, german, prefix="p")), "figure-tag-long")

    assert [(node.text, node.get("text-anchor")) for node in long] == [("abholbereit", "start")]


def noons(svg: str, class_: str) -> list[float]:
    return [share(node, "x1") for node in by_class(read(svg), class_)]


def test_noons_with_the_shop_are_marked_apart_from_those_that_may_be() -> None:
    svg = strip(FOUR_DAYS)

    assert noons(svg, "figure-noon") == [pytest.approx((day + 0.5) / 7, abs=1e-4) for day in range(4)]
    assert len(noons(svg, "figure-noon-may")) == 4


def test_exactly_noon_counts_at_the_end_and_not_at_the_beginning() -> None:
    svg = strip(times("2027-03-08 12:00", "2027-03-09 12:00", "2027-03-09 12:00"))

    assert noons(svg, "figure-noon") == [pytest.approx(1.5 / 7, abs=1e-4)]


@settings(deadline=None)
@given(
    st.datetimes(datetime(2027, 1, 1), datetime(2028, 12, 1)),
    st.timedeltas(timedelta(0), timedelta(days=25)),
    st.timedeltas(timedelta(0), timedelta(days=5)),
)
def test_the_marks_that_can_be_counted_are_the_days_off_road(start: datetime, typical: timedelta, late: timedelta) -> None:
    start = start.replace(microsecond=0, fold=0)
    stay = StayTimes(*(each.replace(microsecond=0, tzinfo=ZONE) for each in (start, start + typical, start + typical + late)))
    svg = strip(stay)
    counted, all_of_them = len(noons(svg, "figure-noon")), len(noons(svg, "figure-noon")) + len(noons(svg, "figure-noon-may"))

    assert max(1, counted) == days_off_road(stay.drop_off, stay.typical)
    assert max(1, all_of_them) == days_off_road(stay.drop_off, stay.high)


def test_the_same_stay_gives_the_same_bytes() -> None:
    assert strip(FOUR_DAYS) == strip(FOUR_DAYS)

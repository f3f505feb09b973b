"""The work chart: everybody's bars, where they are, and where nobody is in."""

from datetime import date, time

import pytest

from configurator.domain.calendar import ShopCalendar
from configurator.domain.scheduling import timeline
from configurator.domain.timeline import Stay
from configurator.domain.work import Kind
from configurator.drawing.work_chart import LOOKS, ChartWords, chart_days, work_chart
from configurator.loading.price_book import demo_price_book
from tests.drawing.reading import SVG, Node, assert_well_made, by_class, read, spans, words
from tests.work_builders import MONDAY, ROBIN, TOMAS, person, shop, worked_example

TITLE = "Monday to Wednesday, five people."


def stay_in(calendar: ShopCalendar, drop_off: date = MONDAY) -> Stay:
    return timeline(worked_example(), calendar, drop_off, demo_price_book()).typical


def chart(calendar: ShopCalendar, drop_off: date = MONDAY, *, rtl: bool = False) -> str:
    stay = stay_in(calendar, drop_off)
    in_words = ChartWords(
        title=TITLE,
        bay="Bay 1",
        settles="settles",
        not_in="not in",
        closed="closed",
        opens="8:30",
        days={day: f"{day:%a} {day.day}" for day in chart_days(stay, calendar)},
        people={"Jost Hamel": "Jost Hamel, assembler"},
        operations={"film_front": "Front bumper & hood"},
    )
    return work_chart(stay, worked_example(), calendar, in_words, prefix="work", rtl=rtl)


def of_work(root: Node) -> list[Node]:
    return [node for look in ("check", "prep", "parts", "film") for node in by_class(root, f"figure-{look}")]


def test_it_is_one_sentence_to_a_screen_reader_and_well_made() -> None:
    assert_well_made(chart(shop()), title=TITLE, prefix="work")


def test_every_placed_span_has_its_bar_and_its_words() -> None:
    root = read(chart(shop()))
    named = {node.text for node in root.iter(f"{SVG}title")}

    assert len(of_work(root)) == len(stay_in(shop()).placed)
    assert {"Front bumper & hood", "bumper_off", "wash", "inspect"} <= named


def test_a_bar_lies_where_its_time_lies_in_its_day() -> None:
    """Check-in is Monday 08:30 to 08:50 of a day from 08:30 to 17:30, one of five days: 0 to 20 / 540 / 5 of the width."""
    first = by_class(read(chart(shop())), "figure-check")[0]

    assert spans([first]) == [(0, pytest.approx(20 / 540 / 5, abs=1e-4))]


def test_the_bay_is_held_from_drop_off_to_hand_back() -> None:
    """To Wednesday 09:20: two days and 50 of 540 minutes."""
    assert spans(by_class(read(chart(shop())), "figure-bay")) == [(0, pytest.approx((2 + 50 / 540) / 5, abs=1e-4))]


def test_from_right_to_left_the_week_begins_on_the_right() -> None:
    assert spans(by_class(read(chart(shop(), rtl=True)), "figure-bay")) == [(pytest.approx(1 - (2 + 50 / 540) / 5, abs=1e-4), 1)]


def test_people_have_a_row_in_the_order_of_the_book_and_their_own_days() -> None:
    root = read(chart(shop()))

    assert [node.text for node in by_class(root, "figure-name")] == [
        "Bay 1",
        "Robin Hale",
        "Tomas Reyl",
        "Wen Adair",
        "Jost Hamel, assembler",
    ]
    assert words(root).count("not in") == 3


def test_a_stay_over_a_weekend_takes_two_blocks_without_the_days_on_which_the_shop_never_opens() -> None:
    friday = date(2027, 3, 12)
    days = chart_days(stay_in(shop(), friday), shop())
    root = read(chart(shop(), friday))

    assert [day.isoformat() for day in days[::9]] == ["2027-03-08", "2027-03-19"]
    assert len(days) == 10
    assert [node.text for node in by_class(root, "figure-name")].count("Bay 1") == 2
    assert spans(by_class(root, "figure-bay")) == [(0.8, 1), (0, pytest.approx((2 + 50 / 540) / 5, abs=1e-4))]


def test_a_closed_day_is_hatched_in_every_row_and_says_so() -> None:
    calendar = shop(closed=[date(2027, 3, 12)])

    assert words(read(chart(calendar))).count("closed") == 5


def test_a_shop_that_is_open_at_all_hours_fits_too() -> None:
    both = person("Ines Calder", "installer", "assembler", "advisor", weekdays=range(7))
    calendar = shop((both,), spans=[(time(0), time(0))], weekdays=range(7))
    root = read(chart(calendar))

    assert len(chart_days(stay_in(calendar), calendar)) == 7
    assert all(0 <= start < end <= 1.0001 for start, end in spans(of_work(root)))


def test_a_break_is_tinted_on_open_days_only() -> None:
    """Three rows on five open days each; the assembler's row on his two days."""
    assert len(by_class(read(chart(shop())), "figure-break")) == 4 * 5 + 2


def test_every_kind_of_work_by_hands_has_its_look() -> None:
    assert set(LOOKS) == set(Kind) - {Kind.SETTLE}


def test_the_same_stay_gives_the_same_bytes() -> None:
    calendar = shop((ROBIN, TOMAS, person("Jost Hamel", "assembler")))

    assert chart(calendar) == chart(calendar)

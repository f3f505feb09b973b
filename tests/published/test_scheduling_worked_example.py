"""One job, five calendars, worked by hand on paper.

Minutes: check-in 20, wash 120, parts off 60 (assembler) and 10 (installer), film front 300, left 90, right 90, parts on 75 and 10,
settle 720 of clock time, inspect 30, hand-over 20. Open 08:30-12:30 and 13:15-17:30.

Common to all: check-in to 08:50, wash to 10:50, badge off to 11:00.

B1 Monday, two installers, assembler on Tuesday and Thursday: bumper off Tuesday 08:30-09:30; film max(480 / 2, 300) = 300 from 09:30:
   180 to the break, 120 from 13:15 to 15:15; parts on 75 to 16:30; settled Wednesday 03:15; inspected 08:30-09:00; back 09:20.
   Noons Monday and Tuesday: 2. Open hours 8.25 + 8.25 + 0.833 = 17.333.
B2 Front 390 instead of 300: film Tuesday 09:30-16:45; parts on 45 minutes on Tuesday and 30 on Thursday, to 09:00; back Thursday 09:50.
B3 One installer: film 480 from Tuesday 09:30 to Wednesday 09:15; parts on Thursday to 09:45; back 10:35.
B4 Assembler in every day: bumper off Monday 10:50-11:50; film from Monday 11:50 to Tuesday 08:35; parts on to 09:50; settled 20:35.
B5 Friday: bumper off only on Tuesday, so as B1 from then on; noons Friday to Tuesday: 5. Clocks change on that Sunday.
"""

from datetime import date, timedelta

import pytest

from configurator.domain.calendar import ShopCalendar
from configurator.domain.scheduling import timeline
from configurator.loading.price_book import demo_price_book
from tests.work_builders import JOST, MONDAY, ROBIN, TOMAS, WEEKDAYS, WEN, person, shop, worked_example

FRIDAY = MONDAY + timedelta(days=4)
EVERY_DAY = person(JOST.name, "assembler", weekdays=WEEKDAYS)

CASES = {
    "B1": (shop(), 300, MONDAY, "Tue 09:30-15:15", "Tue 16:30", "Wed 03:15", "Wed 09:20", 2, 17.333),
    "B2": (shop(), 390, MONDAY, "Tue 09:30-16:45", "Thu 09:00", "Wed 04:45", "Thu 09:50", 3, 26.083),
    "B3": (shop((ROBIN, TOMAS, JOST)), 300, MONDAY, "Tue 09:30-09:15", "Thu 09:45", "Wed 21:15", "Thu 10:35", 3, 26.833),
    "B3, one at the car": (shop(installers_per_car=1), 300, MONDAY, "Tue 09:30-09:15", "Thu 09:45", "Wed 21:15", "Thu 10:35", 3, 26.833),
    "B4": (shop((ROBIN, TOMAS, WEN, EVERY_DAY)), 300, MONDAY, "Mon 11:50-08:35", "Tue 09:50", "Tue 20:35", "Wed 09:20", 2, 17.333),
    "B5": (shop(), 300, FRIDAY, "Tue 09:30-15:15", "Tue 16:30", "Wed 03:15", "Wed 09:20", 5, 25.583),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_worked_example(case: tuple[ShopCalendar, float, date, str, str, str, str, int, float]) -> None:
    calendar, front, drop_off, film, parts_on, settled, hand_back, days, bay_hours = case
    stay = timeline(worked_example(front), calendar, drop_off, demo_price_book()).typical
    phases = {each.phase: each for each in stay.phases}

    assert f"{phases['film'].start:%a %H:%M}-{phases['film'].end:%H:%M}" == film
    assert f"{phases['parts_on'].end:%a %H:%M}" == parts_on
    assert f"{phases['settle'].end:%a %H:%M}" == settled
    assert f"{stay.hand_back:%a %H:%M}" == hand_back
    assert stay.days_off_road == days
    assert stay.bay_minutes / 60 == pytest.approx(bay_hours, abs=0.001)


def test_who_does_what_in_b1() -> None:
    placed = timeline(worked_example(), shop(), MONDAY, demo_price_book()).typical.placed

    assert [f"{span.operation} {span.who.split()[0]} {span.start:%a %H:%M}-{span.end:%H:%M}" for span in placed] == [
        "check_in Robin Mon 08:30-08:50",
        "wash Tomas Mon 08:50-10:50",
        "badge_off Tomas Mon 10:50-11:00",
        "bumper_off Jost Tue 08:30-09:30",
        "film_front Tomas Tue 09:30-12:30",
        "film_left Wen Tue 09:30-11:00",
        "film_right Wen Tue 11:00-12:30",
        "film_front Tomas Tue 13:15-15:15",
        "badge_on Tomas Tue 15:15-15:25",
        "bumper_on Jost Tue 15:15-16:30",
        "inspect Tomas Wed 08:30-09:00",
        "hand_over Robin Wed 09:00-09:20",
    ]

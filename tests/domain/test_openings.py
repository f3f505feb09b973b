"""Free places: bays, hands, order, bounds."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.calendar import ShopCalendar
from configurator.domain.openings import MOST_DAYS_AHEAD, MOST_OPENINGS, booking_of, is_free, openings
from configurator.domain.scheduling import timeline
from configurator.domain.timeline import Booking, Opening
from configurator.domain.work import Kind, Operation, Role, Zone
from configurator.loading.price_book import demo_price_book
from tests.work_builders import MONDAY, ROBIN, TOMAS, WEN, operation, person, shop, worked_example
from tests.work_strategies import DROP_OFFS, jobs, shops

BOOK = demo_price_book()
ONE_BAY = shop(bays=1)
SHORT_JOB = [
    operation("check_in", Kind.CHECK_IN, 15, role=Role.ADVISOR),
    operation("film", Kind.FILM, 200, zone=Zone.NOSE),
    operation("hand_over", Kind.HAND_OVER, 20, role=Role.ADVISOR),
]
"""Brought at 08:30, back at 13:10 plus the break: 13:20."""


def find(
    work: list[Operation],
    calendar: ShopCalendar,
    bookings: Iterable[Booking] = (),
    *,
    start: date = MONDAY,
    days: int = 14,
    limit: int = 10,
) -> tuple[Opening, ...]:
    return openings(work, calendar, bookings, start, days, limit, BOOK)


def held(calendar: ShopCalendar, bay: int, start: str, end: str, installer_minutes: tuple[tuple[date, float], ...] = ()) -> Booking:
    moments = (datetime.fromisoformat(text).replace(tzinfo=calendar.zone) for text in (start, end))
    return Booking(bay, *moments, installer_minutes=installer_minutes)


def drop_offs(found: Iterable[Opening]) -> list[str]:
    return [f"{each.drop_off:%a %d %H:%M}" for each in found]


def test_in_an_empty_shop_every_open_day_is_free_and_in_date_order() -> None:
    found = find(worked_example(), shop(), days=8)

    assert drop_offs(found) == ["Mon 08 08:30", "Tue 09 08:30", "Wed 10 08:30", "Thu 11 08:30", "Fri 12 08:30", "Mon 15 08:30"]
    assert {each.bay for each in found} == {1}


def test_an_opening_carries_both_hand_backs_as_the_timeline_gives_them() -> None:
    opening = find(worked_example(), shop(), limit=1)[0]
    stays = timeline(worked_example(), shop(), MONDAY, BOOK)

    assert (opening.hand_back_typical, opening.hand_back_high) == (stays.typical.hand_back, stays.high.hand_back)
    assert (opening.days_typical, opening.days_high) == (stays.typical.days_off_road, stays.high.days_off_road)


def test_exactly_one_the_first_of_the_shortest_stays_is_marked() -> None:
    """Monday's car is back on Wednesday morning, Tuesday's on Thursday: two noons each."""
    found = find(worked_example(), shop(), days=14)
    marked = [each for each in found if each.shortest]

    assert [f"{each.drop_off:%a %d}" for each in marked] == ["Mon 08"]
    assert marked[0].days_typical == min(each.days_typical for each in found)


def test_the_last_opening_isnt_past_the_horizon_and_there_arent_more_than_asked() -> None:
    assert drop_offs(find(worked_example(), shop(), days=2)) == ["Mon 08 08:30", "Tue 09 08:30"]
    assert drop_offs(find(worked_example(), shop(), limit=1)) == ["Mon 08 08:30"]
    assert find(worked_example(), shop(), days=0) == find(worked_example(), shop(), limit=0) == ()


def test_count_and_horizon_are_bounded_whatever_is_asked() -> None:
    full = [held(ONE_BAY, 1, "2027-01-01 00:00", "2028-12-31 00:00")]

    assert len(find(SHORT_JOB, shop(), days=100_000, limit=100_000)) == MOST_OPENINGS
    assert find(SHORT_JOB, ONE_BAY, full, days=100_000) == ()
    assert MOST_DAYS_AHEAD == 366


def test_one_bay_is_free_again_when_the_car_before_leaves() -> None:
    """Held from Monday 08:30 to Wednesday 09:20: the next car can come that Wednesday at 09:30, the next full quarter of an hour."""
    bookings = [held(ONE_BAY, 1, "2027-03-08 08:30", "2027-03-10 09:20")]

    assert drop_offs(find(SHORT_JOB, ONE_BAY, bookings, days=4)) == ["Wed 10 09:30", "Thu 11 08:30"]


def test_a_car_that_leaves_in_the_break_or_at_closing_time_frees_the_next_opening() -> None:
    in_the_break = [held(ONE_BAY, 1, "2027-03-08 08:30", "2027-03-08 12:30")]
    at_closing = [held(ONE_BAY, 1, "2027-03-08 08:30", "2027-03-08 17:30")]

    assert drop_offs(find(SHORT_JOB, ONE_BAY, in_the_break, limit=1)) == ["Mon 08 13:15"]
    assert drop_offs(find(SHORT_JOB, ONE_BAY, at_closing, limit=1)) == ["Tue 09 08:30"]


def test_a_job_must_be_out_of_the_bay_before_the_next_booking() -> None:
    """The high hand-back counts: the next car has a promise too."""
    high = timeline(SHORT_JOB, ONE_BAY, MONDAY, BOOK).high.hand_back
    just_fits = [held(ONE_BAY, 1, f"{high:%Y-%m-%d %H:%M:%S}", "2027-03-12 17:30")]
    a_second_short = [held(ONE_BAY, 1, f"{high - timedelta(seconds=1):%Y-%m-%d %H:%M:%S}", "2027-03-12 17:30")]

    assert drop_offs(find(SHORT_JOB, ONE_BAY, just_fits, limit=1)) == ["Mon 08 08:30"]
    assert drop_offs(find(SHORT_JOB, ONE_BAY, a_second_short, limit=1)) == ["Mon 15 08:30"]


def test_the_other_bay_is_taken_where_one_is_held() -> None:
    bookings = [held(shop(), 1, "2027-03-08 08:30", "2027-03-12 17:30")]

    assert [each.bay for each in find(SHORT_JOB, shop(), bookings, days=8)] == [2, 2, 2, 2, 2, 1]


def test_a_free_bay_without_free_hands_isnt_a_place() -> None:
    """Both installers are booked for all of Monday, one of them on Tuesday; the job needs 200 minutes of one."""
    busy = [held(shop(), 1, "2027-03-08 08:30", "2027-03-09 17:30", ((MONDAY, 990.0), (MONDAY + timedelta(days=1), 495.0)))]

    assert drop_offs(find(SHORT_JOB, shop(), busy, days=3)) == ["Tue 09 08:30", "Wed 10 08:30"]


def test_the_assemblers_day_is_counted_too() -> None:
    """Jost's Tuesday is full: a job with parts off can't come on Monday or Tuesday; brought on Wednesday it meets him on Thursday."""
    tuesday = MONDAY + timedelta(days=1)
    full = replace(held(shop(), 1, "2027-03-08 08:30", "2027-03-09 17:30"), assembler_minutes=((tuesday, 480.0),))

    assert drop_offs(find(worked_example(), shop(), [full], days=5)) == ["Wed 10 08:30", "Thu 11 08:30", "Fri 12 08:30"]


def test_an_assembler_on_thursdays_only_makes_wednesday_the_day_to_come() -> None:
    """Brought on Thursday the parts come off at once and go on a week later; on Wednesday both fit into one Thursday."""
    jost = person("Jost Hamel", "assembler", weekdays=[3])
    found = find(worked_example(), shop((ROBIN, TOMAS, WEN, jost)), days=5)

    assert [(f"{each.drop_off:%a}", each.days_typical) for each in found] == [("Mon", 4), ("Tue", 3), ("Wed", 2), ("Thu", 7), ("Fri", 7)]


def test_a_holiday_week_offers_nothing() -> None:
    calendar = shop(closed=[MONDAY + timedelta(days=day) for day in range(7)])

    assert drop_offs(find(SHORT_JOB, calendar, limit=1)) == ["Mon 15 08:30"]
    assert find(SHORT_JOB, calendar, days=7) == ()


def test_a_day_without_anybody_to_take_cars_in_isnt_offered() -> None:
    robin = person("Robin Hale", "advisor", days_off=[MONDAY])

    assert drop_offs(find(SHORT_JOB, shop((robin, TOMAS)), limit=1)) == ["Tue 09 08:30"]


def test_work_that_nobody_can_do_finds_no_place() -> None:
    assert find(worked_example(), shop((ROBIN, TOMAS))) == ()


def test_bookings_in_another_time_zone_are_the_same_moments() -> None:
    local = held(ONE_BAY, 1, "2027-03-08 08:30", "2027-03-10 09:20")
    in_utc = replace(local, start=local.start.astimezone(UTC), end=local.end.astimezone(UTC))

    assert find(SHORT_JOB, ONE_BAY, [local]) == find(SHORT_JOB, ONE_BAY, [in_utc])


def test_a_bay_is_free_up_to_and_from_the_moments_of_its_bookings() -> None:
    booking = held(ONE_BAY, 1, "2027-03-08 08:30", "2027-03-10 09:20")
    before, start, end, after = (
        datetime(2027, 3, day, hour, minute, tzinfo=ONE_BAY.zone) for day, hour, minute in ((5, 9, 0), (8, 8, 30), (10, 9, 20), (11, 9, 0))
    )

    assert is_free([booking], 1, before, start)
    assert is_free([booking], 1, end, after)
    assert is_free([booking], 2, start, end)
    assert not is_free([booking], 1, end - timedelta(seconds=1), after)
    assert not is_free([booking], 1, before, after)


def test_a_bay_is_told_apart_in_the_hour_that_the_clock_shows_twice() -> None:
    """7 November 2027, New York: 01:30 summer time comes an hour before 01:30 winter time."""
    first, second = (datetime(2027, 11, 7, 1, 30, tzinfo=ONE_BAY.zone, fold=fold) for fold in (0, 1))
    booking = Booking(1, first - timedelta(hours=5), first)

    assert is_free([booking], 1, first, second)
    assert not is_free([Booking(1, first, second)], 1, first.replace(minute=45), second)


def test_a_booking_holds_the_bay_and_counts_hands_by_day() -> None:
    stay = timeline(worked_example(), shop(), MONDAY, BOOK).typical
    booking = booking_of(stay, 2, worked_example())

    assert (booking.bay, booking.start, booking.end) == (2, stay.drop_off, stay.hand_back)
    assert booking.installer_minutes == ((date(2027, 3, 8), 130.0), (date(2027, 3, 9), 490.0), (date(2027, 3, 10), 30.0))
    assert booking.assembler_minutes == ((date(2027, 3, 9), 135.0),)


def test_hands_past_midnight_count_on_both_days() -> None:
    night = shop(
        [person(each.name, *each.roles, weekdays=range(7)) for each in (ROBIN, TOMAS)], spans=[(time(0), time(0))], weekdays=range(7)
    )
    work = [operation("film", Kind.FILM, 26 * 60, zone=Zone.NOSE)]
    stay = timeline(work, night, MONDAY, BOOK).typical

    assert booking_of(stay, 1, work).installer_minutes == ((MONDAY, 1440.0), (MONDAY + timedelta(days=1), 120.0))


@settings(max_examples=40, deadline=None)
@given(jobs(), st.integers(2, 5), shops(), DROP_OFFS)
def test_places_taken_one_after_the_other_never_share_a_bay_or_overbook_a_day(
    job: list[Operation], cars: int, calendar: ShopCalendar, day: date
) -> None:
    bookings: list[Booking] = []
    for _ in range(cars):
        found = openings(job, calendar, bookings, day, 60, 1, BOOK)
        if not found:
            return
        stay = timeline(job, calendar, found[0].drop_off, BOOK).high
        assert (stay.drop_off, stay.hand_back) == (found[0].drop_off, found[0].hand_back_high)
        assert is_free(bookings, found[0].bay, stay.drop_off, stay.hand_back)
        bookings.append(booking_of(stay, found[0].bay, job))

    for role, days in ((Role.INSTALLER, "installer_minutes"), (Role.ASSEMBLER, "assembler_minutes")):
        for each_day in {each for booking in bookings for each, _ in getattr(booking, days)}:
            spent = sum(minutes for booking in bookings for each, minutes in getattr(booking, days) if each == each_day)
            assert spent <= calendar.minutes_in(role, each_day) + 0.2


@pytest.mark.parametrize("bays", [1, 2])
def test_a_busy_shop_still_answers_with_its_first_free_places(bays: int) -> None:
    calendar = shop(bays=bays)
    bookings = [
        held(calendar, bay, f"2027-03-{day:02d} 08:30", f"2027-03-{day + 1:02d} 17:30")
        for day in range(8, 30, 2)
        for bay in range(1, bays + 1)
    ]

    assert drop_offs(find(SHORT_JOB, calendar, bookings, days=60, limit=1)) == ["Tue 30 08:30"]

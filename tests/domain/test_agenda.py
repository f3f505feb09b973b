"""Places against what stands in the calendar: whatever is placed, moved, given up or blocked, no bay and no hands are given twice."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.agenda import HANDS, Agenda, Taken, days_of, hand_minutes, in_the_way
from configurator.domain.appointments import Block, Choice, Place, place_at
from configurator.domain.calendar import NothingOpen, ShopCalendar
from configurator.domain.openings import openings
from configurator.domain.timeline import Booking
from configurator.domain.work import Operation, Role
from configurator.loading.price_book import demo_price_book
from tests.work_builders import MONDAY, shop, worked_example
from tests.work_strategies import jobs, shops

BOOK = demo_price_book()
LONG_AGO = datetime(2027, 1, 1, tzinfo=UTC)


def wall(text: str, calendar: ShopCalendar | None = None) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=(calendar or shop()).zone)


def tried(choice: Choice, agenda: Agenda, usual: ShopCalendar, job: Sequence[Operation]) -> tuple[Place, tuple[str, ...]]:
    calendar = agenda.calendar(usual)
    place = place_at(job, calendar, choice, choice.bay or 1, BOOK)
    return place, tuple(message.code for message in in_the_way(choice, place, agenda, calendar, LONG_AGO))


def test_an_empty_calendar_is_free() -> None:
    place, why = tried(Choice(wall("2027-03-08 08:30"), 1), Agenda(), shop(), worked_example())

    assert why == ()
    assert (place.bay, place.drop_off) == (1, wall("2027-03-08 08:30"))
    assert place.drop_off < place.typical_end <= place.late_end
    assert place.settles is not None
    assert place.settles[1] - place.settles[0] == timedelta(hours=12)


@pytest.mark.parametrize(
    ("when", "opens"),
    [
        ("2027-03-08 07:00", "2027-03-08 08:30"),
        ("2027-03-08 12:40", "2027-03-08 13:15"),
        ("2027-03-08 18:00", "2027-03-09 08:30"),
        ("2027-03-13 10:00", "2027-03-15 08:30"),
    ],
)
def test_a_car_can_not_come_while_the_shop_is_closed(when: str, opens: str) -> None:
    choice = Choice(wall(when), 1)
    calendar = shop()
    place = place_at(worked_example(), calendar, choice, 1, BOOK)
    (message,) = in_the_way(choice, place, Agenda(), calendar, LONG_AGO)

    assert message.code == "place_closed"
    assert message.facts["opens"] == wall(opens)


def test_what_has_passed_has_passed() -> None:
    choice, calendar = Choice(wall("2027-03-08 08:30"), 1), shop()
    place = place_at(worked_example(), calendar, choice, 1, BOOK)

    for now, codes in ((wall("2027-03-08 08:30"), []), (wall("2027-03-08 08:31"), ["place_past"])):
        assert [message.code for message in in_the_way(choice, place, Agenda(), calendar, now)] == codes


def test_the_calendar_runs_a_year_ahead() -> None:
    """A year that was mistyped puts a car where nobody looks."""
    calendar = shop()
    for day, codes in (("2028-01-03", []), ("2028-01-04", ["place_too_far"]), ("2072-03-08", ["place_too_far"])):
        choice = Choice(wall(f"{day} 08:30"), 1)
        place = place_at(worked_example(), calendar, choice, 1, BOOK)
        now = datetime(2027, 1, 2, 12, tzinfo=UTC)
        assert [message.code for message in in_the_way(choice, place, Agenda(), calendar, now)] == codes


def test_a_bay_is_taken_to_the_minute() -> None:
    """One car may come the moment another leaves."""
    taken = Taken("A", Booking(1, wall("2027-03-05 08:30"), wall("2027-03-08 09:30")))
    agenda = Agenda((taken,))

    assert tried(Choice(wall("2027-03-08 09:00"), 1), agenda, shop(), worked_example())[1] == ("place_bay_held",)
    assert tried(Choice(wall("2027-03-08 09:30"), 1), agenda, shop(), worked_example())[1] == ()
    assert tried(Choice(wall("2027-03-08 09:00"), 2), agenda, shop(), worked_example())[1] == ()
    assert tried(Choice(wall("2027-03-08 09:00"), 1), agenda.without("A"), shop(), worked_example())[1] == ()


def test_hands_are_counted_by_day_and_role() -> None:
    """The worked example takes 130 installer minutes on its Monday; two installers have 990."""
    monday = date(2027, 3, 8)
    for taken, codes in ((860.0, ()), (861.0, ("place_hands_short",))):
        agenda = Agenda((Taken("A", Booking(2, wall("2027-03-08 08:30"), wall("2027-03-08 17:30"), ((monday, taken),))),))
        assert tried(Choice(wall("2027-03-08 08:30"), 1), agenda, shop(), worked_example())[1] == codes


def test_a_day_off_is_of_the_shops_own_clock() -> None:
    """Berlin's midnight is 23:00 UTC the evening before."""
    berlin = shop(time_zone="Europe/Berlin")
    block = Block(start=datetime(2027, 3, 8, 23, tzinfo=UTC), end=datetime(2027, 3, 10, 23, tzinfo=UTC), person="Tomas Reyl")

    assert list(days_of(block, berlin)) == [date(2027, 3, 9), date(2027, 3, 10)]
    calendar = Agenda(blocks=(block,)).calendar(berlin)
    assert [calendar.minutes_in(Role.INSTALLER, MONDAY + timedelta(days=day)) for day in range(4)] == [990, 495, 495, 990]


def test_days_off_add_to_those_of_the_price_book() -> None:
    usual = shop()
    first = usual.hours.people[1]
    usual = replace(
        usual, hours=replace(usual.hours, people=(usual.hours.people[0], replace(first, days_off=(MONDAY,)), *usual.hours.people[2:]))
    )
    block = Block(start=wall("2027-03-09 00:00"), end=wall("2027-03-10 00:00"), person=first.name)
    calendar = Agenda(blocks=(block,)).calendar(usual)

    assert calendar.hours.people[1].days_off == (MONDAY, MONDAY + timedelta(days=1))


ACTS = st.tuples(
    st.sampled_from(["place", "place", "move", "release", "block_bay", "next"]),
    st.integers(0, 4), st.integers(0, 20), st.integers(7, 18), st.integers(1, 2),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(jobs(), shops(), st.lists(ACTS, max_size=14))
def test_whatever_is_placed_moved_or_given_up_nothing_is_given_twice(
    job: list[Operation], usual: ShopCalendar, acts: list[tuple[str, int, int, int, int]]
) -> None:
    """The rule that the services keep, on the agenda alone: a place is taken only when nothing is in its way."""
    agenda = Agenda()
    for what, car, day, hour, bay in acts:
        drop_off = datetime.combine(MONDAY + timedelta(days=day), time(hour), usual.zone)
        agenda = _after(what, f"car {car}", Choice(drop_off, bay), agenda, usual, job)
        _nothing_is_given_twice(agenda, usual)


def _after(what: str, car: str, choice: Choice, agenda: Agenda, usual: ShopCalendar, job: Sequence[Operation]) -> Agenda:
    others = agenda.without(car)
    if what == "release":
        return others
    if what == "block_bay":
        block = Block(start=choice.drop_off, end=choice.drop_off + timedelta(hours=5), bay=choice.bay, reason="x")
        free = all(each.end <= block.start or block.end <= each.start for each in agenda.bookings if each.bay == choice.bay)
        return replace(agenda, blocks=(*agenda.blocks, block)) if free else agenda
    if what == "move" and others == agenda:
        return agenda
    try:
        if what == "next":
            found = openings(job, others.calendar(usual), others.bookings, choice.drop_off.date(), 40, 1, BOOK)
            choice = Choice(found[0].drop_off, found[0].bay) if found else choice
            place, why = tried(choice, others, usual, job)
            assert not (found and why), "what is offered as free must be free"
        else:
            place, why = tried(choice, others, usual, job)
    except NothingOpen:
        return agenda
    return replace(others, jobs=(*others.jobs, Taken(car, place.booking))) if not why else agenda


def _nothing_is_given_twice(agenda: Agenda, usual: ShopCalendar) -> None:
    bookings = agenda.bookings
    for index, one in enumerate(bookings):
        for other in bookings[index + 1 :]:
            assert one.bay != other.bay or one.end <= other.start or other.end <= one.start
    for role in HANDS:
        for day in {day for booking in bookings for day, _ in hand_minutes(booking, role)}:
            spent = sum(minutes for booking in bookings for each, minutes in hand_minutes(booking, role) if each == day)
            assert spent <= usual.minutes_in(role, day) + 0.2
            assert agenda.minutes(role, day) == pytest.approx(spent)

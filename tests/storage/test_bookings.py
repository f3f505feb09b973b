"""The store's promises about bookings, blocks and feeds, on both databases."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy.exc import IntegrityError

from configurator.domain.agenda import Today
from configurator.domain.appointments import Block
from configurator.domain.desk import CLOCK, Event
from configurator.domain.review import Actor, State
from configurator.storage.store import SqlStore
from tests.booking_builders import ZONE, a_place, accept, at
from tests.desk_builders import NOON

DAY = date(2027, 3, 15)


def day_of(now: datetime) -> Today:
    return Today.at(now, ZONE)


def test_a_booking_comes_back_as_it_went_in(store: SqlStore) -> None:
    request = accept(store)
    place = replace(
        a_place(2, typical="2027-03-17 09:00", installer_minutes=((DAY, 310.25),), assembler_minutes=((DAY, 45.5),)),
        settles=(at("2027-03-16 15:00"), at("2027-03-17 03:00")),
    )
    with store.writing() as work:
        kept = work.bookings.keep(request, place, NOON)
    with store.reading() as work:
        found = work.bookings.of(request)

    assert found == kept
    assert found is not None
    assert found.place == place
    assert (found.sequence, found.made_at, found.released_at) == (0, NOON, None)


def test_a_booking_that_moves_or_ends_keeps_its_uid_and_counts_its_changes(store: SqlStore) -> None:
    request = accept(store)
    with store.writing() as work:
        first = work.bookings.keep(request, a_place(1), NOON)
        second = work.bookings.keep(request, a_place(2), NOON + timedelta(hours=1))
        third = work.bookings.release(request, NOON + timedelta(hours=2))
        nothing_more = work.bookings.release(request, NOON + timedelta(hours=3))
        fourth = work.bookings.keep(request, a_place(1), NOON + timedelta(hours=4))

    assert third is not None
    assert nothing_more is None
    assert {each.uid for each in (first, second, third, fourth)} == {first.uid}
    assert [each.sequence for each in (first, second, third, fourth)] == [0, 1, 2, 3]
    assert (third.released_at, fourth.released_at) == (NOON + timedelta(hours=2), None)


def test_the_agenda_holds_what_is_not_over_and_not_released(store: SqlStore) -> None:
    over, now, gone = (accept(store, number) for number in (1, 2, 3))
    with store.writing() as work:
        work.bookings.keep(over, a_place(1, "2027-03-01 08:30", "2027-03-02 09:00"), NOON)
        work.bookings.keep(now, a_place(1), NOON)
        work.bookings.keep(gone, a_place(2), NOON)
        work.bookings.release(gone, NOON)
        work.blocks.add(Block(start=at("2027-03-20 00:00"), end=at("2027-03-21 00:00"), bay=2, reason="service"), None, NOON)
        agenda = work.bookings.agenda(day_of(at("2027-03-10 08:00")))

    assert [(job.reference, job.booking) for job in agenda.jobs] == [(now.reference, a_place(1).booking)]
    assert [block.bay for block in agenda.blocks] == [2]


def test_a_car_that_was_handed_over_early_has_left_its_bay(store: SqlStore) -> None:
    request = accept(store)
    with store.writing() as work:
        work.bookings.keep(request, a_place(1, "2027-03-15 08:30", "2027-03-19 17:30"), NOON)
        early = at("2027-03-17 15:00")
        work.requests.move(request, State.HANDED_OVER, Event(at=early, by=CLOCK, kind="moved", target=State.HANDED_OVER))
        agenda = work.bookings.agenda(day_of(at("2027-03-16 00:00")))
        later = work.bookings.agenda(day_of(at("2027-03-18 00:00")))

    assert [job.booking.end for job in agenda.jobs] == [early]
    assert later.jobs == ()


def test_a_car_that_should_have_left_and_has_not_holds_its_bay_for_the_rest_of_the_day(store: SqlStore) -> None:
    request = accept(store)
    with store.writing() as work:
        work.bookings.keep(request, a_place(1, "2027-03-15 08:30", "2027-03-17 10:00"), NOON)
        work.requests.move(request, State.IN_BAY, Event(at=NOON, by=CLOCK, kind="moved", target=State.IN_BAY))
        in_time = work.bookings.agenda(day_of(at("2027-03-17 09:59")))
        late = work.bookings.agenda(day_of(at("2027-03-17 10:00")))
        next_day = work.bookings.agenda(day_of(at("2027-03-18 08:30")))
        (job,) = work.bookings.jobs(at("2027-03-15 00:00"), at("2027-03-22 00:00"), day_of(at("2027-03-18 08:30")))

    assert [each.booking.end for each in in_time.jobs] == [at("2027-03-17 10:00")]
    assert [each.booking.end for each in late.jobs] == [at("2027-03-18 00:00")]
    assert [each.booking.end for each in next_day.jobs] == [at("2027-03-19 00:00")]
    assert job.is_overdue


@pytest.mark.parametrize("state", [State.WITHDRAWN, State.DECLINED, State.RECEIVED])
def test_a_booking_counts_only_while_its_request_is_on(store: SqlStore, state: State) -> None:
    request = accept(store)
    with store.writing() as work:
        work.bookings.keep(request, a_place(1), NOON)
        work.requests.move(request, state, Event(at=NOON, by=CLOCK, kind="moved", target=state))

        assert work.bookings.agenda(day_of(NOON)).jobs == ()
        assert work.bookings.jobs(NOON, NOON + timedelta(days=90), day_of(NOON)) == ()


def test_jobs_of_a_week_are_those_that_touch_it(store: SqlStore) -> None:
    spans = [
        ("2027-03-11 08:30", "2027-03-15 00:00"), ("2027-03-12 08:30", "2027-03-15 09:20"),
        ("2027-03-19 16:00", "2027-03-23 10:00"), ("2027-03-22 00:00", "2027-03-23 10:00"),
    ]  # fmt: skip
    requests = [accept(store, number) for number in range(1, 5)]
    with store.writing() as work:
        for request, (start, end) in zip(requests, spans, strict=True):
            work.bookings.keep(request, a_place(1, start, end), NOON)
        jobs = work.bookings.jobs(at("2027-03-15 00:00"), at("2027-03-22 00:00"), day_of(NOON))

    assert [job.reference for job in jobs] == [requests[1].reference, requests[2].reference]
    assert (jobs[0].name, jobs[0].car, jobs[0].package) == ("Mara Ellison 2", requests[1].car, "full_front")


def test_accepted_requests_wait_with_the_place_they_hold(store: SqlStore) -> None:
    first, second = accept(store, 1), accept(store, 2)
    with store.writing() as work:
        held = work.bookings.keep(second, a_place(1), NOON)
        waiting = work.bookings.waiting()

    assert [(job.reference, job.held) for job in waiting] == [(first.reference, None), (second.reference, held)]


def test_a_block_is_of_a_bay_or_of_a_person(store: SqlStore) -> None:
    for wrong in ({"bay": 1, "person": "Tomas Reyl"}, {"bay": None, "person": ""}):
        block = Block(start=NOON, end=NOON + timedelta(days=1), reason="x", **wrong)  # type: ignore[arg-type]
        with pytest.raises(IntegrityError), store.writing() as work:
            work.blocks.add(block, None, NOON)


def test_a_block_is_taken_back_once(store: SqlStore) -> None:
    with store.writing() as work:
        block = work.blocks.add(Block(start=NOON, end=NOON + timedelta(days=1), person="Wen Adair", reason="leave"), None, NOON)
        assert work.blocks.between(NOON, None) == (block,)
        assert work.blocks.remove(block.id, NOON) == block
        assert work.blocks.remove(block.id, NOON) is None
        assert work.blocks.between(NOON, None) == ()


def test_a_new_address_of_a_feed_ends_the_old_one(store: SqlStore) -> None:
    with store.writing() as work:
        user = work.users.add(email="robin@film.example", name="Robin Hale", role=Actor.ADVISOR, password_hash=None, now=NOON)
        work.feeds.set(user.id, "nonce-1", "hash-1", NOON)
        work.feeds.set(user.id, "nonce-2", "hash-2", NOON)

        assert work.feeds.nonce_of(user.id) == "nonce-2"
        assert (work.feeds.user_of("hash-1"), work.feeds.user_of("hash-2")) == (None, user.id)
        work.feeds.end(user.id)
        assert (work.feeds.nonce_of(user.id), work.feeds.user_of("hash-2")) == (None, None)


def test_times_come_back_in_utc(store: SqlStore) -> None:
    request = accept(store)
    with store.writing() as work:
        work.bookings.keep(request, a_place(1), NOON)
    with store.reading() as work:
        (job,) = work.bookings.agenda(day_of(NOON)).jobs

    assert job.booking.start.tzinfo is UTC
    assert job.booking.start == at("2027-03-15 08:30")

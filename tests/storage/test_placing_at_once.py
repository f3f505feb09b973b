"""Of many who want the same place at the same moment exactly one gets it, on both databases."""

import threading
from collections.abc import Callable
from datetime import date

import pytest

from configurator.domain.agenda import hand_minutes
from configurator.domain.appointments import Block, Choice
from configurator.domain.desk import VISITOR, Event, Request
from configurator.domain.review import State
from configurator.domain.work import Role
from configurator.services.desk import Desk
from configurator.services.places.placing import PlaceTaken, place, reserve
from configurator.storage.store import SqlStore
from tests.booking_builders import ROBIN, accept, at, desk_over
from tests.shops import demo_shop

TOGETHER = 8
MONDAY = at("2027-03-15 08:30")


def all_at_once(acts: list[Callable[[], object]]) -> list[object]:
    """What each act answered or raised, in the order of the acts."""
    start, answers = threading.Barrier(len(acts)), [None] * len(acts)

    def run(index: int) -> None:
        start.wait()
        try:
            answers[index] = acts[index]()
        except Exception as error:
            answers[index] = error

    threads = [threading.Thread(target=run, args=(index,)) for index in range(len(acts))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers


def quoted(store: SqlStore, number: int) -> Request:
    request = accept(store, number)
    with store.writing() as work:
        return work.requests.move(request, State.QUOTED, Event(at=request.received_at, by=ROBIN, kind="moved", target=State.QUOTED))


def one_bay(desk: Desk) -> None:
    """Bay 2 is out of use, so there is only one place."""
    with desk.store.writing() as work:
        work.blocks.add(Block(start=at("2027-03-01 00:00"), end=at("2027-04-30 00:00"), bay=2, reason="floor"), None, desk.clock())


def accepting(request: Request, desk: Desk) -> Callable[[], object]:
    """What the visitor's acceptance does: the state and the place in one transaction."""

    def act() -> object:
        with desk.store.writing() as work:
            event = Event(at=desk.clock(), by=VISITOR, kind="moved", source=State.QUOTED, target=State.ACCEPTED)
            accepted = work.requests.move(request, State.ACCEPTED, event)
            return reserve(accepted, Choice(MONDAY, 1), desk, work)

    return act


def test_of_many_who_accept_the_same_place_one_gets_it_and_the_others_read_what_is_next(store: SqlStore) -> None:
    desk = desk_over(store)
    one_bay(desk)
    requests = [quoted(store, number) for number in range(1, TOGETHER + 1)]

    answers = all_at_once([accepting(request, desk) for request in requests])

    refused = [answer for answer in answers if isinstance(answer, PlaceTaken)]
    assert len(refused) == TOGETHER - 1, answers
    assert all(answer.places and answer.places[0].drop_off > MONDAY for answer in refused)
    with store.reading() as work:
        states = [found.state for request in requests if (found := work.requests.by_reference(request.reference))]
        assert sorted(states) == sorted([State.ACCEPTED] + [State.QUOTED] * (TOGETHER - 1))
        assert len(work.bookings.agenda(desk.today()).jobs) == 1


def test_of_many_who_place_at_the_desk_one_gets_the_bay(store: SqlStore) -> None:
    desk = desk_over(store)
    requests = [accept(store, number) for number in range(1, TOGETHER + 1)]

    answers = all_at_once(
        [lambda each=each: place(each.reference, each.revision, Choice(MONDAY, 1), ROBIN, desk) for each in requests]  # type: ignore[misc]
    )

    assert len([answer for answer in answers if isinstance(answer, PlaceTaken)]) == TOGETHER - 1, answers
    assert len([answer for answer in answers if isinstance(answer, Request)]) == 1


def test_what_is_read_once_alone_is_never_what_was_read_before(store: SqlStore) -> None:
    """PostgreSQL shows what others committed meanwhile; the session's memory of rows must not hide it."""
    desk = desk_over(store)
    if store.engine.dialect.name == "sqlite":
        pytest.skip("on SQLite nobody else can write while a writing transaction lasts")
    request = accept(store)
    scheduled = place(request.reference, request.revision, Choice(MONDAY, 1), ROBIN, desk)
    with store.writing() as work:
        before = work.bookings.agenda(desk.today()).jobs[0].booking, work.bookings.of(request)
        place(request.reference, scheduled.revision, Choice(at("2027-03-22 08:30"), 2), ROBIN, desk)
        work.bookings.alone()
        after = work.bookings.agenda(desk.today()).jobs[0].booking, work.bookings.of(request)

    assert before[0].start == MONDAY
    assert after[0].start == at("2027-03-22 08:30")
    assert after[1] is not None
    assert after[1].place.bay == 2


def test_one_request_placed_twice_at_once_has_one_place(store: SqlStore) -> None:
    desk = desk_over(store)
    request = accept(store)
    choices = [Choice(MONDAY, 1), Choice(at("2027-03-22 08:30"), 2)]

    answers = all_at_once(
        [lambda choice=choice: place(request.reference, request.revision, choice, ROBIN, desk) for choice in choices]  # type: ignore[misc]
    )

    assert len([answer for answer in answers if isinstance(answer, Request)]) == 1, answers
    with store.reading() as work:
        (job,) = work.bookings.agenda(desk.today()).jobs
        (mail,) = work.mails.about(request.id)
    assert job.booking.start in {choice.drop_off for choice in choices}
    assert mail.kind == "appointment_made"


def test_hands_are_not_given_twice_either(store: SqlStore) -> None:
    """Everybody takes the next free place in any bay: bays and hands of every day suffice for all who got one."""
    desk = desk_over(store)
    requests = [accept(store, number) for number in range(1, TOGETHER + 1)]
    days = ("2027-03-15", "2027-03-16", "2027-03-17")
    choices = [Choice(at(f"{days[number % len(days)]} 08:30")) for number in range(TOGETHER)]

    all_at_once(
        [
            lambda each=each, choice=choice: place(each.reference, each.revision, choice, ROBIN, desk)  # type: ignore[misc]
            for each, choice in zip(requests, choices, strict=True)
        ]
    )

    with store.reading() as work:
        jobs = work.bookings.agenda(desk.today()).jobs
    assert jobs
    spent: dict[date, float] = {}
    for job in jobs:
        for day, minutes in hand_minutes(job.booking, Role.INSTALLER):
            spent[day] = spent.get(day, 0.0) + minutes
    assert all(minutes <= demo_shop().calendar.minutes_in(Role.INSTALLER, day) + 0.2 for day, minutes in spent.items())
    for job in jobs:
        others = [other.booking for other in jobs if other is not job and other.booking.bay == job.booking.bay]
        assert all(other.end <= job.booking.start or job.booking.end <= other.start for other in others)

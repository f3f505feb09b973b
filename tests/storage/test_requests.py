"""The store's promises about requests, on both databases."""

import threading
from datetime import timedelta

import pytest

from configurator.domain.desk import VISITOR, Event, Person
from configurator.domain.review import Actor, State
from configurator.services.ports import AlreadyThere, ChangedMeanwhile
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON, a_new_request

INES = Person(Actor.OWNER, None, "Ines Calder")


def test_a_request_comes_back_as_it_went_in(store: SqlStore) -> None:
    new = a_new_request()
    with store.writing() as work:
        kept = work.requests.add(new)

    with store.reading() as work:
        found = work.requests.by_reference(new.reference)

    assert found == kept
    assert found is not None
    assert (found.contact, found.car, found.dates, found.estimate) == (new.contact, new.car, new.dates, new.estimate)
    assert dict(found.selection) == dict(new.selection)
    assert found.received_at == new.received_at
    assert found.state is State.RECEIVED


def test_a_request_is_found_by_the_hash_of_its_link_and_by_its_key(store: SqlStore) -> None:
    new = a_new_request(idempotency_key="key-1")
    with store.writing() as work:
        kept = work.requests.add(new)

    with store.reading() as work:
        assert work.requests.by_link(new.link_hash) == kept
        assert work.requests.by_key("key-1") == kept
        assert work.requests.by_link("0" * 64) is None


def test_a_block_that_raises_leaves_nothing_behind(store: SqlStore) -> None:
    def lose_power_half_way() -> None:
        with store.writing() as work:
            kept = work.requests.add(a_new_request())
            work.requests.record(kept.id, Event(at=NOON, by=VISITOR, kind="moved", target=State.RECEIVED))
            raise RuntimeError("the power went")

    with pytest.raises(RuntimeError):
        lose_power_half_way()

    with store.reading() as work:
        assert work.requests.by_reference("TST-00001") is None
        assert work.inbox.unopened() == 0


def test_a_reading_block_keeps_nothing(store: SqlStore) -> None:
    with store.reading() as work:
        work.requests.add(a_new_request())

    with store.reading() as work:
        assert not work.requests.has_reference("TST-00001")


@pytest.mark.parametrize("what", ["reference", "idempotency_key"])
def test_what_must_be_single_is_refused_twice_by_name(store: SqlStore, what: str) -> None:
    values = {"reference": "TST-SAME", "idempotency_key": "same"}
    with store.writing() as work:
        work.requests.add(a_new_request(1, **{what: values[what]}))

    with pytest.raises(AlreadyThere) as refused, store.writing() as work:
        work.requests.add(a_new_request(2, **{what: values[what]}))

    assert refused.value.what == what


def test_a_move_is_written_with_who_when_and_why(store: SqlStore) -> None:
    with store.writing() as work:
        kept = work.requests.add(a_new_request())
        event = Event(
            at=NOON + timedelta(hours=1), by=INES, kind="moved", source=State.RECEIVED, target=State.DECLINED, reason="too far away"
        )
        moved = work.requests.move(kept, State.DECLINED, event)

    with store.reading() as work:
        history = work.requests.history(kept.id)
    assert moved.state is State.DECLINED
    assert moved.state_since == event.at
    assert moved.revision == kept.revision + 1
    assert history == (event,)


def test_a_second_editor_is_noticed(store: SqlStore) -> None:
    with store.writing() as work:
        kept = work.requests.add(a_new_request())
    event = Event(at=NOON, by=INES, kind="moved", source=State.RECEIVED, target=State.IN_REVIEW)
    with store.writing() as work:
        work.requests.move(kept, State.IN_REVIEW, event)

    with pytest.raises(ChangedMeanwhile), store.writing() as work:
        work.requests.move(kept, State.DECLINED, event)

    with store.reading() as work:
        found = work.requests.by_reference(kept.reference)
        assert found is not None
        assert found.state is State.IN_REVIEW
        assert len(work.requests.history(kept.id)) == 1


def test_of_many_editors_at_once_exactly_one_wins(store: SqlStore) -> None:
    with store.writing() as work:
        kept = work.requests.add(a_new_request())
    outcomes: list[str] = []
    start = threading.Barrier(6)

    def edit() -> None:
        start.wait()
        try:
            with store.writing() as work:
                work.requests.move(
                    kept, State.IN_REVIEW, Event(at=NOON, by=INES, kind="moved", source=State.RECEIVED, target=State.IN_REVIEW)
                )
            outcomes.append("moved")
        except ChangedMeanwhile:
            outcomes.append("refused")

    threads = [threading.Thread(target=edit) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(outcomes) == ["moved"] + ["refused"] * 5
    with store.reading() as work:
        assert len(work.requests.history(kept.id)) == 1


def test_a_returning_owner_is_one_customer_and_the_same_car_one_vehicle(store: SqlStore) -> None:
    first = a_new_request(1)
    second = a_new_request(2, contact=first.contact, car=first.car)
    with store.writing() as work:
        one, two = work.requests.add(first), work.requests.add(second)

    assert one.customer_id == two.customer_id
    assert one.vehicle_id == two.vehicle_id


def test_another_plate_is_another_vehicle_of_the_same_customer(store: SqlStore) -> None:
    first = a_new_request(1)
    other = type(first.car)(description="Silver coupe", colour="silver", plate="XYZ-9", note="")
    with store.writing() as work:
        one = work.requests.add(first)
        two = work.requests.add(a_new_request(2, contact=first.contact, car=other))

    assert one.customer_id == two.customer_id
    assert one.vehicle_id != two.vehicle_id


def test_a_request_never_overwrites_what_the_shop_knows_of_a_customer(store: SqlStore) -> None:
    first = a_new_request(1)
    pretender = type(first.contact)("Somebody Else", first.contact.email.upper(), "+12025550199", "Other Ltd", "de")
    with store.writing() as work:
        one = work.requests.add(first)
        two = work.requests.add(a_new_request(2, contact=pretender))

    assert one.customer_id == two.customer_id
    assert two.contact.name == "Somebody Else"
    with store.reading() as work:
        assert work.requests.by_reference(first.reference).contact.name == first.contact.name  # type: ignore[union-attr]


def test_it_is_opened_once_however_often_it_is_looked_at(store: SqlStore) -> None:
    with store.writing() as work:
        kept = work.requests.add(a_new_request())
    for hour in (1, 2):
        with store.writing() as work:
            work.requests.mark_opened(kept, Event(at=NOON + timedelta(hours=hour), by=INES, kind="opened"))

    with store.reading() as work:
        assert [event.at for event in work.requests.history(kept.id)] == [NOON + timedelta(hours=1)]
        assert work.inbox.unopened() == 0

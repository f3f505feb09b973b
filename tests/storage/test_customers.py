"""Customers and cars in both databases: a returning owner is known again, everything finds them, two become one."""

import threading
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import text

from configurator.domain.customers import Change, ChangeKind, Customer
from configurator.domain.desk import NewRequest, Person
from configurator.domain.review import Actor, CarWords, Contact
from configurator.services.ports import ChangedMeanwhile
from configurator.storage import migrate
from configurator.storage.engine import make_engine
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON, a_new_request

ROBIN = Person(Actor.ADVISOR, None, "Robin Hale")


def sent(number: int, email: str, *, plate: str = "", words: str = "", body: str = "coupe", **contact: str) -> NewRequest:
    values = {"name": "Mara Ellison", "email": email, **contact}
    return a_new_request(number, contact=Contact(**values), car=CarWords(words, "silver", plate), body=body)


def keep(store: SqlStore, *requests: NewRequest) -> list[tuple[int, int]]:
    with store.writing() as work:
        kept = [work.requests.add(request) for request in requests]
    return [(one.customer_id, one.vehicle_id) for one in kept]


def found(store: SqlStore, words: str) -> list[str]:
    with store.reading() as work:
        return [hit.customer.email for hit in work.customers.find(words).hits]


def changed(customer: Customer, **values: str) -> Change:
    return Change(
        at=NOON, by=ROBIN, kind=ChangeKind.CUSTOMER, fields={name: (getattr(customer, name) or "", to) for name, to in values.items()}
    )


def test_a_returning_owner_is_known_by_the_address_however_it_is_written(store: SqlStore) -> None:
    first, again, other = keep(store, sent(1, "Mara@ellison.example"), sent(2, "mara@Ellison.example"), sent(3, "bo@else.example"))

    assert first[0] == again[0] != other[0]


@pytest.mark.parametrize(
    ("one", "two", "same"),
    [
        ({"plate": "ABC 123"}, {"plate": "abc-123"}, True),
        ({"plate": "ABC 123", "body": "hatchback"}, {"plate": "ABC123", "body": "wagon"}, True),
        ({"plate": "ABC 123"}, {"plate": "ABC 124"}, False),
        ({"words": "Silver coupe"}, {"words": "Silver coupe"}, True),
        ({"words": "Silver coupe", "body": "coupe"}, {"words": "Silver coupe", "body": "van"}, False),
        ({}, {}, False),
    ],
)
def test_a_second_car_is_told_from_the_same_one(store: SqlStore, one: dict[str, str], two: dict[str, str], same: bool) -> None:
    first, second = keep(store, sent(1, "mara@ellison.example", **one), sent(2, "mara@ellison.example", **two))

    assert first[0] == second[0]
    assert (first[1] == second[1]) is same


def test_the_same_plate_of_another_owner_is_another_record(store: SqlStore) -> None:
    """A car that was sold: the new owner's record does not show the old one's requests."""
    first, second = keep(store, sent(1, "mara@ellison.example", plate="ABC 123"), sent(2, "bo@else.example", plate="ABC 123"))

    assert first[1] != second[1]


@pytest.mark.parametrize(
    ("words", "hits"),
    [
        ("ellison", ["mara@ellison.example"]),
        ("MARA ell", ["mara@ellison.example"]),
        ("mara@elli", ["mara@ellison.example"]),
        ("202 555 0199", ["mara@ellison.example"]),
        ("555-0199", ["mara@ellison.example"]),
        ("abc 123", ["mara@ellison.example"]),
        ("abc123", ["mara@ellison.example"]),
        ("muller", ["jurgen@werk.example"]),
        ("blechwerk", ["jurgen@werk.example"]),
        ("ellison werk", []),
        ("%", ["jurgen@werk.example", "mara@ellison.example"]),
        ("", ["jurgen@werk.example", "mara@ellison.example"]),
    ],
)
def test_a_search_finds_name_company_mail_phone_and_plate(store: SqlStore, words: str, hits: Sequence[str]) -> None:
    keep(
        store,
        sent(1, "mara@ellison.example", plate="ABC 123", phone="+12025550199"),
        sent(2, "jurgen@werk.example", name="Jürgen Müller", company="Blechwerk AG"),
    )

    assert found(store, words) == list(hits)


def test_pages_have_neither_gap_nor_double(store: SqlStore) -> None:
    keep(store, *(sent(number, f"c{number}@film.example") for number in range(25)))
    seen: list[int] = []
    before = None
    while True:
        with store.reading() as work:
            page = work.customers.find("", before_id=before, rows=10)
        seen += [hit.customer.id for hit in page.hits]
        before = seen[-1]
        if not page.has_more:
            break

    assert seen == sorted(seen, reverse=True)
    assert len(seen) == len(set(seen)) == 25


def test_a_change_is_found_and_written_down_and_later_requests_do_not_undo_it(store: SqlStore) -> None:
    ((customer_id, _),) = keep(store, sent(1, "mara@ellison.example"))
    with store.writing() as work:
        customer = work.customers.by_id(customer_id)
        assert customer is not None
        work.customers.change(
            customer, {"name": "Mara Lindqvist", "email": "mara@lindqvist.example"}, changed(customer, name="Mara Lindqvist")
        )
    ((again, _),) = keep(store, sent(2, "Mara@Lindqvist.example", name="M. L."))

    assert again == customer_id
    assert found(store, "lindqvist") == ["mara@lindqvist.example"]
    assert found(store, "ellison") == []
    with store.reading() as work:
        (change,) = work.customers.history(customer_id)
        assert work.customers.by_id(customer_id).name == "Mara Lindqvist"  # type: ignore[union-attr]
    assert change.fields == {"name": ("Mara Ellison", "Mara Lindqvist")}
    assert change.by.name == "Robin Hale"


def test_the_slower_of_two_editors_is_refused(store: SqlStore) -> None:
    ((customer_id, vehicle_id),) = keep(store, sent(1, "mara@ellison.example", plate="ABC 123"))
    with store.reading() as work:
        customer, vehicle = work.customers.by_id(customer_id), work.customers.vehicle(vehicle_id)
    assert customer is not None
    assert vehicle is not None
    start, outcomes = threading.Barrier(2), []

    def edit(name: str) -> None:
        start.wait()
        try:
            with store.writing() as work:
                work.customers.change(customer, {"name": name}, changed(customer, name=name))
            outcomes.append("kept")
        except ChangedMeanwhile:
            outcomes.append("refused")

    threads = [threading.Thread(target=edit, args=(name,)) for name in ("One", "Two")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["kept", "refused"]
    with store.writing() as work:
        note = Change(at=NOON, by=ROBIN, kind=ChangeKind.VEHICLE, fields={}, vehicle_id=vehicle.id)
        work.customers.change_vehicle(vehicle, {"plate": "XY 9"}, note)
        with pytest.raises(ChangedMeanwhile):
            work.customers.change_vehicle(vehicle, {"plate": "ZZ 1"}, note)
    assert found(store, "xy9") == ["mara@ellison.example"]


def test_others_with_the_same_phone_or_plate_are_pointed_out(store: SqlStore) -> None:
    kept = keep(
        store,
        sent(1, "mara@ellison.example", plate="ABC 123", phone="+12025550199"),
        sent(2, "m@work.example", phone="+12025550199"),
        sent(3, "bo@else.example", plate="abc-123"),
        sent(4, "eve@far.example", plate="ABC 124", phone="+12025550198"),
    )
    with store.reading() as work:
        customer = work.customers.by_id(kept[0][0])
        assert customer is not None
        assert [one.email for one in work.customers.alike(customer)] == ["m@work.example", "bo@else.example"]


def test_of_two_customers_one_is_made_with_everything_of_both(store: SqlStore) -> None:
    kept = keep(
        store,
        sent(1, "mara@ellison.example", plate="ABC 123"),
        sent(2, "m@work.example", plate="VAN 9"),
        sent(3, "m@work.example", plate="VAN 9"),
    )
    (stays, _), (goes, van), _ = kept
    with store.writing() as work:
        one, other = work.customers.by_id(stays), work.customers.by_id(goes)
        assert one is not None
        assert other is not None
        work.customers.merge(one, other, Change(at=NOON, by=ROBIN, kind=ChangeKind.MERGED, fields={"email": (other.email, one.email)}))
    with store.reading() as work:
        assert work.customers.by_id(goes) == work.customers.by_id(stays)
        assert {vehicle.plate for vehicle in work.customers.vehicles_of(stays)} == {"ABC 123", "VAN 9"}
        assert len(work.customers.requests_of(stays)) == 3
        assert len(work.customers.requests_of(stays, vehicle_id=van)) == 2
        assert [change.kind for change in work.customers.history(stays)] == [ChangeKind.MERGED]
    assert found(store, "van9") == ["mara@ellison.example"]
    assert found(store, "work") == []
    with store.writing() as work, pytest.raises(ChangedMeanwhile):
        work.customers.merge(replace(one, revision=1), one, Change(at=NOON, by=ROBIN, kind=ChangeKind.MERGED, fields={}))


def test_customers_from_before_the_search_are_found_after_the_migration(empty_url: str) -> None:
    engine = make_engine(empty_url)
    migrate.upgrade(engine, "0006")
    values = {"a": NOON - timedelta(days=400)}
    if engine.dialect.name == "sqlite":
        values = {"a": "2026-01-01 00:00:00.000000"}  # type: ignore[dict-item]
    with engine.begin() as connection:
        connection.execute(
            text(
                "INSERT INTO customers (id, name, email, email_key, phone, language, created_at)"
                " VALUES (7, 'Mara Ellison', 'mara@ellison.example', 'mara@ellison.example', '+12025550199', 'en_US', :a)"
            ),
            values,
        )
        connection.execute(
            text(
                "INSERT INTO vehicles (id, customer_id, body, description, colour, plate, plate_key, created_at)"
                " VALUES (3, 7, 'coupe', '', '', 'ABC 123', 'ABC123', :a)"
            ),
            values,
        )
    migrate.upgrade(engine)
    engine.dispose()
    store = SqlStore(empty_url)

    assert [found(store, words) for words in ("elli", "5550199", "abc123")] == [["mara@ellison.example"]] * 3
    store.engine.dispose()

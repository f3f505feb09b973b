"""Nothing of a person is left in any table or file; nothing of anybody else is touched. On SQLite and PostgreSQL."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import JSON, Boolean, Column, DateTime, Float, Integer, Table, insert, select, update

from configurator.domain.data_rights import NOBODY, Treatment
from configurator.domain.desk import Event, Person
from configurator.domain.review import Actor, CarWords, Contact, State
from configurator.services.desk import Desk
from configurator.storage.columns import UtcDateTime
from configurator.storage.engine import forget_what_was_overwritten
from configurator.storage.erasing import is_wordy
from configurator.storage.models import Base, CustomerRow, RequestRow, UserRow
from configurator.storage.personal_columns import COLUMNS, DROPPED, NOT_ABOUT_CUSTOMERS, WORDS_IN
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON, a_new_request

MARA = Contact("Mara Zzellison", "mara@zzellison.example", "+12025550199", "Zzellison Ltd", "en_US")
CAR = CarWords("Silver zzcoupe", "zzsilver", "ZZ 4711", "zz on the hood")
TRACES = ("zzellison", "2025550199", "zz 4711", "zz4711", "zzcoupe", "zzsilver", "zz on", "zzwords")
"""What is looked for afterwards, in lower case."""
INES = Person(Actor.OWNER, 1, "Ines Zzcalder")


def everything_in(store: SqlStore) -> Iterator[tuple[str, str, str]]:
    """(table, column, value as text in lower case) of every value there is."""
    with store.engine.connect() as connection:
        for table in Base.metadata.sorted_tables:
            for row in connection.execute(select(table)).mappings():
                for name, value in row.items():
                    yield table.name, name, str(value).casefold()


def traces_in(store: SqlStore) -> list[tuple[str, str, str]]:
    return [found for found in everything_in(store) if any(trace in found[2] for trace in TRACES)]


def add_request(store: SqlStore, number: int = 1, **changes: Any) -> int:
    with store.writing() as work:
        return work.requests.add(a_new_request(number, **changes)).id


def filled(column: Column[Any], treatment: Treatment | None, number: int) -> Any:
    """A value for a column: words of the person wherever the register says that there are some."""
    kind = column.type
    if treatment in {Treatment.NAME, Treatment.EMPTIED}:
        return {"words": "zzwords"} if isinstance(kind, JSON) else f"zzwords {number}"[: getattr(kind, "length", None) or 60]
    if treatment is Treatment.CLEANED:
        words = WORDS_IN.get((column.table.name, column.name))
        inside = dict.fromkeys(words, "zzwords") if words else {"said": "zzwords"}
        return {"kept": 7, "deeper": [inside], **inside} if words else {"amount": 7, "of": "hood", "to": INES.name, **inside}
    if treatment is Treatment.STAFF:
        return INES.name
    if isinstance(kind, JSON):
        return {}
    if isinstance(kind, (UtcDateTime, DateTime)):
        return NOON
    if isinstance(kind, Boolean):
        return True
    if isinstance(kind, (Integer, Float)) or kind.python_type is int:
        return number
    return f"x{number}"[: getattr(kind, "length", None) or 60]


def fill(store: SqlStore, request_id: int, customer_id: int, vehicle_id: int) -> set[str]:
    """A row in every table that leads to the request, with the person's words in it; the tables."""
    at_hand = {"requests": request_id, "customers": customer_id, "vehicles": vehicle_id, "users": 1, "bay_jobs": request_id}
    done = set()
    with store.engine.connect().execution_options(tuckline_writes=True) as connection:
        for number, table in enumerate(Base.metadata.sorted_tables, 100):
            if table.name in {"requests", "customers", "vehicles", *NOT_ABOUT_CUSTOMERS} or table.name not in COLUMNS | dict.fromkeys(
                DROPPED
            ):
                continue
            made = connection.execute(insert(table).values(**_row(table, at_hand, number)))
            if made.inserted_primary_key and len(made.inserted_primary_key) == 1:
                at_hand.setdefault(table.name, made.inserted_primary_key[0])
            done.add(table.name)
        connection.commit()
    return done


def _row(table: Table, at_hand: dict[str, int], number: int) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for column in table.columns:
        parents = [key.column.table.name for key in column.foreign_keys]
        if parents:
            values[column.name] = at_hand[parents[0]]
        elif column.name == "id":
            continue
        elif table.name in DROPPED and column.name == "word":
            values["word"] = "zzwords"
        else:
            values[column.name] = filled(column, COLUMNS.get(table.name, {}).get(column.name), number)
    if table.name == "mails":
        values |= {"state": "sent"}
    if table.name == "events":
        values |= {"actor": "owner", "source": None, "target": None}
    if table.name == "bookings":
        values |= {"end_at": NOON + timedelta(days=1)}
    if table.name == "photos":
        values |= {"kind": "visitor", "actor": "visitor", "user_id": None}
    return values


def add_ines(store: SqlStore) -> None:
    with store.writing() as work:
        assert work.users.add(email="ines@film.example", name=INES.name, role=Actor.OWNER, password_hash=None, now=NOON).id == 1


def test_every_column_that_can_hold_words_is_in_the_register() -> None:
    missing = [
        f"{table.name}.{column.name}"
        for table in Base.metadata.sorted_tables
        if table.name not in NOT_ABOUT_CUSTOMERS and table.name not in DROPPED
        for column in table.columns
        if is_wordy(column) and column.name not in COLUMNS.get(table.name, {})
    ]

    assert missing == [], "write down in storage/personal_columns.py what these columns hold about a person"


def test_the_register_names_nothing_that_is_not_there() -> None:
    tables = Base.metadata.tables
    wrong = [f"{table}.{column}" for table, columns in COLUMNS.items() for column in columns if column not in tables[table].columns]
    wrong += [name for name in NOT_ABOUT_CUSTOMERS | DROPPED if name not in tables]
    wrong += [str(place) for place in WORDS_IN if COLUMNS[place[0]][place[1]] is not Treatment.CLEANED]

    assert wrong == []


def test_every_table_with_words_is_reached_from_the_person() -> None:
    reached = {"customers"}
    for table in Base.metadata.sorted_tables:
        if any(key.column.table.name in reached for column in table.columns for key in column.foreign_keys):
            reached.add(table.name)
    wordy = {table for table, columns in COLUMNS.items() if set(columns.values()) & {Treatment.NAME, Treatment.EMPTIED, Treatment.CLEANED}}

    assert wordy - reached == set()


def test_nothing_of_the_person_is_left_in_any_table(store: SqlStore) -> None:
    add_ines(store)
    request_id = add_request(store, contact=MARA, car=CAR, notes="zzwords", idempotency_key="zzwords-1")
    with store.reading() as work:
        holding = work.data_rights.held("MARA@zzellison.example ")
    tables = fill(store, request_id, next(iter(holding.customers)), next(iter(holding.vehicles)))
    before = {table for table, _, _ in traces_in(store)}
    assert before >= {"customers", "vehicles", "requests", "search_words", "events", "mails", "bay_jobs", "bay_marks", "quotes", "photos"}
    assert len(tables) >= 15

    with store.writing() as work:
        remains = work.data_rights.erase(work.data_rights.held(MARA.email), NOON)

    assert traces_in(store) == []
    assert len(remains.photos) == 1
    assert len(remains.mails) == 1
    with store.reading() as work:
        assert work.data_rights.held(MARA.email).is_empty
        kept = work.requests.by_reference("TST-00001")
    assert kept is not None
    assert kept.contact.name == NOBODY


def test_what_happened_stays_and_who_of_the_shop_did_it(store: SqlStore) -> None:
    add_ines(store)
    request_id = add_request(store, contact=MARA, car=CAR)
    facts = {"to": INES.name, "panel": "hood", "said": "zzwords of a customer", "bay": 2, "by": "Mara Zzellison", "plain": "zzellison"}
    with store.writing() as work:
        work.requests.record(request_id, Event(at=NOON, by=INES, kind="noted", reason="zzwords", facts=facts))
        work.data_rights.erase(work.data_rights.held(MARA.email), NOON)
        [event] = work.requests.history(request_id)
        kept = work.requests.by_id(request_id)

    assert (event.kind, event.by, event.reason) == ("noted", INES, "")
    assert dict(event.facts) == {"to": INES.name, "panel": "hood", "said": "", "bay": 2, "by": "", "plain": ""}
    assert kept is not None
    assert kept.estimate.price.typical == a_new_request().estimate.price.typical


def test_the_private_link_opens_nothing_any_more_and_a_stale_page_is_told(store: SqlStore) -> None:
    from configurator.services.ports import ChangedMeanwhile

    new = a_new_request(1, contact=MARA, car=CAR)
    with store.writing() as work:
        request = work.requests.add(new)
    with store.writing() as work:
        work.data_rights.erase(work.data_rights.held(MARA.email), NOON)

    with store.reading() as work:
        assert work.requests.by_link(new.link_hash) is None
    with pytest.raises(ChangedMeanwhile), store.writing() as work:
        work.requests.assign(request, None, Event(at=NOON, by=INES, kind="assigned"))


def test_nobody_elses_rows_change(store: SqlStore) -> None:
    add_request(store, 1, contact=MARA, car=CAR)
    other = add_request(store, 2)
    with store.reading() as work:
        before = work.requests.by_id(other)
    with store.writing() as work:
        work.data_rights.erase(work.data_rights.held(MARA.email), NOON)
    with store.reading() as work:
        assert work.requests.by_id(other) == before
        held = work.data_rights.held("mara2@ellison.example")
    assert [request.reference for request in held.requests] == ["TST-00002"]


def test_a_colleagues_request_under_the_companys_customer_is_not_the_persons(store: SqlStore) -> None:
    """Two requests of one customer record, one of them under another address: only the address that asks is erased with it."""
    first, second = add_request(store, 1, contact=MARA, car=CAR), add_request(store, 2)
    with store.writing() as work:
        work._session.execute(update(RequestRow).where(RequestRow.id == first).values(customer_id=2))
        work._session.execute(update(CustomerRow).where(CustomerRow.id == 1).values(email="", email_key=""))
    with store.reading() as work:
        held = work.data_rights.held(MARA.email)

    assert [request.id for request in held.requests] == [first]
    assert held.customers == frozenset()
    assert second


def test_an_address_from_before_a_correction_leads_to_the_same_person(store: SqlStore) -> None:
    add_request(store, 1, contact=MARA, car=CAR)
    with store.writing() as work:
        work._session.execute(update(CustomerRow).values(email="m@new.example", email_key="m@new.example"))
        changed = {"email": ["Mara@Zzellison.example", "m@new.example"], "name": ["M. Zzellison", "Mara"]}
        values = {"customer_id": 1, "at": NOON, "kind": "customer", "actor": "advisor", "actor_name": "Robin", "fields": changed}
        work._session.execute(insert(Base.metadata.tables["customer_changes"]).values(**values))
    with store.writing() as work:
        held = work.data_rights.held(MARA.email)
        work.data_rights.erase(held, NOON)

    assert held.customers == {1}
    assert traces_in(store) == []
    assert [value for _, _, value in everything_in(store) if "m@new" in value] == []


def test_what_has_not_left_is_not_sent_and_what_has_is_only_a_fact(store: SqlStore, desk_of: Any) -> None:
    from configurator.services.mail import mailing

    desk: Desk = desk_of(store)
    with store.writing() as work:
        request = work.requests.add(a_new_request(1, contact=MARA, car=CAR))
        mailing.about_new_request(request, desk, work)
    with store.writing() as work:
        visitors, _shops = work.mails.about(request.id)
        work.mails.mark_sent(visitors.id, NOON)
        work.data_rights.erase(work.data_rights.held(MARA.email), NOON)
        [left] = work.mails.about(request.id)

    assert (left.id, left.state, left.recipient, left.letter.text) == (visitors.id, "sent", "", "")


def test_retention_finds_what_ended_long_ago_and_still_names_its_person(store: SqlStore) -> None:
    old, new, open_one = (add_request(store, number, contact=Contact("Mara", "mara@zz.example")) for number in (1, 2, 3))
    for number, (request_id, moment) in enumerate(((old, NOON - timedelta(days=400)), (new, NOON - timedelta(days=10)))):
        with store.writing() as work:
            request = work.requests.by_id(request_id)
            work.requests.move(request, State.WITHDRAWN, Event(at=moment, by=INES if number < 0 else Person(Actor.VISITOR), kind="moved"))
    with store.reading() as work:
        found = work.data_rights.finished_before(NOON - timedelta(days=365), limit=10)
    assert [request.id for request in found.requests] == [old]
    assert found.customers == frozenset(), "the customer still has other requests"

    with store.writing() as work:
        work.data_rights.erase(found, NOON)
        work.requests.record(old, Event(at=NOON, by=Person(Actor.CLOCK), kind="erased"))
    with store.reading() as work:
        assert work.data_rights.finished_before(NOON - timedelta(days=365), limit=10).requests == ()
        assert work.requests.by_id(open_one).contact.name == "Mara"  # type: ignore[union-attr]
        assert work.data_rights.finished_before(NOON, limit=10).customers == frozenset(), "one request is still open"


def test_the_customer_goes_with_the_last_of_their_requests(store: SqlStore) -> None:
    only = add_request(store, 1, contact=MARA, car=CAR)
    with store.writing() as work:
        request = work.requests.by_id(only)
        work.requests.move(request, State.WITHDRAWN, Event(at=NOON, by=Person(Actor.VISITOR), kind="moved"))
        found = work.data_rights.finished_before(NOON + timedelta(days=1), limit=10)
        work.data_rights.erase(found, NOON)

    assert (len(found.customers), len(found.vehicles)) == (1, 1)
    assert traces_in(store) == []


def test_not_even_the_file_of_the_database_remembers(tmp_path: Path) -> None:
    """SQLite keeps overwritten rows in free pages and in the log beside the file, unless it is told not to."""
    from configurator.storage.migrate import upgrade

    store = SqlStore(f"sqlite:///{tmp_path}/shop.db")
    upgrade(store.engine)
    for number in range(1, 40):
        add_request(
            store, number, contact=MARA if number % 2 else Contact("Other", f"o{number}@ellison.example"), car=CAR, notes="zzwords " * 300
        )
    with store.writing() as work:
        work.data_rights.erase(work.data_rights.held(MARA.email), NOON)
    forget_what_was_overwritten(store.engine)
    on_disk = b"".join(file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()).lower()
    store.engine.dispose()

    assert b"zzellison" not in on_disk
    assert b"2025550199" not in on_disk


def test_an_export_has_the_persons_words_and_neither_secrets_nor_staff(store: SqlStore) -> None:
    add_ines(store)
    new = a_new_request(1, contact=MARA, car=CAR, notes="zzwords")
    with store.writing() as work:
        request = work.requests.add(new)
    with store.reading() as work:
        holding = work.data_rights.held(MARA.email)
    fill(store, request.id, next(iter(holding.customers)), next(iter(holding.vehicles)))
    with store.reading() as work:
        document = work.data_rights.everything(holding)
    text = str(document)

    assert set(document) >= {"customers", "vehicles", "requests", "events", "mails", "quotes", "bay_jobs", "photos"}
    assert document["requests"][0]["email"] == MARA.email
    assert document["requests"][0]["notes"] == "zzwords"
    for secret in (new.link_hash, new.link_nonce, new.fingerprint, INES.name):
        assert secret not in text
    assert "users" not in document
    assert datetime.fromisoformat(document["requests"][0]["received_at"]).astimezone(UTC) == new.received_at


@pytest.fixture
def desk_of() -> Any:
    """A desk on a given store, as far as mails need one."""
    from tests.services.conftest import Clock

    def make(store: SqlStore) -> Desk:
        from configurator.loading.price_book import demo_price_book
        from configurator.services.links import Links
        from configurator.web.letters import TemplateLetters
        from configurator.wire.selection import dump_selection, load_selection

        values: dict[str, Any] = dict.fromkeys(Desk.__dataclass_fields__)
        values |= {
            "store": store, "clock": Clock(), "book": demo_price_book(), "closed_days": frozenset(), "dump_selection": dump_selection,
            "load_selection": load_selection, "letters": TemplateLetters(), "links": Links("s" * 40), "default_locale": "en_US",
        }  # fmt: skip
        return Desk(**values)

    return make


def test_staff_are_not_customers(store: SqlStore) -> None:
    add_ines(store)
    with store.reading() as work:
        assert work.data_rights.held("ines@film.example").is_empty
        assert work.data_rights.held("").is_empty
        assert work._session.scalar(select(UserRow.name)) == INES.name

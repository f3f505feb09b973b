"""The staff in both databases: two owners at once, and what is found of sessions."""

import threading
from collections.abc import Callable
from datetime import timedelta
from types import SimpleNamespace
from typing import cast

from configurator.domain.desk import Event, Person
from configurator.domain.review import Actor
from configurator.errors import InvalidInput
from configurator.services.access import people
from configurator.services.access.account_links import AccountLink, LinkRefused
from configurator.services.access.logging_in import Doorkeeper, LogInRefused, Opened, log_in_with_code
from configurator.services.access.one_time_codes import hotp, secret_for, step_of
from configurator.services.access.password_reset import set_password
from configurator.services.desk import Desk
from configurator.services.links import Links
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON


def add(store: SqlStore, name: str, role: Actor) -> int:
    return people.add_person(email=f"{name}@film.example", name=name, role=role, password=None, store=store, now=NOON).id


def test_two_owners_can_not_shut_each_other_out_in_one_moment(store: SqlStore) -> None:
    """On SQLite writers queue; on PostgreSQL the owners are locked while one looks who is left."""
    desk = cast(Desk, SimpleNamespace(store=store, clock=lambda: NOON))
    owners = [add(store, name, Actor.OWNER) for name in ("ann", "ben")]
    start, refused = threading.Barrier(2), []

    def shut_out(mine: int, theirs: int) -> None:
        start.wait()
        try:
            people.shut_out(theirs, Person(Actor.OWNER, mine, "x"), desk)
        except InvalidInput as error:
            refused.append(error.faults[0].code)

    threads = [threading.Thread(target=shut_out, args=(owners[one], owners[1 - one])) for one in (0, 1)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert refused == ["last_owner"]
    with store.reading() as work:
        assert len(work.users.active_owners()) == 1


def at_once(what: Callable[[], object], times: int = 4) -> list[object]:
    """What several threads get that do the same in one moment; an exception is told by its class."""
    start, outcomes = threading.Barrier(times), []

    def run() -> None:
        start.wait()
        try:
            outcomes.append(what())
        except Exception as error:
            outcomes.append(type(error))

    threads = [threading.Thread(target=run) for _ in range(times)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return outcomes


def test_one_code_lets_in_once_however_many_type_it_in_one_moment(store: SqlStore) -> None:
    """RFC 6238 section 5.2: a code must not be accepted twice."""
    links, robin = Links("s" * 40), add(store, "robin", Actor.ADVISOR)
    with store.writing() as work:
        work.users.set(robin, totp_nonce="nonce", totp_on_since=NOON)
    door = Doorkeeper(store, lambda: NOON, links, 12)
    code = hotp(secret_for(links, "nonce"), step_of(NOON))

    outcomes = at_once(lambda: log_in_with_code(robin, code, door))

    assert sorted(isinstance(one, Opened) for one in outcomes) == [False, False, False, True]
    assert outcomes.count(LogInRefused) == 3


def test_one_link_sets_one_password_however_many_use_it_in_one_moment(store: SqlStore) -> None:
    links, robin = Links("s" * 40), add(store, "robin", Actor.ADVISOR)
    with store.writing() as work:
        work.users.set(robin, reset_nonce="nonce")
    desk = cast(Desk, SimpleNamespace(store=store, clock=lambda: NOON, links=links))
    token = AccountLink(robin, NOON + timedelta(hours=1)).token("nonce", links)

    outcomes = at_once(lambda: set_password(token, "another good phrase", desk))

    assert outcomes.count(LinkRefused) == 3


def test_sessions_are_found_by_person_kind_and_life(store: SqlStore) -> None:
    robin, tomas = add(store, "robin", Actor.ADVISOR), add(store, "tomas", Actor.INSTALLER)
    opened: list[tuple[str, str, int, int]]
    opened = [("a", "desk", robin, 12), ("b", "desk", robin, 1), ("c", "device", robin, 12), ("d", "desk", tomas, 12)]
    with store.writing() as work:
        for token, kind, user_id, hours in opened:
            work.sessions.add(
                token_hash=token,
                kind=kind,
                user_id=user_id,
                opened_by=None,
                label=token,
                now=NOON,
                expires_at=NOON + timedelta(hours=hours),
            )
    later = NOON + timedelta(hours=2)
    with store.reading() as work:
        assert [one.label for one in work.sessions.of_user(robin, NOON, NOON - timedelta(hours=2))] == ["b", "a"]
        assert [one.label for one in work.sessions.of_user(robin, later, NOON - timedelta(hours=1))] == ["a"]
        assert work.sessions.of_user(robin, later, NOON) == ()
        assert [(one.label, one.user and one.user.on_tablet) for one in work.sessions.open_devices(later)] == [("c", True)]
        assert work.users.last_seen() == {robin: NOON, tomas: NOON}
    with store.writing() as work:
        work.sessions.release(robin)
        assert [one.user for one in work.sessions.open_devices(later)] == [None]


def test_lately_shows_the_shops_own_entries_of_these_kinds_newest_first(store: SqlStore) -> None:
    with store.writing() as work:
        for number, kind in enumerate(("logged_in", "price_book_published", "pin_set")):
            event = Event(at=NOON + timedelta(minutes=number), by=Person(Actor.OWNER), kind=kind, facts={"name": "x"})
            work.requests.record(None, event)
    with store.reading() as work:
        assert [event.kind for event in work.users.lately({"logged_in", "pin_set"}, 9)] == ["pin_set", "logged_in"]

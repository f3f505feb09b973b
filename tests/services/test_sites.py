"""The owner's list of sites: what is refused and why, what is written down, and how soon a change counts."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

import pytest

from configurator.domain.desk import Person
from configurator.domain.review import Actor
from configurator.domain.sites import MOST_SITES
from configurator.errors import InvalidInput
from configurator.services import sites
from configurator.services.listed_sites import NOTED_EVERY, OLDEST, REFUSALS_NOTED_EVERY, ListedSites
from configurator.services.ports import StoreUnavailable
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON
from tests.services.conftest import Clock

INES = Person(Actor.OWNER, None, "Ines Calder")
SHOP = "https://shop.example"


def refusal(text: str, store: SqlStore) -> str:
    with pytest.raises(InvalidInput) as refused:
        sites.allow(text, INES, store, NOON)
    return refused.value.faults[0].code


def shops_history(store: SqlStore) -> list[tuple[str, dict[str, object]]]:
    from sqlalchemy import text

    with store.engine.connect() as connection:
        kinds = connection.execute(text("SELECT kind, facts FROM events WHERE request_id IS NULL ORDER BY id")).all()
    return [(kind, facts) for kind, facts in kinds]


def test_each_change_is_written_into_the_shops_history(store: SqlStore) -> None:
    assert sites.allow(" https://SHOP.example/ ", INES, store, NOON) == SHOP
    assert sites.remove(SHOP, INES, store, NOON)
    assert not sites.remove(SHOP, INES, store, NOON)

    history = shops_history(store)
    assert [kind for kind, _ in history] == ["site_allowed", "site_removed"]
    assert all(SHOP in str(facts) for _, facts in history)


def test_a_site_that_is_there_is_not_added_twice(store: SqlStore) -> None:
    sites.allow(SHOP, INES, store, NOON)

    assert refusal("https://shop.example:443", store) == "site_there_already"
    assert len(shops_history(store)) == 1


def test_the_list_is_bounded(store: SqlStore) -> None:
    with store.writing() as work:
        for number in range(MOST_SITES):
            work.sites.add(f"https://s{number}.example", user_id=None, now=NOON)

    assert refusal(SHOP, store) == "site_too_many"


@pytest.mark.parametrize(
    ("typed", "origin"),
    [
        ("https://bücher.example", "https://xn--bcher-kva.example"),
        ("https://faß.example", "https://xn--fa-hia.example"),
        ("https://ΠΑΡΆΔΕΙΓΜΑ.example", "https://xn--hxajbheg2az3al.example"),
    ],
)
def test_a_name_in_another_script_is_listed_as_browsers_send_it(store: SqlStore, typed: str, origin: str) -> None:
    """RFC 3492 and 5891 examples; UTS 46 non-transitional, as the URL standard asks: ß keeps its own name."""
    assert sites.allow(typed, INES, store, NOON) == origin


class TestJudging:
    LISTED = frozenset({"https://www.shop.example", "http://localhost:3000"})

    def test_a_listed_site_is_allowed_however_it_is_written(self) -> None:
        assert sites.judge("https://WWW.shop.example/", self.LISTED).allowed

    @pytest.mark.parametrize(
        ("asked", "nearest"),
        [
            ("https://shop.example", "https://www.shop.example"),
            ("https://www.shop.example:8443", "https://www.shop.example"),
            ("http://127.0.0.1:3000", "http://localhost:3000"),
            ("https://blog.shop.example", ""),
            ("https://shop.example.evil.example", ""),
        ],
    )
    def test_a_near_miss_is_named(self, asked: str, nearest: str) -> None:
        verdict = sites.judge(asked, self.LISTED)

        assert (verdict.allowed, verdict.nearest) == (False, nearest)


class TestRemembering:
    @pytest.fixture
    def clock(self) -> Clock:
        return Clock()

    @pytest.fixture
    def listed(self, store: SqlStore, clock: Clock) -> ListedSites:
        return ListedSites(store, clock, ["https://Always.example:443"])

    def test_a_change_counts_in_every_process_within_seconds(self, store: SqlStore, clock: Clock, listed: ListedSites) -> None:
        other_process = ListedSites(store, clock, [])
        assert listed() == {"https://always.example"}
        assert other_process() == frozenset()

        sites.allow(SHOP, INES, store, NOON)
        listed.forget()
        assert SHOP in listed()
        clock.now += OLDEST
        assert SHOP in other_process()

        sites.remove(SHOP, INES, store, NOON)
        clock.now += OLDEST
        assert SHOP not in listed()
        assert timedelta(seconds=5) >= OLDEST

    def test_the_list_is_not_read_for_every_visitor(self, store: SqlStore, listed: ListedSites, monkeypatch: pytest.MonkeyPatch) -> None:
        listed()
        reads = count_openings(store, monkeypatch)

        for _ in range(50):
            listed()

        assert reads == []

    def test_visitors_need_no_database(self, store: SqlStore, clock: Clock, listed: ListedSites, monkeypatch: pytest.MonkeyPatch) -> None:
        sites.allow(SHOP, INES, store, NOON)
        known = listed()
        break_down(store, monkeypatch)
        clock.now += OLDEST

        assert listed() == known
        listed.note(SHOP, turned_away=False)

    def test_visits_are_noted_now_and_then(
        self, store: SqlStore, clock: Clock, listed: ListedSites, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        writes = count_openings(store, monkeypatch)
        for _ in range(20):
            listed.note(SHOP, turned_away=False)
        assert writes == ["writing"]
        clock.now += NOTED_EVERY
        listed.note(SHOP, turned_away=False)
        assert len(writes) == 2

    def test_made_up_sites_cost_next_to_nothing(
        self, store: SqlStore, clock: Clock, listed: ListedSites, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        writes = count_openings(store, monkeypatch)
        for number in range(100):
            listed.note(f"https://fake{number}.example", turned_away=True)
        assert len(writes) == 1
        clock.now += REFUSALS_NOTED_EVERY
        listed.note("https://late.example", turned_away=True)
        assert len(writes) == 2


def count_openings(store: SqlStore, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every transaction that is opened from here on, by kind."""
    opened: list[str] = []
    for kind in ("reading", "writing"):
        whole = getattr(store, kind)
        monkeypatch.setattr(store, kind, lambda kind=kind, whole=whole: (opened.append(kind), whole())[1])
    return opened


def break_down(store: SqlStore, monkeypatch: pytest.MonkeyPatch) -> None:
    @contextmanager
    def unavailable(*, writes: bool) -> Iterator[Any]:
        raise StoreUnavailable
        yield

    monkeypatch.setattr(store, "_open", unavailable)

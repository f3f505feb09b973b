"""The list of sites and the notes of visits, on both databases."""

from datetime import timedelta

import pytest

from configurator.domain.review import Actor
from configurator.domain.sites import TurnedAway
from configurator.services.ports import AlreadyThere
from configurator.storage.sites import MOST_TURNED_AWAY
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON, a_new_request

SHOP, OTHER = "https://shop.example", "https://other.example"
LATER = NOON + timedelta(minutes=9)


def test_a_site_is_listed_with_who_and_when_and_taken_off(store: SqlStore) -> None:
    with store.writing() as work:
        ines = work.users.add(email="ines@film.example", name="Ines Calder", role=Actor.OWNER, password_hash=None, now=NOON)
        work.sites.add(SHOP, user_id=ines.id, now=NOON)
        work.sites.add(OTHER, user_id=None, now=LATER)

    with store.reading() as work:
        other, shop = work.sites.all()
        assert (shop.origin, shop.added_at, shop.added_by, shop.seen_at) == (SHOP, NOON, "Ines Calder", None)
        assert (other.origin, other.added_by) == (OTHER, "")
        assert work.sites.origins() == {SHOP, OTHER}

    with store.writing() as work:
        assert work.sites.remove(SHOP)
        assert not work.sites.remove(SHOP)
    with store.reading() as work:
        assert work.sites.origins() == {OTHER}


def test_a_site_is_listed_once(store: SqlStore) -> None:
    with store.writing() as work:
        work.sites.add(SHOP, user_id=None, now=NOON)

    with pytest.raises(AlreadyThere), store.writing() as work:
        work.sites.add(SHOP, user_id=None, now=NOON)


def test_the_latest_visit_counts_and_a_refused_site_leaves_the_refused_once_listed(store: SqlStore) -> None:
    with store.writing() as work:
        work.sites.note(SHOP, turned_away=True, now=NOON)
        work.sites.note(OTHER, turned_away=True, now=LATER)
    with store.reading() as work:
        assert work.sites.turned_away() == (TurnedAway(OTHER, LATER), TurnedAway(SHOP, NOON))

    with store.writing() as work:
        work.sites.add(SHOP, user_id=None, now=LATER)
    with store.reading() as work:
        assert work.sites.turned_away() == (TurnedAway(OTHER, LATER),)
        assert work.sites.all()[0].seen_at is None

    with store.writing() as work:
        work.sites.note(SHOP, turned_away=False, now=LATER)
    with store.reading() as work:
        assert work.sites.all()[0].seen_at == LATER
        assert work.sites.last_seen() == {SHOP: LATER}


def test_made_up_sites_can_not_fill_the_table(store: SqlStore) -> None:
    with store.writing() as work:
        work.sites.note(SHOP, turned_away=False, now=NOON)
        for number in range(MOST_TURNED_AWAY + 8):
            work.sites.note(f"https://fake{number}.example", turned_away=True, now=NOON + timedelta(seconds=number))

    with store.reading() as work:
        kept = [each.origin for each in work.sites.turned_away()]
        assert len(kept) == MOST_TURNED_AWAY
        assert kept[0] == f"https://fake{MOST_TURNED_AWAY + 7}.example"
        assert work.sites.last_seen() == {SHOP: NOON}


def test_requests_are_counted_by_the_site_they_came_from(store: SqlStore) -> None:
    with store.writing() as work:
        for number, (source, days) in enumerate([(SHOP, 0), (SHOP, 2), ("", 1), (SHOP, 40)], 1):
            work.requests.add(a_new_request(number, source=source, received_at=NOON - timedelta(days=days)))

    with store.reading() as work:
        assert work.sites.requests_since(NOON - timedelta(days=30)) == {SHOP: 2, "": 1}

"""Quotes in the database, and two people who answer or write at the same moment: one of them, never both, never half of one."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from threading import Barrier

import pytest

from configurator.domain.desk import Person
from configurator.domain.review import MoveRefused, State
from configurator.errors import TucklineError
from configurator.services import reviewing
from configurator.services.desk import Desk
from configurator.services.places.placing import PlaceTaken
from configurator.services.ports import ChangedMeanwhile
from configurator.services.quotes import accepting, quoting
from configurator.services.quotes.accepting import ANOTHER_DAY, AlreadyAccepted, NoQuote, QuoteChanged
from configurator.storage.store import SqlStore
from tests.quote_builders import adjust, advisor, offer, quoted, real_desk, send, settle_all, stands, taken, yes
from tests.services.conftest import Clock
from tests.shops import chosen

LOSES = (ChangedMeanwhile, MoveRefused, AlreadyAccepted, NoQuote, QuoteChanged, PlaceTaken)
ROUNDS = 4
"""Each race is run a few times, since a race is luck."""


@pytest.fixture
def desk(store: SqlStore) -> Desk:
    return real_desk(store, Clock())


@pytest.fixture
def robin(desk: Desk) -> Person:
    return advisor(desk)


def race(*calls: Callable[[], object]) -> list[object]:
    """All at once; what each gave, or the refusal it got."""
    start = Barrier(len(calls))

    def run(call: Callable[[], object]) -> object:
        start.wait()
        try:
            return call()
        except LOSES as refused:
            return refused

    with ThreadPoolExecutor(len(calls)) as pool:
        return list(pool.map(run, calls))


def winners(results: list[object]) -> list[int]:
    return [place for place, result in enumerate(results) if not isinstance(result, TucklineError)]


def test_what_is_kept_comes_back_equal(desk: Desk, robin: Person) -> None:
    smoked = chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}, edges="hidden")
    reference, _ = taken(desk, robin, selection=smoked, acknowledged=frozenset({"tail_lamps"}))
    settle_all(reference, robin, desk)
    adjust(reference, "labour", "1000.10", robin, desk)
    offer(reference, robin, desk)
    bench = quoting.workbench(reference, desk)
    quote = send(reference, robin, desk)
    with desk.store.reading() as work:
        assert work.quotes.draft(bench.request.id) == bench.draft
        assert work.quotes.current(bench.request.id) == quote

    assert quote.content.price == bench.price
    assert quote.content.estimate.panels == bench.request.estimate.panels
    assert dict(quote.content.selection) == dict(bench.request.selection)


def test_two_who_accept_at_once(desk: Desk, robin: Person) -> None:
    for _ in range(ROUNDS):
        reference, token, quote = quoted(desk, robin)
        names = ("Mara Ellison", "Mara E.")
        results = race(*(partial(accepting.accept, token, yes(quote, name=name, drop_off=ANOTHER_DAY), desk) for name in names))
        with desk.store.reading() as work:
            kept = work.quotes.current(stands(reference, desk).id)
            kinds = [mail.kind for mail in work.mails.about(stands(reference, desk).id)]

        assert len(winners(results)) == 1
        assert kept is not None
        assert kept.acceptance is not None
        assert kept.acceptance.name == names[winners(results)[0]]
        assert kinds.count("quote_accepted") == 1


def test_accepting_against_a_new_version(desk: Desk, robin: Person) -> None:
    for _ in range(ROUNDS):
        reference, token, quote = quoted(desk, robin)
        revision = stands(reference, desk).revision
        results = race(
            partial(accepting.accept, token, yes(quote, drop_off=ANOTHER_DAY), desk),
            partial(quoting.send, reference, revision, robin, desk),
        )
        with desk.store.reading() as work:
            versions = work.quotes.all(stands(reference, desk).id)

        assert len(winners(results)) == 1
        if winners(results) == [0]:
            assert (stands(reference, desk).state, len(versions)) == (State.ACCEPTED, 1)
        else:
            assert (stands(reference, desk).state, len(versions)) == (State.QUOTED, 2)
            assert all(version.acceptance is None for version in versions)


def test_accepting_against_declining(desk: Desk, robin: Person) -> None:
    for _ in range(ROUNDS):
        reference, token, quote = quoted(desk, robin)
        results = race(
            partial(accepting.accept, token, yes(quote, drop_off=ANOTHER_DAY), desk),
            partial(accepting.decline, token, quote.version, "Sold the car.", desk),
        )
        with desk.store.reading() as work:
            kept = work.quotes.current(stands(reference, desk).id)

        assert len(winners(results)) == 1
        assert kept is not None
        assert (kept.accepted_at is None) != (kept.declined_at is None)
        assert stands(reference, desk).state is (State.ACCEPTED if winners(results) == [0] else State.DECLINED)


def test_accepting_against_the_desk_that_declines(desk: Desk, robin: Person) -> None:
    for _ in range(ROUNDS):
        reference, token, quote = quoted(desk, robin)
        revision = stands(reference, desk).revision
        results = race(
            partial(accepting.accept, token, yes(quote, drop_off=ANOTHER_DAY), desk),
            partial(reviewing.decline, reference, revision, "The bay burnt down.", robin, desk),
        )

        assert len(winners(results)) == 1


def test_two_of_the_desk_who_send_at_once(desk: Desk, robin: Person) -> None:
    ines = advisor(desk, "Ines Calder")
    for _ in range(ROUNDS):
        reference, _ = taken(desk, robin)
        settle_all(reference, robin, desk)
        revision = stands(reference, desk).revision
        results = race(partial(quoting.send, reference, revision, robin, desk), partial(quoting.send, reference, revision, ines, desk))
        with desk.store.reading() as work:
            versions = work.quotes.all(stands(reference, desk).id)
            kinds = [mail.kind for mail in work.mails.about(stands(reference, desk).id)]

        assert len(winners(results)) == 1
        assert [version.version for version in versions] == [1]
        assert kinds.count("quote_sent") == 1


def test_two_customers_who_want_the_last_place(desk: Desk, robin: Person) -> None:
    """Two whole bodies from the same day on are more than the shop's hands: one gets the place, the other has accepted nothing."""
    offered = [quoted(desk, robin, selection=chosen("suv", "full_body")) for _ in range(2)]
    day = offered[0][2].content.offers[0].drop_off.isoformat()
    results = race(*(partial(accepting.accept, token, yes(quote, drop_off=day), desk) for _, token, quote in offered))

    assert len(winners(results)) == 1
    states = [stands(reference, desk).state for reference, _, _ in offered]
    assert sorted(states) == sorted([State.ACCEPTED, State.QUOTED])

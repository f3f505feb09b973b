"""A desk over a real SQLite store, with a made-up engine and a clock that stands still."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from configurator.domain.estimate import Estimate
from configurator.domain.selection import Selection
from configurator.loading.price_book import demo_price_book
from configurator.services.desk import Desk
from configurator.services.links import Links
from configurator.storage.migrate import upgrade
from configurator.storage.store import SqlStore
from configurator.web.letters import TemplateLetters
from configurator.wire.selection import dump_selection, load_selection
from tests.desk_builders import NOON, an_estimate
from tests.shops import demo_shop


class Clock:
    """Stands still until it is told to move."""

    def __init__(self, now: datetime = NOON) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqlStore]:
    made = SqlStore(f"sqlite:///{tmp_path}/desk.db")
    upgrade(made.engine)
    yield made
    made.engine.dispose()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def make_desk(store: SqlStore, clock: Clock) -> Callable[..., Desk]:
    """A desk whose engine answers with `an_estimate(selection, **changes)`."""

    def make(**changes: object) -> Desk:
        def estimate(selection: Selection) -> Estimate:
            return an_estimate(selection, **changes)

        return Desk(
            store=store,
            clock=clock,
            shop=replace(demo_shop(), closed_days=frozenset({date(2027, 3, 9)})),
            book=demo_price_book(),
            closed_days=frozenset({date(2027, 3, 9)}),
            estimate=estimate,
            light=lambda selection, measured: (),
            dump_selection=dump_selection,
            load_selection=load_selection,
            letters=TemplateLetters(),
            links=Links("a test secret that is long enough to be one"),
        )

    return make


@pytest.fixture
def desk(make_desk: Callable[..., Desk]) -> Desk:
    return make_desk()


def with_book(desk: Desk, **changes: object) -> Desk:
    """The same desk with a changed price book."""
    return replace(desk, book=replace(desk.book, **changes))  # type: ignore[arg-type]

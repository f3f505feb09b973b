"""The desk that quotes, and the advisor at it."""

import pytest

from configurator.domain.desk import Person
from configurator.services.desk import Desk
from configurator.storage.store import SqlStore
from tests.quote_builders import advisor, real_desk
from tests.services.conftest import Clock


@pytest.fixture
def desk(store: SqlStore, clock: Clock) -> Desk:
    return real_desk(store, clock)


@pytest.fixture
def robin(desk: Desk) -> Person:
    return advisor(desk)

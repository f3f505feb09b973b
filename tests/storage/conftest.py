"""Every storage test runs on SQLite, and on PostgreSQL where its binaries are (or DATABASE_URL names one)."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from configurator.storage.migrate import upgrade
from configurator.storage.store import SqlStore
from tests.storage import postgres


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[postgres.Server]:
    given = os.environ.get("DATABASE_URL", "")
    if given.startswith("postgresql"):
        server = postgres.Server(given.rpartition("/")[0] or given)
        server.make_template()
        yield server
        return
    if postgres.binaries() is None:
        if os.environ.get("CI") == "true":
            pytest.fail("CI must run the storage tests on PostgreSQL: install its server")
        pytest.skip("PostgreSQL isn't installed on this machine, so storage is tested on SQLite only")
    with postgres.running_server() as server:
        server.make_template()
        yield server


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def empty_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a database without tables."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path}/empty.db"
        return
    server = request.getfixturevalue("postgres_server")
    url = server.empty_database()
    yield url
    server.drop(url)


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[SqlStore]:
    """A migrated, empty store."""
    if request.param == "sqlite":
        made = SqlStore(f"sqlite:///{tmp_path}/store.db")
        upgrade(made.engine)
        yield made
        made.engine.dispose()
        return
    server = request.getfixturevalue("postgres_server")
    url = server.new_database()
    made = SqlStore(url)
    yield made
    made.engine.dispose()
    server.drop(url)

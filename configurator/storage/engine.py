"""The engine: SQLite (WAL) or PostgreSQL, with transactions that begin where we say.

SQLite: foreign keys on, readers never wait for the one writer, a writer takes its lock at once (BEGIN IMMEDIATE) so that two
writers queue instead of failing in the middle.
"""

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from configurator.errors import TucklineError
from configurator.services.ports import StoreUnavailable

BUSY_TIMEOUT_MS = 5000
"""How long a SQLite writer waits for the one before it; each of our transactions takes a few milliseconds."""

SECURE_DELETE = "secure_delete = ON"
"""What is deleted or overwritten is zeroed in the file at once: an erased person must not be readable in free pages."""

WRITES = "tuckline_writes"
"""Execution option that marks a connection whose transaction may write."""


class BadDatabaseAddress(TucklineError):
    """Not an address of a SQLite or PostgreSQL database."""

    code = "bad_database_address"


def make_engine(url: str) -> Engine:
    """An engine for a database address; makes the folder of a SQLite file. Raises BadDatabaseAddress, StoreUnavailable."""
    try:
        return _engine(url)
    except (ArgumentError, NoSuchModuleError) as error:
        raise BadDatabaseAddress(str(error)) from error


def _engine(url: str) -> Engine:
    parsed = make_url(url.replace("postgresql:", "postgresql+psycopg:", 1))
    if parsed.get_backend_name() not in {"sqlite", "postgresql"}:
        raise BadDatabaseAddress(parsed.get_backend_name())
    if parsed.get_backend_name() != "sqlite":
        return create_engine(parsed, pool_pre_ping=True, pool_size=5, max_overflow=5)
    if parsed.database and parsed.database != ":memory:":
        try:
            Path(parsed.database).parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise StoreUnavailable from error
    engine = create_engine(parsed)
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def forget_what_was_overwritten(engine: Engine) -> None:
    """SQLite: moves the write-ahead log into the database and empties it, so that no older page is left in a file beside it.

    PostgreSQL does the like by itself (autovacuum). Another connection in the middle of reading makes it wait for the next time.
    """
    if engine.dialect.name == "sqlite":
        with engine.connect() as connection:
            connection.exec_driver_sql("ROLLBACK")
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
            connection.exec_driver_sql("BEGIN")


def _prepare_sqlite(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # the driver begins nothing by itself; `_begin_sqlite` does
    cursor = connection.cursor()
    for pragma in ("journal_mode = WAL", "synchronous = NORMAL", "foreign_keys = ON", f"busy_timeout = {BUSY_TIMEOUT_MS}", SECURE_DELETE):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    immediate = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if immediate else "BEGIN")

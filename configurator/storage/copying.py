"""Copies a whole database into another one, table by table, between SQLite and PostgreSQL either way."""

from sqlalchemy import Connection, Engine, Table, func, insert, select
from sqlalchemy.exc import DBAPIError

from configurator.errors import TucklineError
from configurator.services.ports import StoreUnavailable
from configurator.storage.engine import WRITES
from configurator.storage.migrate import upgrade
from configurator.storage.models import Base

BATCH_ROWS = 500


class NotEmpty(TucklineError):
    """The target holds rows already; nothing was copied."""

    code = "not_empty"


class Miscounted(TucklineError):
    """A table came out with another number of rows; the copy was rolled back."""

    code = "miscounted"


def copy_database(source: Engine, target: Engine) -> dict[str, int]:
    """Copies every row into an empty target, which is migrated first; rows copied, by table.

    Raises NotEmpty, Miscounted, StoreUnavailable; the target then holds no row.
    """
    upgrade(target)
    try:
        with source.connect() as reading, target.connect() as writing:
            writing = writing.execution_options(**{WRITES: True})
            with writing.begin():
                _refuse_rows(writing)
                copied = {table.name: _copy_table(table, reading, writing) for table in Base.metadata.sorted_tables}
                _restart_numbers(writing)
    except DBAPIError as error:
        raise StoreUnavailable from error
    return copied


def _refuse_rows(writing: Connection) -> None:
    for table in Base.metadata.sorted_tables:
        if writing.scalar(select(func.count()).select_from(table)):
            raise NotEmpty(table.name)


def _copy_table(table: Table, reading: Connection, writing: Connection) -> int:
    rows = reading.execution_options(stream_results=True).execute(select(table)).mappings()
    count = 0
    while batch := rows.fetchmany(BATCH_ROWS):
        writing.execute(insert(table), [dict(row) for row in batch])
        count += len(batch)
    there = writing.scalar(select(func.count()).select_from(table))
    if there != count:
        raise Miscounted(f"{table.name}: {count} read, {there} written")
    return count


def _restart_numbers(writing: Connection) -> None:
    """PostgreSQL counts ids apart from its rows: let it go on after the highest one."""
    if writing.dialect.name != "postgresql":
        return
    for table in Base.metadata.sorted_tables:
        if "id" in table.columns:
            sequence = func.pg_get_serial_sequence(table.name, "id")
            highest = select(func.coalesce(func.max(table.c.id), 1)).scalar_subquery()
            writing.execute(select(func.setval(sequence, highest)))

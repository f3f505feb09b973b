"""A consistent copy of the database in one SQLite file, made while the shop works on."""

import sqlite3
from pathlib import Path

from sqlalchemy import Engine

from configurator.storage.copying import copy_database
from configurator.storage.engine import make_engine


def backup(engine: Engine, file: Path) -> None:
    """Writes a new SQLite file, whole or not at all: SQLite by its own online backup, PostgreSQL row by row. Raises OSError."""
    if file.exists():
        raise FileExistsError(17, "there is a file already", str(file))
    unfinished = file.with_name(f".{file.name}.unfinished")
    unfinished.unlink(missing_ok=True)
    try:
        if engine.dialect.name == "sqlite":
            _online_backup(engine, unfinished)
        else:
            target = make_engine(f"sqlite:///{unfinished}")
            copy_database(engine, target)
            with target.connect() as connection:
                connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
            target.dispose()
        unfinished.chmod(0o600)
        unfinished.rename(file)
    finally:
        for leftover in file.parent.glob(f".{file.name}.unfinished*"):
            leftover.unlink()


def _online_backup(engine: Engine, file: Path) -> None:
    source = engine.raw_connection()
    try:
        target = sqlite3.connect(file)
        try:
            source.driver_connection.backup(target)  # type: ignore[union-attr]
        finally:
            target.close()
    finally:
        source.close()

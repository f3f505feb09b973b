"""The schema: migrations make exactly what the models say, go up and down, and say where they are."""

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect

from configurator.storage import migrate
from configurator.storage.engine import make_engine
from configurator.storage.models import Base


def test_migrations_make_exactly_the_tables_of_the_models(empty_url: str) -> None:
    engine = make_engine(empty_url)
    migrate.upgrade(engine)

    with engine.connect() as connection:
        difference = compare_metadata(MigrationContext.configure(connection, opts={"compare_type": True}), Base.metadata)
    assert difference == []
    engine.dispose()


def test_they_go_up_down_and_up_again(empty_url: str) -> None:
    engine = make_engine(empty_url)
    assert migrate.current_revision(engine) is None
    migrate.upgrade(engine)
    assert migrate.is_current(engine)

    migrate.downgrade(engine, "base")
    assert set(inspect(engine).get_table_names()) <= {"alembic_version"}

    migrate.upgrade(engine)
    migrate.upgrade(engine)
    assert migrate.current_revision(engine) == migrate.head_revision()
    engine.dispose()


def test_foreign_keys_are_enforced(empty_url: str) -> None:
    """SQLite enforces none until it is told to."""
    engine = make_engine(empty_url)
    migrate.upgrade(engine)
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
            assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
    engine.dispose()

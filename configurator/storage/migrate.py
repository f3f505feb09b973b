"""Brings a database to the newest schema, and says whether it is there. Alembic without its ini file."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError

from configurator.services.ports import StoreUnavailable

MIGRATIONS = Path(__file__).parent / "migrations"


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Applies every migration that is missing, in one transaction where the database can. Raises StoreUnavailable."""
    try:
        with engine.begin() as connection:
            command.upgrade(_config(connection), revision)
    except DBAPIError as error:
        raise StoreUnavailable from error


def downgrade(engine: Engine, revision: str) -> None:
    """Takes migrations back, down to a revision (`base`: all of them)."""
    with engine.begin() as connection:
        command.downgrade(_config(connection), revision)


def current_revision(engine: Engine) -> str | None:
    """The revision that a database stands at; None for an empty one."""
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def head_revision() -> str:
    """The newest revision that this version of the product knows."""
    head = ScriptDirectory.from_config(_config(None)).get_current_head()
    assert head is not None, "there is always a first migration"
    return head


def is_current(engine: Engine) -> bool:
    return current_revision(engine) == head_revision()


def _config(connection: object) -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config

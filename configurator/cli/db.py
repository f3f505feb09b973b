"""`db upgrade`, `db backup FILE`, `db copy URL`: the database itself."""

from pathlib import Path

import click

from configurator.cli.desk import desk_command, need_migrated
from configurator.cli.reading import stop
from configurator.services.ports import StoreUnavailable
from configurator.storage import migrate
from configurator.storage.backup import backup as write_backup
from configurator.storage.copying import NotEmpty, copy_database
from configurator.storage.engine import BadDatabaseAddress, make_engine
from configurator.web.wiring import Wiring


@click.group("db", short_help="The database: upgrade, backup, copy.")
def db() -> None:
    """The database."""


@db.command("upgrade", short_help="Bring the database to this version's schema.")
@desk_command
def upgrade(wiring: Wiring) -> None:
    """Applies every missing migration; makes the database if it is a SQLite file that isn't there yet."""
    migrate.upgrade(wiring.store.engine)
    click.echo(f"The database is at revision {migrate.head_revision()}.")


@db.command("backup", short_help="Write a consistent copy into one file.")
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
@desk_command
def backup(wiring: Wiring, file: Path) -> None:
    """Writes everything into a new SQLite FILE while the shop works on. Photos are files of their own: copy their folder too."""
    need_migrated(wiring)
    try:
        write_backup(wiring.store.engine, file)
    except OSError as error:
        stop(f"{file}: {error.strerror}")
    where = "the bucket of TUCKLINE_PHOTO_BUCKET" if wiring.settings.photo_bucket else str(wiring.settings.data_path / "photos")
    click.echo(f"Everything is in {file}. Photos lie in {where}: copy them too.")


@db.command("copy", short_help="Copy everything into another, empty database.")
@click.argument("url", metavar="URL")
@desk_command
def copy(wiring: Wiring, url: str) -> None:
    """Copies everything into the empty database at URL (sqlite: or postgresql:); then point DATABASE_URL there."""
    need_migrated(wiring)
    try:
        copied = copy_database(wiring.store.engine, make_engine(url))
    except BadDatabaseAddress:
        stop("URL: an address that starts with sqlite: or postgresql:")
    except NotEmpty as error:
        stop(f"URL: the table {error} there holds rows already; nothing was copied")
    except StoreUnavailable as error:
        stop(f"URL: the database can't be used ({type(error.__cause__).__name__})")
    click.echo(f"{sum(copied.values())} rows in {len(copied)} tables were copied.")


COMMANDS = (db,)

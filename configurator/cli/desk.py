"""What the administration commands share: the wiring, a secret where one is needed, errors as one line."""

import functools
from collections.abc import Callable
from typing import Any

from configurator.cli.reading import stop
from configurator.errors import InvalidData
from configurator.services.ports import StoreUnavailable
from configurator.storage.engine import BadDatabaseAddress
from configurator.web.wiring import Wiring, wired

Command = Callable[..., Any]


def desk_command(function: Command) -> Command:
    """Calls the command with the wiring; a database or a data file that can't be used ends it with exit code 2."""

    @functools.wraps(function)
    def run(*arguments: Any, **options: Any) -> Any:
        wiring = wired()
        try:
            return function(wiring, *arguments, **options)
        except StoreUnavailable as error:
            stop(f"DATABASE_URL: the database can't be used ({type(error.__cause__ or error).__name__})")
        except BadDatabaseAddress:
            stop("DATABASE_URL: an address that starts with sqlite: or postgresql:")
        except InvalidData as error:
            stop(str(error))

    return run


def need_secret(wiring: Wiring) -> None:
    """Ends the command when there is no secret to derive private links from."""
    if not wiring.settings.secret_key:
        stop("TUCKLINE_SECRET_KEY must be set (or TUCKLINE_SECRET_KEY_FILE): private links are derived from it")


def need_migrated(wiring: Wiring) -> None:
    """Ends the command when the database isn't at the newest schema."""
    state = wiring.database_state()
    if state != "ready":
        stop({"unreachable": "the database can't be reached", "behind": "the database is behind: run `flask --app app db upgrade`"}[state])

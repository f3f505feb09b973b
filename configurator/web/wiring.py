"""The one place where concrete things meet: settings, the shop's data, the store, the clock.

Everything is made on first use, so that importing the app and running a pure command touch neither database nor disk.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, cast

from flask import Flask, current_app

from configurator.settings import Settings

if TYPE_CHECKING:
    from configurator.loading.shop import Shop

Clock = Callable[[], datetime]


def system_clock() -> datetime:
    """Now, aware, in UTC."""
    return datetime.now(UTC)


@dataclass
class Wiring:
    """What a request handler may ask for. Tests give their own clock, shop or store."""

    settings: Settings
    clock: Clock = system_clock

    @cached_property
    def shop(self) -> "Shop":
        from configurator.loading.shop import load_shop

        return load_shop(Path(self.settings.price_book) if self.settings.price_book else None)


def wired(app: Flask | None = None) -> Wiring:
    """The wiring of the app at hand."""
    return cast(Wiring, (app or current_app).extensions["tuckline"])

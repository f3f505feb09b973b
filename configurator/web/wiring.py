"""The one place where concrete things meet: settings, the shop's data, the store, the clock.

Everything is made on first use, so that importing the app and running a pure command touch neither database nor disk.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, cast

from flask import Flask, current_app

from configurator.settings import Settings

if TYPE_CHECKING:
    from configurator.domain.agenda import Agenda
    from configurator.loading.shop import Shop
    from configurator.services.access.logging_in import Doorkeeper
    from configurator.services.desk import Desk
    from configurator.services.links import Links
    from configurator.services.listed_sites import ListedSites
    from configurator.services.mail.sending import PostRoom
    from configurator.services.pictures.photos import Album
    from configurator.services.ports import PhotoFiles
    from configurator.services.records.erasing import Records
    from configurator.services.records.retention import Housekeeper
    from configurator.storage.store import SqlStore

Clock = Callable[[], datetime]

AGENDA_SECONDS = 3
"""How long what is booked may be remembered where nothing seems to have been written: on PostgreSQL an older entry of the history may
become visible after a newer one."""


def system_clock() -> datetime:
    """Now, aware, in UTC."""
    return datetime.now(UTC)


@dataclass
class Wiring:
    """What a request handler may ask for. Tests give their own clock, shop or store."""

    settings: Settings
    clock: Clock = system_clock
    _agenda: "tuple[object, Agenda] | None" = None

    @cached_property
    def shop(self) -> "Shop":
        from configurator.loading.published_books import book_in_force
        from configurator.loading.shop import load_shop

        book, rules = (Path(given) if given else None for given in (self.settings.price_book, self.settings.light_rules))
        return load_shop(book or book_in_force(self.settings.data_path / "price_books"), light_rules=rules)

    @cached_property
    def store(self) -> "SqlStore":
        from configurator.storage.store import SqlStore

        return SqlStore(self.settings.database_url)

    @cached_property
    def listed_sites(self) -> "ListedSites":
        """Origins of the sites that may frame the visitor's pages, besides our own."""
        from configurator.services.listed_sites import ListedSites

        return ListedSites(self.store, self.clock, self.settings.embed_sites)

    @cached_property
    def links(self) -> "Links":
        from configurator.services.links import Links

        return Links(self.settings.secret_key)

    @property
    def origin(self) -> str:
        """Where links in mail lead. Never taken from a request's Host header, which anyone can forge."""
        return self.settings.public_url or f"http://127.0.0.1:{self.settings.port}"

    def database_state(self) -> str:
        """`ready`, `behind` (migrations are missing) or `unreachable`."""
        from configurator.storage.migrate import is_current

        if not self.store.ping():
            return "unreachable"
        return "ready" if is_current(self.store.engine) else "behind"

    @cached_property
    def doorkeeper(self) -> "Doorkeeper":
        from configurator.services.access.logging_in import Doorkeeper

        return Doorkeeper(self.store, self.clock, self.links, self.settings.session_hours)

    @cached_property
    def post_room(self) -> "PostRoom":
        """What the outbox worker works with."""
        from configurator.services.mail.mailer import FolderMailer, SmtpMailer
        from configurator.services.mail.sending import PostRoom

        url, identity = self.settings.smtp_url, self.shop.book.shop
        mailer = SmtpMailer(url) if url else FolderMailer(self.mail_folder)
        sender = self.settings.mail_from or identity.email
        return PostRoom(self.store, self.clock, mailer, self.links, self.origin, sender, identity.name)

    @property
    def mail_folder(self) -> Path:
        """Where mail goes when no mail server is set."""
        return self.settings.data_path / "mail"

    @cached_property
    def photo_files(self) -> "PhotoFiles":
        """Where photos lie: a bucket when one is set, else a folder of this machine."""
        if self.settings.photo_bucket:
            from configurator.storage.photo_bucket import open_bucket

            return open_bucket(self.settings.photo_bucket)
        from configurator.storage.photo_files import FolderPhotos

        return FolderPhotos(self.settings.data_path / "photos")

    @property
    def album(self) -> "Album":
        """What photos work with."""
        from configurator.services.pictures.photos import Album

        return Album(self.store, self.clock, self.photo_files, self.shop.book.terms.max_photos)

    @property
    def records(self) -> "Records":
        """What erasing and exporting a person work with."""
        from configurator.services.records.erasing import Records
        from configurator.storage.engine import forget_what_was_overwritten

        return Records(self.store, self.clock, self.album, self.mail_folder, lambda: forget_what_was_overwritten(self.store.engine))

    @cached_property
    def housekeeper(self) -> "Housekeeper":
        """Does once an hour what time brings: retention, left-over files."""
        from configurator.services.records.retention import Housekeeper

        return Housekeeper(self.records, self.settings.retention_months)

    def bookings(self) -> "Agenda":
        """What holds a bay or hands from now on. Read again as soon as something was written, and every few seconds anyway.

        Raises StoreUnavailable. For showing only: who places something reads within its own transaction.
        """
        today = self.desk().today()
        with self.store.reading() as work:
            stamp = (work.bookings.stamp(), today.start, monotonic() // AGENDA_SECONDS)
            if self._agenda is None or self._agenda[0] != stamp:
                self._agenda = stamp, work.bookings.agenda(today)
            return self._agenda[1]

    def desk(self) -> "Desk":
        """What the request services work with."""
        return self._desk

    @cached_property
    def _desk(self) -> "Desk":
        from configurator.services import estimating
        from configurator.services.desk import Desk
        from configurator.web.letters import TemplateLetters
        from configurator.wire.selection import dump_selection, load_selection

        shop = self.shop
        return Desk(
            store=self.store,
            clock=self.clock,
            shop=shop,
            book=shop.book,
            closed_days=shop.closed_days,
            estimate=lambda selection: estimating.estimate(shop, selection),
            light=lambda selection, measured: estimating.light(shop, selection, measured),
            dump_selection=dump_selection,
            load_selection=load_selection,
            letters=TemplateLetters(),
            links=self.links,
            default_locale=self.settings.default_locale,
        )


def wired(app: Flask | None = None) -> Wiring:
    """The wiring of the app at hand."""
    return cast(Wiring, (app or current_app).extensions["tuckline"])

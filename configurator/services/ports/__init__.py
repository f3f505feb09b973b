"""What the services need from outside: a store, words for letters, a clock. Storage and wiring fit themselves to these.

One module for each repository; a transaction (`Work`) holds them all.
"""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Protocol

from configurator.services.ports.audit import Audit, RequestRows
from configurator.services.ports.bay import Bay
from configurator.services.ports.bookings import Blocks, Bookings, Feeds
from configurator.services.ports.customers import Customers
from configurator.services.ports.data_rights import DataRights
from configurator.services.ports.faults import AlreadyThere, ChangedMeanwhile, StoreUnavailable
from configurator.services.ports.mail import Letters, Mails
from configurator.services.ports.measurements import Measurements
from configurator.services.ports.photos import FilesUnavailable, PhotoFiles, Photos
from configurator.services.ports.quotes import Quotes, Scopes
from configurator.services.ports.requests import Inbox, Requests
from configurator.services.ports.sites import Sites
from configurator.services.ports.staff import Sessions, Users

__all__ = [
    "AlreadyThere",
    "Audit",
    "Bay",
    "Blocks",
    "Bookings",
    "ChangedMeanwhile",
    "Clock",
    "Customers",
    "DataRights",
    "Feeds",
    "FilesUnavailable",
    "Inbox",
    "Letters",
    "Mails",
    "Measurements",
    "PhotoFiles",
    "Photos",
    "Quotes",
    "RequestRows",
    "Requests",
    "Scopes",
    "Sessions",
    "Sites",
    "Store",
    "StoreUnavailable",
    "Users",
    "Work",
]

Clock = Callable[[], datetime]


class Work(Protocol):
    """One transaction: everything in it is kept, or nothing."""

    @property
    def bay(self) -> Bay: ...

    @property
    def requests(self) -> Requests: ...

    @property
    def inbox(self) -> Inbox: ...

    @property
    def bookings(self) -> Bookings: ...

    @property
    def blocks(self) -> Blocks: ...

    @property
    def feeds(self) -> Feeds: ...

    @property
    def mails(self) -> Mails: ...

    @property
    def measurements(self) -> Measurements: ...

    @property
    def photos(self) -> Photos: ...

    @property
    def data_rights(self) -> DataRights: ...

    @property
    def audit(self) -> Audit: ...

    @property
    def request_rows(self) -> RequestRows: ...

    @property
    def quotes(self) -> Quotes: ...

    @property
    def scopes(self) -> Scopes: ...

    @property
    def customers(self) -> Customers: ...

    @property
    def users(self) -> Users: ...

    @property
    def sessions(self) -> Sessions: ...

    @property
    def sites(self) -> Sites: ...


class Store(Protocol):
    """Where things are kept."""

    def reading(self) -> AbstractContextManager[Work]:
        """A transaction that only reads."""

    def writing(self) -> AbstractContextManager[Work]:
        """A short transaction that may write; rolled back when its block raises."""

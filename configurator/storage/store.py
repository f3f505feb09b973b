"""The store: one short transaction at a time, read or write, whole or not at all."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property

from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError
from sqlalchemy.orm import Session

from configurator.services.ports import StoreUnavailable
from configurator.storage.audit import SqlAudit
from configurator.storage.bay import SqlBay
from configurator.storage.blocks import SqlBlocks, SqlFeeds
from configurator.storage.bookings import SqlBookings
from configurator.storage.customers import SqlCustomers
from configurator.storage.data_rights import SqlDataRights
from configurator.storage.engine import WRITES, make_engine
from configurator.storage.inbox import SqlInbox
from configurator.storage.measurements import SqlMeasurements
from configurator.storage.outbox import SqlMails
from configurator.storage.photos import SqlPhotos
from configurator.storage.quotes import SqlQuotes
from configurator.storage.request_rows import SqlRequestRows
from configurator.storage.requests import SqlRequests
from configurator.storage.scopes import SqlScopes
from configurator.storage.sites import SqlSites
from configurator.storage.staff import SqlSessions, SqlUsers


class SqlWork:
    """One transaction: the repositories share its session."""

    def __init__(self, session: Session) -> None:
        self._session = session

    @cached_property
    def bay(self) -> SqlBay:
        return SqlBay(self._session)

    @cached_property
    def requests(self) -> SqlRequests:
        return SqlRequests(self._session)

    @cached_property
    def inbox(self) -> SqlInbox:
        return SqlInbox(self._session)

    @cached_property
    def bookings(self) -> SqlBookings:
        return SqlBookings(self._session)

    @cached_property
    def blocks(self) -> SqlBlocks:
        return SqlBlocks(self._session)

    @cached_property
    def feeds(self) -> SqlFeeds:
        return SqlFeeds(self._session)

    @cached_property
    def mails(self) -> SqlMails:
        return SqlMails(self._session)

    @cached_property
    def measurements(self) -> SqlMeasurements:
        return SqlMeasurements(self._session)

    @cached_property
    def photos(self) -> SqlPhotos:
        return SqlPhotos(self._session)

    @cached_property
    def data_rights(self) -> SqlDataRights:
        return SqlDataRights(self._session)

    @cached_property
    def audit(self) -> SqlAudit:
        return SqlAudit(self._session)

    @cached_property
    def request_rows(self) -> SqlRequestRows:
        return SqlRequestRows(self._session)

    @cached_property
    def quotes(self) -> SqlQuotes:
        return SqlQuotes(self._session)

    @cached_property
    def scopes(self) -> SqlScopes:
        return SqlScopes(self._session)

    @cached_property
    def customers(self) -> SqlCustomers:
        return SqlCustomers(self._session)

    @cached_property
    def users(self) -> SqlUsers:
        return SqlUsers(self._session)

    @cached_property
    def sessions(self) -> SqlSessions:
        return SqlSessions(self._session)

    @cached_property
    def sites(self) -> SqlSites:
        return SqlSites(self._session)


class SqlStore:
    """Opens transactions on one database. Connects on first use, so that a forking server shares no connection."""

    def __init__(self, url: str) -> None:
        self.url = url

    @cached_property
    def engine(self) -> Engine:
        return make_engine(self.url)

    @contextmanager
    def reading(self) -> Iterator[SqlWork]:
        """A transaction that only reads; on SQLite it never waits for a writer."""
        with self._open(writes=False) as session:
            yield SqlWork(session)

    @contextmanager
    def writing(self) -> Iterator[SqlWork]:
        """A transaction that may write: committed at the end of its block, rolled back when the block raises."""
        with self._open(writes=True) as session:
            yield SqlWork(session)
            session.commit()

    def ping(self) -> bool:
        """Whether the database answers."""
        try:
            with self.engine.connect() as connection:
                connection.execute(text("SELECT 1"))
        except OperationalError:
            return False
        return True

    @contextmanager
    def _open(self, *, writes: bool) -> Iterator[Session]:
        try:
            with (
                self.engine.connect().execution_options(**{WRITES: writes}) as connection,
                Session(connection, expire_on_commit=False) as session,
            ):
                yield session
        except OperationalError as error:
            raise StoreUnavailable from error

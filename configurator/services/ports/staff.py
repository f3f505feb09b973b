"""The staff and their sessions."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Any, Protocol

from configurator.domain.desk import Event
from configurator.domain.review import Actor
from configurator.domain.staff import Credentials, StaffSession, User


class Users(Protocol):
    """The staff."""

    def add(self, *, email: str, name: str, role: Actor, password_hash: str | None, now: datetime) -> User:
        """A new staff member. Raises AlreadyThere."""

    def all(self) -> Sequence[User]:
        """Everybody, by name."""

    def count(self) -> int:
        """How many there are."""

    def by_id(self, user_id: int) -> User | None:
        """One of them."""

    def credentials(self, email: str) -> Credentials | None:
        """What logging in checks, by e-mail address."""

    def credentials_of(self, user_id: int, *, to_use: bool = False) -> Credentials | None:
        """The same by id. `to_use`: nobody else reads them to use them until this transaction ends, so that a code counts once."""

    def set(self, user_id: int, **values: Any) -> None:
        """Writes columns of one staff member."""

    def active_owners(self) -> frozenset[int]:
        """Who can still do everything; nobody else changes them until this transaction ends."""

    def last_seen(self) -> Mapping[int, datetime]:
        """When each of them last used a session."""

    def lately(self, kinds: Collection[str], limit: int) -> Sequence[Event]:
        """Entries of these kinds in the shop's own history, newest first."""


class Sessions(Protocol):
    """Staff sessions."""

    def add(
        self, *, token_hash: str, kind: str, user_id: int | None, opened_by: int | None, label: str, now: datetime, expires_at: datetime
    ) -> None:
        """Opens a session."""

    def live(self, token_hash: str, now: datetime, idle_since: datetime) -> StaffSession | None:
        """The session of a token, if it still lasts."""

    def seen(self, session_id: int, now: datetime) -> None:
        """It was used."""

    def set_user(self, session_id: int, user_id: int | None) -> None:
        """Whose hands hold a bay tablet now."""

    def end(self, session_id: int, now: datetime) -> None:
        """It is over."""

    def end_all_of(self, user_id: int, now: datetime, *, but: int | None = None) -> None:
        """Every desk session of a staff member is over, except one."""

    def of_user(self, user_id: int, now: datetime, idle_since: datetime) -> Sequence[StaffSession]:
        """A staff member's live desk sessions, latest used first."""

    def release(self, user_id: int) -> None:
        """Takes bay tablets out of this person's hands."""

    def open_devices(self, now: datetime) -> Sequence[StaffSession]:
        """Bay tablets with an open session."""

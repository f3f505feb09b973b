"""The sites that may show the configurator, and what is known of them."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Protocol

from configurator.domain.sites import AllowedSite, TurnedAway


class Sites(Protocol):
    """The list of sites."""

    def all(self) -> Sequence[AllowedSite]:
        """Every site on the list, by name."""

    def origins(self) -> frozenset[str]:
        """Their origins alone."""

    def add(self, origin: str, *, user_id: int | None, now: datetime) -> None:
        """Puts a site on the list. Raises AlreadyThere."""

    def remove(self, origin: str) -> bool:
        """Takes it off; whether it was there."""

    def note(self, origin: str, *, turned_away: bool, now: datetime) -> None:
        """Notes that the configurator was asked for on a site. Of those turned away only the latest few are kept."""

    def turned_away(self) -> Sequence[TurnedAway]:
        """Sites that were turned away and are still not on the list, latest first."""

    def last_seen(self) -> Mapping[str, datetime]:
        """When visitors last met the configurator, by origin: sites on the list and those that the settings name."""

    def requests_since(self, since: datetime) -> Mapping[str, int]:
        """How many requests came in from each site (empty: from our own pages)."""

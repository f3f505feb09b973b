"""Which sites may show the configurator, as every request asks: remembered for seconds, so that each server process learns of a change.

Also the place where visits are noted, seldom enough that a busy site costs a write now and then and a made-up one next to nothing.
"""

import logging
from collections import OrderedDict
from collections.abc import Iterable
from datetime import datetime, timedelta

from configurator.domain.sites import origin_of
from configurator.services.ports import Clock, Store, StoreUnavailable

OLDEST = timedelta(seconds=3)
"""A site that was put on or taken off counts everywhere after this long."""
NOTED_EVERY = timedelta(minutes=5)
REFUSALS_NOTED_EVERY = timedelta(seconds=10)
MOST_REMEMBERED = 200

log = logging.getLogger(__name__)


class ListedSites:
    """The origins that may frame the configurator besides our own: those of the settings and those of the owner's list."""

    def __init__(self, store: Store, clock: Clock, always: Iterable[str]) -> None:
        self.always = frozenset(filter(None, map(origin_of, always)))
        self._store, self._clock = store, clock
        self._listed: frozenset[str] = frozenset()
        self._read_at: datetime | None = None
        self._noted: OrderedDict[str, datetime] = OrderedDict()

    def __call__(self) -> frozenset[str]:
        """All of them. While the database doesn't answer, those that were last known: visitors need no database."""
        now = self._clock()
        if self._read_at is None or not timedelta() <= now - self._read_at < OLDEST:
            try:
                with self._store.reading() as work:
                    self._listed = work.sites.origins()
            except StoreUnavailable:
                log.warning("the list of sites can't be read; going on with %d known ones", len(self._listed))
            self._read_at = now
        return self.always | self._listed

    def forget(self) -> None:
        """Reads the list afresh when it is next asked for."""
        self._read_at = None

    def note(self, origin: str, *, turned_away: bool) -> None:
        """Notes that the configurator was asked for on a site; losing a note does no harm."""
        now, key = self._clock(), "" if turned_away else origin
        seldom = REFUSALS_NOTED_EVERY if turned_away else NOTED_EVERY
        if key in self._noted and timedelta() <= now - self._noted[key] < seldom:
            return
        self._noted[key] = now
        while len(self._noted) > MOST_REMEMBERED:
            self._noted.popitem(last=False)
        try:
            with self._store.writing() as work:
                work.sites.note(origin, turned_away=turned_away, now=now)
        except StoreUnavailable:
            log.info("a visit could not be noted")

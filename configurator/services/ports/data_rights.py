"""Everything that is kept about one person: found, written out, erased."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Protocol

from configurator.domain.data_rights import Holding, Remains


class DataRights(Protocol):
    """Works on every table by the register of personal columns."""

    def held(self, email: str) -> Holding:
        """Where a person is found by their e-mail address."""

    def finished_before(self, moment: datetime, *, limit: int) -> Holding:
        """Requests that ended before a moment and still name their person, and customers of whom nothing newer is left."""

    def everything(self, holding: Holding) -> Mapping[str, Sequence[Mapping[str, Any]]]:
        """Table -> rows, as plain JSON values; without secrets and without who of the shop did what."""

    def erase(self, holding: Holding, now: datetime) -> Remains:
        """Takes the person out of every row; what lies elsewhere is named, to be removed after the transaction."""

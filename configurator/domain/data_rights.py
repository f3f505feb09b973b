"""What is kept about one person, and what is left when it is erased."""

from dataclasses import dataclass
from enum import StrEnum

from configurator.domain.review import State

NOBODY = "–"
"""Stands where a name was."""

BUSY = frozenset({State.ACCEPTED, State.SCHEDULED, State.IN_BAY})
"""The shop still needs to reach the customer, or has their car: erasing waits until that is over."""
TAKEN_BACK_FIRST = frozenset({State.RECEIVED, State.IN_REVIEW, State.QUOTED})
"""Nobody can answer a request without its person, so it is withdrawn on their behalf before it is erased."""


class Treatment(StrEnum):
    """What a column holds, and so what becomes of it when its person is erased, and whether their export has it."""

    KEPT = "kept"
    """Nothing of a customer: codes, figures, what was checked against lists of ids. Exported."""
    STAFF = "staff"
    """About who works in the shop. Kept, and left out of a customer's export."""
    KEY = "key"
    """Opens something, or is made from what a customer wrote. Replaced by fresh randomness, or nothing where it may be; never exported."""
    NAME = "name"
    """The name that lists show. Becomes `NOBODY`."""
    EMPTIED = "emptied"
    """Words of a customer or about one. Emptied."""
    CLEANED = "cleaned"
    """A document in which some words are a customer's: those are emptied, the rest is kept."""


@dataclass(frozen=True)
class HeldRequest:
    id: int
    reference: str
    state: State


@dataclass(frozen=True)
class Holding:
    """Where a person is found: ids of customers, their cars, their requests, and mails that only the address leads to."""

    customers: frozenset[int] = frozenset()
    vehicles: frozenset[int] = frozenset()
    requests: tuple[HeldRequest, ...] = ()
    mails: frozenset[int] = frozenset()

    @property
    def is_empty(self) -> bool:
        return not (self.customers or self.vehicles or self.requests or self.mails)

    @property
    def busy(self) -> tuple[HeldRequest, ...]:
        """Requests that stand in the way of erasing."""
        return tuple(request for request in self.requests if request.state in BUSY)


@dataclass(frozen=True)
class Remains:
    """What lies outside of the database and has to go too: names of photos, ids of mails."""

    photos: tuple[str, ...]
    mails: tuple[str, ...]

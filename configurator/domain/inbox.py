"""How the desk looks at its requests: groups in the order of what must be done first, views, and pages of a list."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum

from configurator.domain.review import State

GROUPS: tuple[State, ...] = (State.RECEIVED, State.IN_REVIEW, State.ACCEPTED, State.QUOTED, State.SCHEDULED, State.IN_BAY)
FINISHED: tuple[State, ...] = (State.EXPIRED, State.HANDED_OVER, State.DECLINED, State.WITHDRAWN)
PAGE_ROWS = 50
NO_ONE = 0
"""Stands for nobody where a staff member's id is asked for."""


def desk_rank(state: State) -> int:
    """Where a state stands in the inbox: new first, finished last. Rows are kept in this order."""
    return (*GROUPS, *FINISHED).index(state)


class View(StrEnum):
    OPEN = "open"
    MINE = "mine"
    NEEDS_ANSWER = "needs_answer"
    RUNNING_OUT = "running_out"
    FINISHED = "finished"

    @property
    def states(self) -> tuple[State, ...]:
        """The states that a view shows, in order."""
        return _VIEW_STATES[self]


_VIEW_STATES = {
    View.OPEN: GROUPS,
    View.MINE: GROUPS,
    View.NEEDS_ANSWER: (State.RECEIVED, State.IN_REVIEW, State.ACCEPTED),
    View.RUNNING_OUT: (State.QUOTED,),
    View.FINISHED: FINISHED,
}


@dataclass(frozen=True)
class Place:
    """Where a page of the list ended: the next one starts after it."""

    rank: int
    received_at: datetime
    id: int


@dataclass(frozen=True, kw_only=True)
class InboxQuestion:
    """What the list is asked for. `text` as typed; `assigned_to` a user's id, or NO_ONE; `longest_first` turns the time order around."""

    view: View = View.OPEN
    text: str = ""
    body: str = ""
    assigned_to: int | None = None
    expires_before: datetime | None = None
    longest_first: bool = False
    after: Place | None = None
    rows: int = PAGE_ROWS


@dataclass(frozen=True, kw_only=True)
class InboxRow:
    """One line of the list."""

    id: int
    reference: str
    state: State
    received_at: datetime
    state_since: datetime
    answer_due: datetime
    opened: bool
    name: str
    company: str
    body: str
    package: str
    edges: str
    description: str
    colour: str
    currency: str
    low: Decimal
    typical: Decimal
    high: Decimal
    days_typical: int
    days_high: int
    first_date: str
    to_settle: int
    to_know: int
    assigned_to: int | None
    locale: str
    quote_expires_at: datetime | None = None

    @property
    def place(self) -> Place:
        return Place(desk_rank(self.state), self.received_at, self.id)


@dataclass(frozen=True)
class InboxPage:
    rows: tuple[InboxRow, ...]
    has_more: bool

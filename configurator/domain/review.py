"""A request from sending to hand-over: what a visitor sends, its states, and the only moves between them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from configurator.domain.estimate import Estimate
from configurator.domain.selection import Selection
from configurator.errors import TucklineError


@dataclass(frozen=True)
class Contact:
    """Who asks. `phone` as typed until `checked_contact` has made it E.164; `language` a locale such as en_US."""

    name: str
    email: str
    phone: str | None = None
    company: str | None = None
    language: str | None = None


@dataclass(frozen=True)
class CarWords:
    """The car in the visitor's own words. The plate is personal data: never in an address or a log."""

    description: str = ""
    colour: str = ""
    plate: str = ""
    note: str = ""


@dataclass(frozen=True)
class RequestDraft:
    """What was typed, before anything of it is trusted. `price_book` is the version that the visitor saw.

    `acknowledged` holds lamp groups (or `windshield`); `consents` the ids of texts that were ticked. `source` is the site the
    visitor came from (an origin), empty for the shop's own pages.
    """

    selection: Selection
    contact: Contact
    price_book: str
    car: CarWords = field(default_factory=CarWords)
    dates: tuple[date, ...] = ()
    notes: str = ""
    acknowledged: frozenset[str] = frozenset()
    consents: Mapping[str, bool] = field(default_factory=lambda: MappingProxyType({}))
    source: str = ""


@dataclass(frozen=True)
class SubmittedRequest:
    """The answer to a submission. `token` opens the private page `/r/<token>`; `replayed` when this key was sent before."""

    reference: str
    token: str
    estimate: Estimate
    replayed: bool = False


class State(StrEnum):
    RECEIVED = "received"
    IN_REVIEW = "in_review"
    QUOTED = "quoted"
    ACCEPTED = "accepted"
    SCHEDULED = "scheduled"
    IN_BAY = "in_bay"
    HANDED_OVER = "handed_over"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"
    EXPIRED = "expired"

    @property
    def is_open(self) -> bool:
        """Something is still to be done by the shop or the visitor."""
        return self not in {State.HANDED_OVER, State.DECLINED, State.WITHDRAWN, State.EXPIRED}


class Actor(StrEnum):
    """Who may move a request: a staff role, the visitor on the private page, or the clock."""

    VISITOR = "visitor"
    OWNER = "owner"
    ADVISOR = "advisor"
    INSTALLER = "installer"
    ASSEMBLER = "assembler"
    CLOCK = "clock"


class Need(StrEnum):
    """What a move needs; the service that makes the move says which of them are met."""

    REASON = "reason"
    SETTLED_CAUTIONS = "settled_cautions"
    REASON_PER_CHANGE = "reason_per_change"
    EXPIRY_WITHIN_HELD_DATES = "expiry_within_held_dates"
    EXPIRY_PASSED = "expiry_passed"
    CURRENT_QUOTE = "current_quote"
    NAME_TYPED = "name_typed"
    ACKNOWLEDGEMENTS = "acknowledgements"
    FREE_PLACE = "free_place"
    CHECK_IN_RECORD = "check_in_record"
    TASKS_FINISHED = "tasks_finished"
    CHECKLIST_SIGNED = "checklist_signed"
    BATCHES_NAMED = "batches_named"


@dataclass(frozen=True)
class Move:
    """One allowed move: from where to where, by whom, and what must be there."""

    source: State
    target: State
    actors: frozenset[Actor]
    needs: tuple[Need, ...] = ()


class MoveRefused(TucklineError):
    """A move that isn't allowed. `reason`: `no_such_move`, `not_yours` or `missing`; `missing` names the unmet needs."""

    code = "move_refused"

    def __init__(self, source: State, target: State, reason: str, missing: tuple[Need, ...] = ()) -> None:
        self.source, self.target, self.reason, self.missing = source, target, reason, missing
        super().__init__(f"{source} -> {target}: {reason} {' '.join(missing)}".rstrip())


_DESK = frozenset({Actor.ADVISOR, Actor.OWNER})
_BAY = _DESK | {Actor.INSTALLER}
_VISITOR = frozenset({Actor.VISITOR})
_QUOTE_NEEDS = (Need.SETTLED_CAUTIONS, Need.REASON_PER_CHANGE, Need.EXPIRY_WITHIN_HELD_DATES)

MOVES: tuple[Move, ...] = (
    Move(State.RECEIVED, State.IN_REVIEW, _DESK),
    *(Move(source, State.WITHDRAWN, _VISITOR) for source in (State.RECEIVED, State.IN_REVIEW, State.QUOTED)),
    *(Move(source, State.DECLINED, _DESK, (Need.REASON,)) for source in (State.RECEIVED, State.IN_REVIEW)),
    Move(State.QUOTED, State.DECLINED, _DESK | _VISITOR, (Need.REASON,)),
    Move(State.IN_REVIEW, State.QUOTED, _DESK, _QUOTE_NEEDS),
    Move(State.QUOTED, State.QUOTED, _DESK, _QUOTE_NEEDS),
    Move(State.QUOTED, State.EXPIRED, frozenset({Actor.CLOCK}), (Need.EXPIRY_PASSED,)),
    Move(State.EXPIRED, State.IN_REVIEW, _DESK),
    Move(State.QUOTED, State.ACCEPTED, _VISITOR, (Need.CURRENT_QUOTE, Need.NAME_TYPED, Need.ACKNOWLEDGEMENTS)),
    Move(State.ACCEPTED, State.SCHEDULED, _DESK, (Need.FREE_PLACE,)),
    Move(State.SCHEDULED, State.SCHEDULED, _DESK, (Need.FREE_PLACE,)),
    Move(State.SCHEDULED, State.ACCEPTED, _DESK, (Need.REASON,)),
    *(Move(source, State.WITHDRAWN, _DESK, (Need.REASON,)) for source in (State.ACCEPTED, State.SCHEDULED)),
    Move(State.SCHEDULED, State.IN_BAY, _BAY, (Need.CHECK_IN_RECORD,)),
    Move(State.IN_BAY, State.HANDED_OVER, _BAY, (Need.TASKS_FINISHED, Need.CHECKLIST_SIGNED, Need.BATCHES_NAMED)),
)
"""The whole table; what isn't here can't happen. `scheduled -> accepted` is a no-show."""


def moves_from(state: State, actor: Actor) -> tuple[Move, ...]:
    """The moves that this actor may try from a state, in the table's order."""
    return tuple(move for move in MOVES if move.source is state and actor in move.actors)


def check_move(source: State, target: State, actor: Actor, met: Iterable[Need] = ()) -> Move:
    """The move, if it is in the table, this actor's to make, and all its needs are met. Raises MoveRefused."""
    known = [move for move in MOVES if move.source is source and move.target is target]
    if not known:
        raise MoveRefused(source, target, "no_such_move")
    move = next((move for move in known if actor in move.actors), None)
    if move is None:
        raise MoveRefused(source, target, "not_yours")
    given = set(met)
    missing = tuple(need for need in move.needs if need not in given)
    if missing:
        raise MoveRefused(source, target, "missing", missing)
    return move

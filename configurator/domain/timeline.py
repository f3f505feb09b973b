"""When the car is where: a monotone phase schedule over real opening hours."""

from dataclasses import dataclass
from datetime import date, datetime, time

NOON = time(12)


@dataclass(frozen=True)
class PlacedSpan:
    """Work on one operation by one person, start to end, inside that person's open hours."""

    operation: str
    who: str
    start: datetime
    end: datetime


@dataclass(frozen=True)
class PhaseSpan:
    """A phase of the job (`check_in`, `wash`, ..., `film`, `settle`, ...) from its first to its last minute."""

    phase: str
    start: datetime
    end: datetime


@dataclass(frozen=True)
class Stay:
    """One placement of a whole job at one quantile of its durations."""

    drop_off: datetime
    hand_back: datetime
    bay_minutes: float
    days_off_road: int
    placed: tuple[PlacedSpan, ...]
    phases: tuple[PhaseSpan, ...] = ()


@dataclass(frozen=True)
class Timeline:
    """`typical` at constant k50, `high` at constant k90 (never earlier than typical).

    `moved_from`: the day that was asked for, where the car can't be brought then (closed, nobody there to take it in).
    """

    typical: Stay
    high: Stay
    moved_from: date | None = None


@dataclass(frozen=True)
class Opening:
    """A free place: when to bring the car and when it comes back."""

    drop_off: datetime
    hand_back_typical: datetime
    hand_back_high: datetime
    days_typical: int
    days_high: int
    bay: int
    shortest: bool


@dataclass(frozen=True)
class Booking:
    """A bay held from drop-off to hand-back, and minutes of hands used per day, as far as openings care."""

    bay: int
    start: datetime
    end: datetime
    installer_minutes: tuple[tuple[date, float], ...] = ()
    assembler_minutes: tuple[tuple[date, float], ...] = ()


def days_off_road(drop_off: datetime, hand_back: datetime) -> int:
    """The number of noons in (drop-off, hand-back] on the shop's clock, at least 1. Both aware, in the shop's own zone.

    A car back at exactly 12:00 has been away that noon; one brought at exactly 12:00 has not.
    """
    midnights = (hand_back.date() - drop_off.date()).days
    return max(1, midnights + (hand_back.time() >= NOON) - (drop_off.time() >= NOON))

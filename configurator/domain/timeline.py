"""When the car is where: a monotone phase schedule over real opening hours."""

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True)
class PlacedSpan:
    """Work on one operation by one person, start to end, inside that person's open hours."""

    operation: str
    who: str
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


@dataclass(frozen=True)
class Timeline:
    """`typical` at constant k50, `high` at constant k90 (never earlier than typical)."""

    typical: Stay
    high: Stay


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
    """A bay held from drop-off to hand-back, and installer-minutes used per day, as far as openings care."""

    bay: int
    start: datetime
    end: datetime
    installer_minutes: tuple[tuple[date, float], ...] = ()

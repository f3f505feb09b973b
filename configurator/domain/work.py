"""The operations of a job: who does what where, after what, with three-point times."""

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    INSTALLER = "installer"
    ASSEMBLER = "assembler"
    ADVISOR = "advisor"


class Zone(StrEnum):
    NOSE = "nose"
    HOOD = "hood"
    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    REAR = "rear"
    ALL = "all"


class Kind(StrEnum):
    CHECK_IN = "check_in"
    WASH = "wash"
    REMOVE_FILM = "remove_film"
    STRIP_COATING = "strip_coating"
    CORRECTION = "correction"
    PARTS_OFF = "parts_off"
    FILM = "film"
    LAMP = "lamp"
    WINDSHIELD = "windshield"
    PARTS_ON = "parts_on"
    SETTLE = "settle"
    INSPECT = "inspect"
    HAND_OVER = "hand_over"


@dataclass(frozen=True)
class Operation:
    """One task. Times in minutes: least a, usual m, most b (PERT-beta). `settle` needs no hands (role None).

    `after` names operations (ids) that must be finished first. `panel` is a panel, lamp or part id, or None.
    """

    id: str
    kind: Kind
    panel: str | None
    role: Role | None
    zone: Zone
    after: tuple[str, ...]
    least: float
    usual: float
    most: float

    @property
    def mean(self) -> float:
        """(a + 4 m + b) / 6, minutes (PERT)."""
        return (self.least + 4 * self.usual + self.most) / 6

    @property
    def variance(self) -> float:
        """(mu - a)(b - mu) / 7, minutes squared: the exact variance of the PERT-beta, not the ((b - a) / 6)^2 convention."""
        return (self.mean - self.least) * (self.most - self.mean) / 7

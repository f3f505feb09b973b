"""The operations of a job: who does what where, after what, with three-point times."""

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from configurator.domain.moments import pert_mean, pert_variance
from configurator.domain.price_book import Triple


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
class Step:
    """One task inside an operation, as a work order ticks it off, in usual minutes.

    `code`: prepare, lay, trimmed, wrapped, hidden (an edge of the kind in `detail`), seam, recess; `quantity` in `unit`.
    """

    code: str
    quantity: float
    unit: str
    minutes: float
    detail: str | None = None


@dataclass(frozen=True)
class Operation:
    """One task. Times in minutes: least a, usual m, most b (PERT-beta). `settle` needs no hands (role None).

    `after` names operations (ids) that must be finished first. `panel` is a panel, lamp or part id, or None. The steps of a film
    operation (prepare, lay, edges, seams, recesses) add up to its usual minutes; other operations have none.
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
    steps: tuple[Step, ...] = ()

    @classmethod
    def timed(
        cls,
        kind: Kind,
        times: Triple,
        *,
        id: str,
        role: Role | None,
        zone: Zone = Zone.ALL,
        panel: str | None = None,
        after: tuple[str, ...] = (),
        steps: tuple[Step, ...] = (),
    ) -> "Operation":
        """An operation with the least, usual and most minutes of `times`."""
        minutes = {"least": times.least, "usual": times.usual, "most": times.most}
        return cls(id=id, kind=kind, panel=panel, role=role, zone=zone, after=after, steps=steps, **minutes)

    @property
    def mean(self) -> float:
        """Mean of the PERT-beta, minutes."""
        return pert_mean(self.least, self.usual, self.most)

    @property
    def variance(self) -> float:
        """Exact variance of the PERT-beta, minutes squared."""
        return pert_variance(self.least, self.usual, self.most)

    @property
    def deviation(self) -> float:
        """Standard deviation, minutes."""
        return sqrt(self.variance)

"""What is written down when a car comes in: its marks, paint readings, odometer, keys, and who agreed to it."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from configurator.domain.desk import Person

LIKELY_RESPRAY_UM = 200
"""A reading above this suggests that a panel was painted again. Common practice, no source."""


class DamageKind(StrEnum):
    CHIP = "chip"
    SCRATCH = "scratch"
    DENT = "dent"
    CRACK = "crack"
    CORROSION = "corrosion"
    STAIN = "stain"
    LIFTING = "lifting"
    OTHER = "other"


class OdometerUnit(StrEnum):
    MILE = "mile"
    KILOMETER = "kilometer"


@dataclass(frozen=True)
class Damage:
    """One mark that was there before the work: on which panel, what kind, in which words."""

    panel: str
    kind: DamageKind
    note: str = ""


@dataclass(frozen=True)
class PaintReading:
    """Paint gauge readings on one panel, micrometres, in the order they were taken."""

    panel: str
    micrometres: tuple[int, ...]

    @property
    def suggests_respray(self) -> bool:
        return max(self.micrometres) > LIKELY_RESPRAY_UM


@dataclass(frozen=True, kw_only=True)
class CheckIn:
    """The check-in record. `fuel_percent` is fuel, or charge of an electric car; `signed` the name that the customer typed."""

    at: datetime
    by: Person
    odometer: int
    odometer_unit: OdometerUnit
    keys: int
    key_tag: str = ""
    fuel_percent: int | None = None
    items: str = ""
    notes: str = ""
    damage: tuple[Damage, ...] = ()
    readings: tuple[PaintReading, ...] = ()
    signed: str = ""


@dataclass(frozen=True, kw_only=True)
class CheckInDraft:
    """The same as typed, before anything of it is trusted."""

    odometer: str = ""
    odometer_unit: str = OdometerUnit.MILE
    keys: str = ""
    key_tag: str = ""
    fuel_percent: str = ""
    items: str = ""
    notes: str = ""
    damage: tuple[tuple[str, str, str], ...] = ()
    """Panel, kind and note of each row; a row without a panel is empty."""
    readings: tuple[tuple[str, str], ...] = field(default=())
    """Panel id and what was typed for it: one to three numbers."""
    signed: str = ""

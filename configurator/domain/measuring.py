"""What staff measured of a car's light: bare lamps in candela, the bare windshield, film that lies on a lamp already."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from configurator.domain.lamps import WINDSHIELD, Measured
from configurator.domain.light import LampLight
from configurator.errors import Fault

BRIGHTEST_CD = 500_000.0
"""No road lamp comes near it (430 000 cd is the most for all high beams of a car together: UN R48, 6.1.9.2, from memory)."""
LEAST_SHARE = 0.01


@dataclass(frozen=True)
class LampReading:
    """One function of a lamp group, measured bare in its direction of reference, in candela."""

    lamp: str
    function: str
    candela: float


@dataclass(frozen=True)
class LayerReading:
    """The share of light (0..1) that what lies on a lamp group (or the windshield) already lets through."""

    lamp: str
    share: float


@dataclass(frozen=True)
class Measurement:
    """What was measured on one car. `glass` is the bare windshield's share of light (0..1), None where nobody measured it."""

    lamps: tuple[LampReading, ...] = ()
    layers: tuple[LayerReading, ...] = ()
    glass: float | None = None

    @property
    def is_empty(self) -> bool:
        return not self.lamps and not self.layers and self.glass is None

    def measured(self) -> Measured:
        """The same as the verdicts take it."""
        return Measured(
            lamp_cd={(reading.lamp, reading.function): reading.candela for reading in self.lamps},
            layers={layer.lamp: (layer.share,) for layer in self.layers},
            glass=self.glass,
        )


@dataclass(frozen=True)
class KeptMeasurement:
    """A measurement with who typed it and when."""

    values: Measurement
    by: str
    at: datetime


def measurable(light: Iterable[LampLight]) -> tuple[tuple[str, str], ...]:
    """The lamp functions (lamp group, function) behind film for which a candela value would decide something."""
    return tuple((row.lamp, each.function) for row in light for each in row.functions if each.minimum_cd is not None)


def measurement_faults(values: Measurement, light: Iterable[LampLight]) -> tuple[Fault, ...]:
    """What can't be: figures no lamp or glass has, and functions that this car has no film on. Paths as the form names its fields."""
    rows = tuple(light)
    known, filmed = set(measurable(rows)), {row.lamp for row in rows if row.film != "none"}
    faults = []
    for reading in values.lamps:
        path = f"cd.{reading.lamp}.{reading.function}"
        if (reading.lamp, reading.function) not in known:
            faults.append(Fault(path, "unknown_id", {"id": reading.function}))
        elif not 0 < reading.candela <= BRIGHTEST_CD:
            faults.append(Fault(path, "candela_out_of_range", {"most": BRIGHTEST_CD}))
    for layer in values.layers:
        if layer.lamp not in filmed:
            faults.append(Fault(f"layer.{layer.lamp}", "unknown_id", {"id": layer.lamp}))
        elif not LEAST_SHARE <= layer.share <= 1:
            faults.append(Fault(f"layer.{layer.lamp}", "share_out_of_range", {"least": LEAST_SHARE}))
    if values.glass is not None and WINDSHIELD not in filmed:
        faults.append(Fault("glass", "unknown_id", {"id": WINDSHIELD}))
    elif values.glass is not None and not LEAST_SHARE <= values.glass <= 1:
        faults.append(Fault("glass", "share_out_of_range", {"least": LEAST_SHARE}))
    return tuple(faults)

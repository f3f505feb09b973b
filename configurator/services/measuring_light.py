"""Lamps and glass of a request's car as measured in the shop, and what the rules make of them then."""

from dataclasses import dataclass

from configurator.domain.desk import Event, Person, Request
from configurator.domain.lamps import NOTHING_MEASURED, needs_acknowledging
from configurator.domain.light import LampLight
from configurator.domain.measuring import KeptMeasurement, Measurement, measurement_faults
from configurator.errors import InvalidInput
from configurator.services.desk import Desk
from configurator.services.ports import Work
from configurator.services.reviewing import find_as_read


@dataclass(frozen=True)
class LightReading:
    """The verdicts without and with what was measured; `kept` is None where nothing was."""

    unmeasured: tuple[LampLight, ...]
    light: tuple[LampLight, ...]
    kept: KeptMeasurement | None


def light_of(request: Request, desk: Desk, work: Work) -> LightReading:
    """Lamps and glass of the request as it now stands, by today's rules. Raises InvalidInput when the shop can't make it any more."""
    selection = desk.load_selection(request.selection)
    kept = work.measurements.of(request.id)
    unmeasured = desk.light(selection, NOTHING_MEASURED)
    return LightReading(unmeasured, desk.light(selection, kept.values.measured()) if kept else unmeasured, kept)


def unacknowledged(request: Request, light: tuple[LampLight, ...]) -> tuple[str, ...]:
    """The lamps (or windshield) that now need an acknowledgement which the visitor never gave: measuring made them worse."""
    return tuple(lamp for lamp in needs_acknowledging(light) if lamp not in request.acknowledged)


def record_measurement(reference: str, revision: int, values: Measurement, by: Person, desk: Desk) -> None:
    """Keeps what was measured, in place of what was kept before; empty values take it back. Raises InvalidInput, ChangedMeanwhile."""
    with desk.store.writing() as work:
        request = find_as_read(reference, revision, work)
        faults = measurement_faults(values, desk.light(desk.load_selection(request.selection), NOTHING_MEASURED))
        if faults:
            raise InvalidInput(faults)
        work.measurements.keep(request.id, values, by, desk.clock())
        kind = "light_unmeasured" if values.is_empty else "light_measured"
        work.requests.record(request.id, Event(at=desk.clock(), by=by, kind=kind))

"""What was measured on cars."""

from datetime import datetime
from typing import Protocol

from configurator.domain.desk import Person
from configurator.domain.measuring import KeptMeasurement, Measurement


class Measurements(Protocol):
    """One measurement for each request; a later one takes the place of the earlier."""

    def of(self, request_id: int) -> KeptMeasurement | None:
        """What was measured on this request's car."""

    def keep(self, request_id: int, values: Measurement, by: Person, at: datetime) -> None:
        """Keeps it, or forgets it when it is empty."""

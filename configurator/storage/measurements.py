"""What was measured on cars, in the database."""

from datetime import datetime

from sqlalchemy import delete
from sqlalchemy.orm import Session

from configurator.domain.desk import Person
from configurator.domain.measuring import KeptMeasurement, Measurement
from configurator.storage.models import MeasurementRow
from configurator.storage.typed_json import decode, encode


class SqlMeasurements:
    """The measurements of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def of(self, request_id: int) -> KeptMeasurement | None:
        """What was measured on this request's car."""
        row = self._session.get(MeasurementRow, request_id)
        return None if row is None else KeptMeasurement(decode(Measurement, row.document), row.by_name, row.at)

    def keep(self, request_id: int, values: Measurement, by: Person, at: datetime) -> None:
        """Keeps it in place of the earlier one, or forgets it when it is empty."""
        self._session.execute(delete(MeasurementRow).where(MeasurementRow.request_id == request_id))
        if not values.is_empty:
            self._session.add(MeasurementRow(request_id=request_id, document=encode(values), user_id=by.id, by_name=by.name, at=at))
            self._session.flush()

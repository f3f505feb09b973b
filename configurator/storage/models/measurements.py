"""What was measured on a request's car."""

from datetime import datetime

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import JsonDocument, UtcDateTime
from configurator.storage.models.base import Base


class MeasurementRow(Base):
    """Bare lamps, bare glass and film already there, as staff typed them."""

    __tablename__ = "measurements"

    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"), primary_key=True)
    document: Mapped[dict[str, object]] = mapped_column(JsonDocument)
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    by_name: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(UtcDateTime)

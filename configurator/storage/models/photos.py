"""The table of photos. Their files lie elsewhere, under random names."""

from datetime import datetime

from sqlalchemy import ForeignKey, Index, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, UtcDateTime, code
from configurator.storage.models.base import Base


class PhotoRow(Base):
    """A photo of a request; sizes are those of the large file, in pixels and bytes."""

    __tablename__ = "photos"
    __table_args__ = (Index("ix_photos_request", "request_id", "kind", "id"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    request_id: Mapped[int] = mapped_column(ForeignKey("requests.id"))
    kind: Mapped[str] = mapped_column(code(20))
    name: Mapped[str] = mapped_column(code(64), unique=True)
    caption: Mapped[str] = mapped_column(String(120))
    width: Mapped[int] = mapped_column(Integer)
    height: Mapped[int] = mapped_column(Integer)
    size_bytes: Mapped[int] = mapped_column(Integer)
    added_at: Mapped[datetime] = mapped_column(UtcDateTime)
    actor: Mapped[str] = mapped_column(code(20))
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))

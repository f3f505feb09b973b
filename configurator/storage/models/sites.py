"""Tables of the sites that show the configurator, and of where it was asked for."""

from datetime import datetime

from sqlalchemy import Boolean, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import UtcDateTime, code
from configurator.storage.models.base import Base


class AllowedSiteRow(Base):
    """A site that may show the configurator, by its origin."""

    __tablename__ = "allowed_sites"

    origin: Mapped[str] = mapped_column(code(280), primary_key=True)
    added_at: Mapped[datetime] = mapped_column(UtcDateTime)
    added_by: Mapped[int | None] = mapped_column(ForeignKey("users.id"))


class SeenSiteRow(Base):
    """When the configurator was last asked for on a site, and whether it was refused there."""

    __tablename__ = "seen_sites"

    origin: Mapped[str] = mapped_column(code(280), primary_key=True)
    seen_at: Mapped[datetime] = mapped_column(UtcDateTime)
    turned_away: Mapped[bool] = mapped_column(Boolean)

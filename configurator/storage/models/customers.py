"""Tables beside the customers: the words they are found by, what was changed of them, and who was merged into whom."""

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code
from configurator.storage.models.base import Base


class CustomerWordRow(Base):
    """A word (lower case, no accents) that a customer is found by. A prefix of it is enough."""

    __tablename__ = "customer_words"

    word: Mapped[str] = mapped_column(code(60), primary_key=True)
    customer_id: Mapped[int] = mapped_column(ForeignKey("customers.id", ondelete="CASCADE"), primary_key=True, index=True)


class CustomerChangeRow(Base):
    """One change of a customer or of their car. `fields`: name of the field -> [before, after]; personal, so erasing clears it."""

    __tablename__ = "customer_changes"
    __table_args__ = (Index("ix_customer_changes_customer", "customer_id", "id"),)

    id: Mapped[int] = mapped_column(Id, primary_key=True)
    customer_id: Mapped[int] = mapped_column(ForeignKey("customers.id"))
    vehicle_id: Mapped[int | None] = mapped_column(ForeignKey("vehicles.id"))
    at: Mapped[datetime] = mapped_column(UtcDateTime)
    kind: Mapped[str] = mapped_column(code())
    user_id: Mapped[int | None] = mapped_column(ForeignKey("users.id"))
    actor: Mapped[str] = mapped_column(code(20))
    actor_name: Mapped[str] = mapped_column(String(120))
    fields: Mapped[dict[str, list[str]]] = mapped_column(JsonDocument)


class MergedCustomerRow(Base):
    """A customer who turned out to be another: an old address still leads to the one that stayed."""

    __tablename__ = "merged_customers"

    old_id: Mapped[int] = mapped_column(Id, primary_key=True, autoincrement=False)
    customer_id: Mapped[int] = mapped_column(ForeignKey("customers.id"), index=True)

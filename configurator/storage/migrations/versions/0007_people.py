"""Customers, vehicles and people."""

import sqlalchemy as sa
from alembic import op

from configurator.domain.finding import customer_words
from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    op.add_column("mails", sa.Column("user_id", Id, nullable=True))
    op.add_column("customers", sa.Column("revision", sa.Integer(), nullable=False, server_default="1"))
    op.add_column("vehicles", sa.Column("revision", sa.Integer(), nullable=False, server_default="1"))
    op.create_table(
        "customer_words",
        sa.Column("word", code(60), nullable=False),
        sa.Column("customer_id", Id, nullable=False),
        sa.ForeignKeyConstraint(["customer_id"], ["customers.id"], name="fk_customer_words_customer_id_customers", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("word", "customer_id", name="pk_customer_words"),
    )
    op.create_index("ix_customer_words_customer_id", "customer_words", ["customer_id"])
    op.create_table(
        "customer_changes",
        sa.Column("id", Id, nullable=False),
        sa.Column("customer_id", Id, nullable=False),
        sa.Column("vehicle_id", Id, nullable=True),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.Column("kind", code(40), nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.Column("actor", code(20), nullable=False),
        sa.Column("actor_name", sa.String(length=120), nullable=False),
        sa.Column("fields", JsonDocument, nullable=False),
        sa.ForeignKeyConstraint(["customer_id"], ["customers.id"], name="fk_customer_changes_customer_id_customers"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_customer_changes_user_id_users"),
        sa.ForeignKeyConstraint(["vehicle_id"], ["vehicles.id"], name="fk_customer_changes_vehicle_id_vehicles"),
        sa.PrimaryKeyConstraint("id", name="pk_customer_changes"),
    )
    op.create_index("ix_customer_changes_customer", "customer_changes", ["customer_id", "id"])
    op.create_table(
        "merged_customers",
        sa.Column("old_id", Id, nullable=False, autoincrement=False),
        sa.Column("customer_id", Id, nullable=False),
        sa.ForeignKeyConstraint(["customer_id"], ["customers.id"], name="fk_merged_customers_customer_id_customers"),
        sa.PrimaryKeyConstraint("old_id", name="pk_merged_customers"),
    )
    op.create_index("ix_merged_customers_customer_id", "merged_customers", ["customer_id"])
    op.create_index("ix_requests_expiring", "requests", ["desk_rank", "quote_expires_at", "id"])
    op.create_index("ix_vehicles_plate", "vehicles", ["plate_key"])
    _index_customers()


def downgrade() -> None:
    op.drop_index("ix_vehicles_plate", "vehicles")
    op.drop_index("ix_requests_expiring", "requests")
    op.drop_table("merged_customers")
    op.drop_table("customer_changes")
    op.drop_table("customer_words")
    op.drop_column("vehicles", "revision")
    op.drop_column("customers", "revision")
    op.drop_column("mails", "user_id")


def _index_customers() -> None:
    """The words of the customers who are there already."""
    connection = op.get_bind()
    customers = sa.table("customers", *map(sa.column, ("id", "name", "company", "email", "phone", "erased_at")))
    vehicles = sa.table("vehicles", *map(sa.column, ("customer_id", "plate")))
    words = sa.table("customer_words", sa.column("word"), sa.column("customer_id"))
    for row in connection.execute(sa.select(customers).where(customers.c.erased_at.is_(None))):
        plates = connection.scalars(sa.select(vehicles.c.plate).where(vehicles.c.customer_id == row.id)).all()
        found_by = customer_words(name=row.name, company=row.company, email=row.email, phone=row.phone, plates=plates)
        if found_by:
            connection.execute(sa.insert(words), [{"word": word, "customer_id": row.id} for word in sorted(found_by)])

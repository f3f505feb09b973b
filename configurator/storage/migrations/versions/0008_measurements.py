"""What was measured on a request's car."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, JsonDocument, UtcDateTime

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    op.create_table(
        "measurements",
        sa.Column("request_id", Id, nullable=False),
        sa.Column("document", JsonDocument, nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.Column("by_name", sa.String(length=120), nullable=False),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_measurements_request_id_requests"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_measurements_user_id_users"),
        sa.PrimaryKeyConstraint("request_id", name="pk_measurements"),
    )


def downgrade() -> None:
    op.drop_table("measurements")

"""Sites that may frame the configurator, and where it was asked for."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, UtcDateTime, code

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "allowed_sites",
        sa.Column("origin", code(280), nullable=False),
        sa.Column("added_at", UtcDateTime, nullable=False),
        sa.Column("added_by", Id, nullable=True),
        sa.ForeignKeyConstraint(["added_by"], ["users.id"], name="fk_allowed_sites_added_by_users"),
        sa.PrimaryKeyConstraint("origin", name="pk_allowed_sites"),
    )
    op.create_table(
        "seen_sites",
        sa.Column("origin", code(280), nullable=False),
        sa.Column("seen_at", UtcDateTime, nullable=False),
        sa.Column("turned_away", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("origin", name="pk_seen_sites"),
    )


def downgrade() -> None:
    op.drop_table("seen_sites")
    op.drop_table("allowed_sites")

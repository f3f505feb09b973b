"""Photos of requests and bay records; ways into the audit trail by person and by kind."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, UtcDateTime, code

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    op.create_table(
        "photos",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.Column("kind", code(20), nullable=False),
        sa.Column("name", code(64), nullable=False),
        sa.Column("caption", sa.String(length=120), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("size_bytes", sa.Integer(), nullable=False),
        sa.Column("added_at", UtcDateTime, nullable=False),
        sa.Column("actor", code(20), nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_photos_request_id_requests"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_photos_user_id_users"),
        sa.PrimaryKeyConstraint("id", name="pk_photos"),
        sa.UniqueConstraint("name", name="uq_photos_name"),
    )
    op.create_index("ix_photos_request", "photos", ["request_id", "kind", "id"])
    op.create_index("ix_events_user", "events", ["user_id", "id"])
    op.create_index("ix_events_kind", "events", ["kind", "id"])


def downgrade() -> None:
    op.drop_index("ix_events_kind", "events")
    op.drop_index("ix_events_user", "events")
    op.drop_index("ix_photos_request", "photos")
    op.drop_table("photos")

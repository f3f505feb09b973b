"""Bay bookings, blocked time and calendar feeds."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.create_table(
        "bookings",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.Column("uid", code(80), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("bay", sa.Integer(), nullable=False),
        sa.Column("start_at", UtcDateTime, nullable=False),
        sa.Column("typical_end_at", UtcDateTime, nullable=False),
        sa.Column("end_at", UtcDateTime, nullable=False),
        sa.Column("settles_from", UtcDateTime, nullable=True),
        sa.Column("settles_until", UtcDateTime, nullable=True),
        sa.Column("days_typical", sa.Integer(), nullable=False),
        sa.Column("days_high", sa.Integer(), nullable=False),
        sa.Column("installer_minutes", JsonDocument, nullable=False),
        sa.Column("assembler_minutes", JsonDocument, nullable=False),
        sa.Column("made_at", UtcDateTime, nullable=False),
        sa.Column("changed_at", UtcDateTime, nullable=False),
        sa.Column("released_at", UtcDateTime, nullable=True),
        sa.CheckConstraint("start_at < end_at AND typical_end_at <= end_at", name="ck_bookings_in_order"),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_bookings_request_id_requests"),
        sa.PrimaryKeyConstraint("id", name="pk_bookings"),
        sa.UniqueConstraint("request_id", name="uq_bookings_request_id"),
        sa.UniqueConstraint("uid", name="uq_bookings_uid"),
    )
    op.create_index("ix_bookings_end_at", "bookings", ["end_at"])
    op.create_table(
        "blocks",
        sa.Column("id", Id, nullable=False),
        sa.Column("bay", sa.Integer(), nullable=True),
        sa.Column("person", sa.String(length=120), nullable=False),
        sa.Column("start_at", UtcDateTime, nullable=False),
        sa.Column("end_at", UtcDateTime, nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.Column("made_by", Id, nullable=True),
        sa.Column("made_at", UtcDateTime, nullable=False),
        sa.Column("removed_at", UtcDateTime, nullable=True),
        sa.CheckConstraint("start_at < end_at AND (bay IS NULL) <> (person = '')", name="ck_blocks_bay_or_person"),
        sa.ForeignKeyConstraint(["made_by"], ["users.id"], name="fk_blocks_made_by_users"),
        sa.PrimaryKeyConstraint("id", name="pk_blocks"),
    )
    op.create_index("ix_blocks_end_at", "blocks", ["end_at"])
    op.create_table(
        "calendar_feeds",
        sa.Column("user_id", Id, autoincrement=False, nullable=False),
        sa.Column("nonce", code(64), nullable=False),
        sa.Column("token_hash", code(64), nullable=False),
        sa.Column("made_at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_calendar_feeds_user_id_users"),
        sa.PrimaryKeyConstraint("user_id", name="pk_calendar_feeds"),
        sa.UniqueConstraint("token_hash", name="uq_calendar_feeds_token_hash"),
    )


def downgrade() -> None:
    op.drop_table("calendar_feeds")
    op.drop_index("ix_blocks_end_at", "blocks")
    op.drop_table("blocks")
    op.drop_index("ix_bookings_end_at", "bookings")
    op.drop_table("bookings")

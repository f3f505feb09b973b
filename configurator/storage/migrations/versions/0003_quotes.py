"""Firm quotes, their drafts, and the scope that the visitor asked for."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.create_table(
        "quote_drafts",
        sa.Column("request_id", Id, nullable=False),
        sa.Column("document", JsonDocument, nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_quote_drafts_request_id_requests"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_quote_drafts_user_id_users"),
        sa.PrimaryKeyConstraint("request_id", name="pk_quote_drafts"),
    )
    op.create_table(
        "quotes",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("document", JsonDocument, nullable=False),
        sa.Column("currency", code(3), nullable=False),
        sa.Column("total_minor", sa.BigInteger(), nullable=False),
        sa.Column("sent_at", UtcDateTime, nullable=False),
        sa.Column("sent_by", Id, nullable=True),
        sa.Column("sent_by_name", sa.String(length=120), nullable=False),
        sa.Column("expires_at", UtcDateTime, nullable=False),
        sa.Column("opened_at", UtcDateTime, nullable=True),
        sa.Column("voided_at", UtcDateTime, nullable=True),
        sa.Column("accepted_at", UtcDateTime, nullable=True),
        sa.Column("declined_at", UtcDateTime, nullable=True),
        sa.Column("acceptance", JsonDocument, nullable=True),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_quotes_request_id_requests"),
        sa.ForeignKeyConstraint(["sent_by"], ["users.id"], name="fk_quotes_sent_by_users"),
        sa.PrimaryKeyConstraint("id", name="pk_quotes"),
        sa.UniqueConstraint("request_id", "version", name="uq_quotes_request_id_version"),
    )
    op.create_table(
        "original_scopes",
        sa.Column("request_id", Id, nullable=False),
        sa.Column("selection", JsonDocument, nullable=False),
        sa.Column("estimate", JsonDocument, nullable=False),
        sa.Column("acknowledged", JsonDocument, nullable=False),
        sa.Column("kept_at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_original_scopes_request_id_requests"),
        sa.PrimaryKeyConstraint("request_id", name="pk_original_scopes"),
    )


def downgrade() -> None:
    for table in ("original_scopes", "quotes", "quote_drafts"):
        op.drop_table(table)

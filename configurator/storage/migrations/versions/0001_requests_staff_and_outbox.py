"""Requests, staff and outbox."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "customers",
        sa.Column("id", Id, nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("email_key", code(254), nullable=False),
        sa.Column("phone", sa.String(length=60), nullable=True),
        sa.Column("company", sa.String(length=120), nullable=True),
        sa.Column("tax_number", sa.String(length=40), nullable=True),
        sa.Column("language", sa.String(length=20), nullable=False),
        sa.Column("created_at", UtcDateTime, nullable=False),
        sa.Column("erased_at", UtcDateTime, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_customers"),
    )
    op.create_index("ix_customers_email_key", "customers", ["email_key"])
    op.create_table(
        "heartbeats",
        sa.Column("worker", code(40), nullable=False),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.PrimaryKeyConstraint("worker", name="pk_heartbeats"),
    )
    op.create_table(
        "users",
        sa.Column("id", Id, nullable=False),
        sa.Column("email", code(254), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("role", code(20), nullable=False),
        sa.Column("password_hash", code(200), nullable=True),
        sa.Column("is_active", sa.Boolean(), nullable=False),
        sa.Column("language", sa.String(length=20), nullable=True),
        sa.Column("keys_on", sa.Boolean(), nullable=False),
        sa.Column("failed_tries", sa.Integer(), nullable=False),
        sa.Column("locked_until", UtcDateTime, nullable=True),
        sa.Column("totp_nonce", code(64), nullable=True),
        sa.Column("totp_on_since", UtcDateTime, nullable=True),
        sa.Column("totp_last_step", sa.Integer(), nullable=True),
        sa.Column("recovery_hashes", JsonDocument, nullable=False),
        sa.Column("pin_hash", code(200), nullable=True),
        sa.Column("pin_failed_tries", sa.Integer(), nullable=False),
        sa.Column("pin_locked_until", UtcDateTime, nullable=True),
        sa.Column("reset_nonce", code(64), nullable=True),
        sa.Column("created_at", UtcDateTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_users"),
        sa.UniqueConstraint("email", name="uq_users_email"),
    )
    op.create_table(
        "sessions",
        sa.Column("id", Id, nullable=False),
        sa.Column("token_hash", code(64), nullable=False),
        sa.Column("kind", code(10), nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.Column("opened_by", Id, nullable=True),
        sa.Column("label", sa.String(length=80), nullable=False),
        sa.Column("created_at", UtcDateTime, nullable=False),
        sa.Column("seen_at", UtcDateTime, nullable=False),
        sa.Column("expires_at", UtcDateTime, nullable=False),
        sa.Column("ended_at", UtcDateTime, nullable=True),
        sa.ForeignKeyConstraint(["opened_by"], ["users.id"], name="fk_sessions_opened_by_users"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_sessions_user_id_users"),
        sa.PrimaryKeyConstraint("id", name="pk_sessions"),
        sa.UniqueConstraint("token_hash", name="uq_sessions_token_hash"),
    )
    op.create_index("ix_sessions_user_id", "sessions", ["user_id"])
    op.create_table(
        "vehicles",
        sa.Column("id", Id, nullable=False),
        sa.Column("customer_id", Id, nullable=False),
        sa.Column("body", code(40), nullable=False),
        sa.Column("description", sa.String(length=200), nullable=False),
        sa.Column("colour", sa.String(length=60), nullable=False),
        sa.Column("plate", sa.String(length=20), nullable=False),
        sa.Column("plate_key", code(20), nullable=False),
        sa.Column("odometer", sa.Integer(), nullable=True),
        sa.Column("created_at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["customer_id"], ["customers.id"], name="fk_vehicles_customer_id_customers"),
        sa.PrimaryKeyConstraint("id", name="pk_vehicles"),
    )
    op.create_index("ix_vehicles_customer_id", "vehicles", ["customer_id"])
    op.create_table(
        "requests",
        sa.Column("id", Id, nullable=False),
        sa.Column("reference", code(20), nullable=False),
        sa.Column("link_nonce", code(64), nullable=False),
        sa.Column("link_hash", code(64), nullable=False),
        sa.Column("idempotency_key", code(200), nullable=True),
        sa.Column("fingerprint", code(64), nullable=False),
        sa.Column("state", code(20), nullable=False),
        sa.Column("desk_rank", sa.Integer(), nullable=False),
        sa.Column("state_since", UtcDateTime, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("received_at", UtcDateTime, nullable=False),
        sa.Column("answer_due", UtcDateTime, nullable=False),
        sa.Column("opened_at", UtcDateTime, nullable=True),
        sa.Column("assigned_to", Id, nullable=True),
        sa.Column("customer_id", Id, nullable=False),
        sa.Column("vehicle_id", Id, nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("phone", sa.String(length=60), nullable=True),
        sa.Column("company", sa.String(length=120), nullable=True),
        sa.Column("language", sa.String(length=20), nullable=True),
        sa.Column("car", JsonDocument, nullable=False),
        sa.Column("dates", JsonDocument, nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("acknowledged", JsonDocument, nullable=False),
        sa.Column("consents", JsonDocument, nullable=False),
        sa.Column("source", sa.String(length=300), nullable=False),
        sa.Column("locale", sa.String(length=20), nullable=False),
        sa.Column("selection", JsonDocument, nullable=False),
        sa.Column("estimate", JsonDocument, nullable=False),
        sa.Column("price_book", sa.String(length=60), nullable=False),
        sa.Column("body", code(40), nullable=False),
        sa.Column("package", code(40), nullable=False),
        sa.Column("region", code(40), nullable=False),
        sa.Column("edges", code(40), nullable=False),
        sa.Column("currency", code(3), nullable=False),
        sa.Column("price_low_minor", sa.BigInteger(), nullable=False),
        sa.Column("price_typical_minor", sa.BigInteger(), nullable=False),
        sa.Column("price_high_minor", sa.BigInteger(), nullable=False),
        sa.Column("days_typical", sa.Integer(), nullable=False),
        sa.Column("days_high", sa.Integer(), nullable=False),
        sa.Column("to_settle", sa.Integer(), nullable=False),
        sa.Column("to_know", sa.Integer(), nullable=False),
        sa.Column("quote_expires_at", UtcDateTime, nullable=True),
        sa.CheckConstraint(
            "price_low_minor <= price_typical_minor AND price_typical_minor <= price_high_minor", name=op.f("ck_requests_price_in_order")
        ),
        sa.ForeignKeyConstraint(["assigned_to"], ["users.id"], name="fk_requests_assigned_to_users"),
        sa.ForeignKeyConstraint(["customer_id"], ["customers.id"], name="fk_requests_customer_id_customers"),
        sa.ForeignKeyConstraint(["vehicle_id"], ["vehicles.id"], name="fk_requests_vehicle_id_vehicles"),
        sa.PrimaryKeyConstraint("id", name="pk_requests"),
        sa.UniqueConstraint("idempotency_key", name="uq_requests_idempotency_key"),
        sa.UniqueConstraint("link_hash", name="uq_requests_link_hash"),
        sa.UniqueConstraint("reference", name="uq_requests_reference"),
    )
    op.create_index("ix_requests_assigned", "requests", ["assigned_to", "desk_rank", "received_at", "id"])
    op.create_index("ix_requests_body", "requests", ["body", "desk_rank", "received_at", "id"])
    op.create_index("ix_requests_customer_id", "requests", ["customer_id"])
    op.create_index("ix_requests_inbox", "requests", ["desk_rank", "received_at", "id"])
    op.create_index("ix_requests_vehicle_id", "requests", ["vehicle_id"])
    op.create_table(
        "events",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=True),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.Column("kind", code(40), nullable=False),
        sa.Column("source", code(20), nullable=True),
        sa.Column("target", code(20), nullable=True),
        sa.Column("actor", code(20), nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.Column("actor_name", sa.String(length=120), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("facts", JsonDocument, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_events_request_id_requests"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_events_user_id_users"),
        sa.PrimaryKeyConstraint("id", name="pk_events"),
    )
    op.create_index("ix_events_at", "events", ["at", "id"])
    op.create_index("ix_events_request", "events", ["request_id", "id"])
    op.create_table(
        "mails",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=True),
        sa.Column("kind", code(40), nullable=False),
        sa.Column("recipient", sa.String(length=254), nullable=False),
        sa.Column("locale", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(length=300), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("calendar", sa.Text(), nullable=True),
        sa.Column("message_id", code(200), nullable=False),
        sa.Column("state", code(10), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("created_at", UtcDateTime, nullable=False),
        sa.Column("due_at", UtcDateTime, nullable=False),
        sa.Column("sent_at", UtcDateTime, nullable=True),
        sa.Column("last_error", sa.String(length=300), nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_mails_request_id_requests"),
        sa.PrimaryKeyConstraint("id", name="pk_mails"),
    )
    op.create_index("ix_mails_due", "mails", ["state", "due_at", "id"])
    op.create_index("ix_mails_request_id", "mails", ["request_id"])
    op.create_table(
        "search_words",
        sa.Column("word", code(60), nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_search_words_request_id_requests", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("word", "request_id", name="pk_search_words"),
    )
    op.create_index("ix_search_words_request_id", "search_words", ["request_id"])


def downgrade() -> None:
    op.drop_index("ix_search_words_request_id", "search_words")
    op.drop_table("search_words")
    op.drop_index("ix_mails_request_id", "mails")
    op.drop_index("ix_mails_due", "mails")
    op.drop_table("mails")
    op.drop_index("ix_events_request", "events")
    op.drop_index("ix_events_at", "events")
    op.drop_table("events")
    op.drop_index("ix_requests_vehicle_id", "requests")
    op.drop_index("ix_requests_inbox", "requests")
    op.drop_index("ix_requests_customer_id", "requests")
    op.drop_index("ix_requests_body", "requests")
    op.drop_index("ix_requests_assigned", "requests")
    op.drop_table("requests")
    op.drop_index("ix_vehicles_customer_id", "vehicles")
    op.drop_table("vehicles")
    op.drop_index("ix_sessions_user_id", "sessions")
    op.drop_table("sessions")
    op.drop_table("users")
    op.drop_table("heartbeats")
    op.drop_index("ix_customers_email_key", "customers")
    op.drop_table("customers")

"""Check-in, work order and hand-over records."""

import sqlalchemy as sa
from alembic import op

from configurator.storage.columns import Id, JsonDocument, UtcDateTime, code

revision = "0005"
down_revision = "0004"

RUNNING = sa.text("stopped_at IS NULL")


def upgrade() -> None:
    _jobs_and_tasks()
    _ticks_and_film()
    op.create_table(
        "follow_ups",
        sa.Column("request_id", Id, autoincrement=False, nullable=False),
        sa.Column("origin_id", Id, nullable=False),
        sa.Column("panel", code(80), nullable=False),
        sa.Column("kind", code(20), nullable=False),
        sa.Column("film", code(), nullable=False),
        sa.Column("batches", JsonDocument, nullable=False),
        sa.ForeignKeyConstraint(["origin_id"], ["bay_jobs.request_id"], name="fk_follow_ups_origin_id_bay_jobs"),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_follow_ups_request_id_requests"),
        sa.PrimaryKeyConstraint("request_id", name="pk_follow_ups"),
    )
    op.create_index("ix_follow_ups_origin_id", "follow_ups", ["origin_id"])


def _jobs_and_tasks() -> None:
    op.create_table(
        "bay_jobs",
        sa.Column("request_id", Id, autoincrement=False, nullable=False),
        sa.Column("body", code(), nullable=False),
        sa.Column("edges", code(), nullable=False),
        sa.Column("price_book", sa.String(length=60), nullable=False),
        sa.Column("selection", JsonDocument, nullable=False),
        sa.Column("check_in", JsonDocument, nullable=False),
        sa.Column("rolls", JsonDocument, nullable=False),
        sa.Column("seams", JsonDocument, nullable=False),
        sa.Column("cut_plan", JsonDocument, nullable=False),
        sa.Column("coverage", JsonDocument, nullable=True),
        sa.Column("opened_at", UtcDateTime, nullable=False),
        sa.Column("closed_at", UtcDateTime, nullable=True),
        sa.ForeignKeyConstraint(["request_id"], ["requests.id"], name="fk_bay_jobs_request_id_requests"),
        sa.PrimaryKeyConstraint("request_id", name="pk_bay_jobs"),
    )
    op.create_index("ix_bay_jobs_closed_at", "bay_jobs", ["closed_at"])
    op.create_table(
        "bay_tasks",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.Column("key", code(80), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("body", code(), nullable=False),
        sa.Column("kind", code(), nullable=False),
        sa.Column("panel", code(80), nullable=True),
        sa.Column("part", code(), nullable=True),
        sa.Column("bag", sa.Integer(), nullable=False),
        sa.Column("role", code(20), nullable=True),
        sa.Column("zone", code(20), nullable=False),
        sa.Column("after", JsonDocument, nullable=False),
        *(sa.Column(name, sa.Float(), nullable=False) for name in ("least", "usual", "most", "planned")),
        sa.Column("steps", JsonDocument, nullable=False),
        sa.Column("laid", JsonDocument, nullable=True),
        sa.Column("state", code(10), nullable=False),
        sa.Column("minutes", sa.Float(), nullable=True),
        sa.Column("finished_at", UtcDateTime, nullable=True),
        sa.Column("finished_by", sa.String(length=120), nullable=False),
        sa.Column("finished_by_id", Id, nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("clips", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["finished_by_id"], ["users.id"], name="fk_bay_tasks_finished_by_id_users"),
        sa.ForeignKeyConstraint(["request_id"], ["bay_jobs.request_id"], name="fk_bay_tasks_request_id_bay_jobs"),
        sa.PrimaryKeyConstraint("id", name="pk_bay_tasks"),
        sa.UniqueConstraint("request_id", "key", name=op.f("uq_bay_tasks_request_id_key")),
    )
    op.create_index("ix_bay_tasks_last_time", "bay_tasks", ["body", "kind", "panel", "finished_at"])
    op.create_table(
        "bay_timers",
        sa.Column("id", Id, nullable=False),
        sa.Column("task_id", Id, nullable=False),
        sa.Column("user_id", Id, nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("started_at", UtcDateTime, nullable=False),
        sa.Column("stopped_at", UtcDateTime, nullable=True),
        sa.ForeignKeyConstraint(["task_id"], ["bay_tasks.id"], name="fk_bay_timers_task_id_bay_tasks"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_bay_timers_user_id_users"),
        sa.PrimaryKeyConstraint("id", name="pk_bay_timers"),
    )
    op.create_index("ix_bay_timers_task_id", "bay_timers", ["task_id"])
    op.create_index(
        "uq_bay_timers_running", "bay_timers", ["task_id", "user_id"], unique=True, sqlite_where=RUNNING, postgresql_where=RUNNING
    )


def _ticks_and_film() -> None:
    op.create_table(
        "bay_marks",
        sa.Column("request_id", Id, nullable=False),
        sa.Column("kind", code(20), nullable=False),
        sa.Column("key", code(120), nullable=False),
        sa.Column("is_good", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("user_id", Id, nullable=True),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["bay_jobs.request_id"], name="fk_bay_marks_request_id_bay_jobs"),
        sa.ForeignKeyConstraint(["user_id"], ["users.id"], name="fk_bay_marks_user_id_users"),
        sa.PrimaryKeyConstraint("request_id", "kind", "key", name="pk_bay_marks"),
    )
    op.create_table(
        "bay_boxes",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.Column("entry", code(64), nullable=False),
        sa.Column("film", code(), nullable=False),
        sa.Column("roll_width_mm", sa.Float(), nullable=False),
        sa.Column("batch", sa.String(length=60), nullable=False),
        sa.Column("metres", sa.Float(), nullable=False),
        sa.Column("offcut_m", sa.Float(), nullable=False),
        sa.Column("panels", JsonDocument, nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["bay_jobs.request_id"], name="fk_bay_boxes_request_id_bay_jobs"),
        sa.PrimaryKeyConstraint("id", name="pk_bay_boxes"),
        sa.UniqueConstraint("request_id", "entry", name=op.f("uq_bay_boxes_request_id_entry")),
    )
    op.create_table(
        "bay_remakes",
        sa.Column("id", Id, nullable=False),
        sa.Column("request_id", Id, nullable=False),
        sa.Column("entry", code(64), nullable=False),
        sa.Column("piece", code(120), nullable=False),
        sa.Column("panel", code(80), nullable=False),
        sa.Column("film", code(), nullable=False),
        sa.Column("metres", sa.Float(), nullable=False),
        sa.Column("reason", code(20), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.Column("at", UtcDateTime, nullable=False),
        sa.ForeignKeyConstraint(["request_id"], ["bay_jobs.request_id"], name="fk_bay_remakes_request_id_bay_jobs"),
        sa.PrimaryKeyConstraint("id", name="pk_bay_remakes"),
        sa.UniqueConstraint("request_id", "entry", name=op.f("uq_bay_remakes_request_id_entry")),
    )


def downgrade() -> None:
    for table in ("follow_ups", "bay_remakes", "bay_boxes", "bay_marks", "bay_timers", "bay_tasks", "bay_jobs"):
        op.drop_table(table)

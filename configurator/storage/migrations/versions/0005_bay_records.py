"""Check-in, work order and hand-over records."""

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Nothing yet."""


def downgrade() -> None:
    """Nothing yet."""

"""Firm quotes and their lines."""

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Nothing yet."""


def downgrade() -> None:
    """Nothing yet."""

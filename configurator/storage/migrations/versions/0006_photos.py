"""Photos of requests and bay records."""

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Nothing yet."""


def downgrade() -> None:
    """Nothing yet."""

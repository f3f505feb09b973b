"""Sites that may frame the configurator."""

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Nothing yet."""


def downgrade() -> None:
    """Nothing yet."""

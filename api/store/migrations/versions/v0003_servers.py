"""Signs of life of every process with workers, for whoever asks whether anyone works."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the table; it fills by itself."""
    op.create_table(
        "servers",
        sa.Column("name", sa.String(80), primary_key=True),
        sa.Column("workers", sa.Integer, nullable=False),
        sa.Column("at", sa.Float, nullable=False),
    )


def downgrade() -> None:
    """Drop the table."""
    op.drop_table("servers")

"""The share of the earlier layout that a rerun is to keep."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; it stays empty for what was stored before."""
    op.add_column("documents", sa.Column("stability", sa.Float))


def downgrade() -> None:
    """Drop the column."""
    op.drop_column("documents", "stability")

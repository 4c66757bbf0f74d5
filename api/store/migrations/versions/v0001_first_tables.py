"""Studies, their documents, layouts found, events, remembered answers and artifacts."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def _study_key(*, primary: bool = True, index: bool = False) -> sa.Column[str]:
    """A column that names a study, and goes with it."""
    return sa.Column(
        "study_id",
        sa.String(26),
        sa.ForeignKey("studies.id", ondelete="CASCADE"),
        primary_key=primary,
        nullable=False,
        index=index,
    )


def _create_studies() -> None:
    """The table of studies."""
    op.create_table(
        "studies",
        sa.Column("id", sa.String(26), primary_key=True),
        sa.Column("owner", sa.String(64), nullable=False),
        sa.Column("client", sa.String(80), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("kind", sa.String(10), nullable=False),
        sa.Column("parent_id", sa.String(26), index=True),
        sa.Column("root_id", sa.String(26), nullable=False, index=True),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("fresh", sa.Boolean, nullable=False),
        sa.Column("answered_from", sa.String(26)),
        sa.Column("state", sa.String(10), nullable=False),
        sa.Column("status", sa.String(16)),
        sa.Column("problem", sa.Text),
        sa.Column("created_at", sa.Float, nullable=False),
        sa.Column("started_at", sa.Float),
        sa.Column("finished_at", sa.Float),
        sa.Column("deadline_at", sa.Float, nullable=False),
        sa.Column("expires_at", sa.Float),
        sa.Column("time_limit_s", sa.Float, nullable=False),
        sa.Column("attempts", sa.Integer, nullable=False),
        sa.Column("cancel_requested", sa.Boolean, nullable=False),
        sa.Column("worker", sa.String(80)),
        sa.Column("lease_token", sa.String(32)),
        sa.Column("lease_until", sa.Float),
        sa.Column("run_until", sa.Float),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("stage", sa.String(60)),
        sa.Column("score", sa.Float),
        sa.Column("bound", sa.Float),
        sa.Column("seconds", sa.Float),
        sa.Column("layouts_found", sa.Integer, nullable=False),
    )
    op.create_index("studies_by_state", "studies", ["state", "created_at", "id"])
    op.create_index("studies_by_owner", "studies", ["owner", "created_at", "id"])
    op.create_index("studies_by_client", "studies", ["client", "state"])
    op.create_index("studies_by_fingerprint", "studies", ["owner", "fingerprint"])
    op.create_index("studies_by_expiry", "studies", ["expires_at"])


def _create_parts() -> None:
    """What belongs to a study."""
    op.create_table(
        "documents",
        _study_key(),
        sa.Column("brief", sa.Text, nullable=False),
        sa.Column("warnings", sa.Text, nullable=False),
        sa.Column("patch", sa.Text),
        sa.Column("earlier", sa.Text),
        sa.Column("rescored", sa.Text),
        sa.Column("result", sa.Text),
    )
    op.create_table(
        "found_layouts",
        _study_key(),
        sa.Column("attempt", sa.Integer, primary_key=True),
        sa.Column("rank", sa.Integer, primary_key=True),
        sa.Column("score", sa.Float, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_table(
        "events",
        _study_key(),
        sa.Column("seq", sa.Integer, primary_key=True),
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("at", sa.Float, nullable=False),
        sa.Column("data", sa.Text, nullable=False),
    )
    op.create_table(
        "artifacts",
        _study_key(),
        sa.Column("name", sa.String(120), primary_key=True),
        sa.Column("body", sa.LargeBinary, nullable=False),
    )


def _create_answers() -> None:
    """First answers under an Idempotency-Key."""
    op.create_table(
        "answers",
        sa.Column("owner", sa.String(80), primary_key=True),
        sa.Column("key", sa.String(255), primary_key=True),
        sa.Column("request", sa.String(64), nullable=False),
        _study_key(primary=False, index=True),
        sa.Column("created_at", sa.Float, nullable=False, index=True),
        sa.Column("status", sa.Integer),
        sa.Column("body", sa.LargeBinary),
    )


def upgrade() -> None:
    """Make the tables."""
    _create_studies()
    _create_parts()
    _create_answers()


def downgrade() -> None:
    """Drop the tables, parts before what they belong to."""
    for table in ("answers", "artifacts", "events", "found_layouts", "documents", "studies"):
        op.drop_table(table)

"""Folded jobs, so that a long record opens at once, and which backups were taken."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "folded",
        sa.Column("job", sa.Text, primary_key=True),
        sa.Column("head", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "backup",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("path", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False),
        sa.Column("taken", sa.Text, nullable=False),
        sa.Column("events_through", sa.Integer, nullable=False),
        sa.Column("blobs_through", sa.Integer, nullable=False),
    )

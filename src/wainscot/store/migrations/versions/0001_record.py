"""The record itself: events, what was put aside, photos."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "event",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("job", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("seq", sa.Integer().with_variant(sa.BigInteger(), "postgresql"), nullable=False),
        sa.Column("prev", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sa.Column("received", sa.Text, nullable=False),
        sa.Column("skew", sa.Float),
    )
    op.create_index("event_job", "event", ["job"])
    op.create_index("event_device", "event", ["device", "seq"])
    op.create_table(
        "quarantine",
        sa.Column("digest", sa.Text, primary_key=True),
        sa.Column("raw", sa.LargeBinary, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("received", sa.Text, nullable=False),
    )
    op.create_table(
        "blob",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("hash", sa.Text, nullable=False, unique=True),
        sa.Column("size", sa.Integer, nullable=False),
        sa.Column("received", sa.Text, nullable=False),
    )
    op.create_table(
        "meta",
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("value", sa.Text, nullable=False),
    )

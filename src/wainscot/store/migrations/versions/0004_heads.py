"""Signed heads that were given out."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "head",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("size", sa.Integer, nullable=False),
        sa.Column("root", sa.Text, nullable=False),
        sa.Column("time", sa.Text, nullable=False),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("signature", sa.Text, nullable=False),
    )

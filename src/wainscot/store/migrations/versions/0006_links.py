"""Links to one paper each, and when they were looked at."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

_TEXTS = ("job", "paper", "reader", "sender", "made", "until")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "link",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("token", sa.Text, nullable=False, unique=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in _TEXTS),
        sa.Column("ends", sa.Float, nullable=False),
        sa.Column("revoked", sa.Text, nullable=False),
        sa.Column("views", sa.Integer, nullable=False),
        sa.Column("last", sa.Text, nullable=False),
    )
    op.create_index("link_job", "link", ["job"])
    op.create_table(
        "link_view",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("link", sa.Text, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("seen", sa.Text, nullable=False),
    )
    op.create_index("link_view_link", "link_view", ["link"])

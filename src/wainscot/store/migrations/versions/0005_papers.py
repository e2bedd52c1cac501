"""Papers that were made, by the SHA-256 of their bytes."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

TEXTS = ("job", "digest", "kind", "language", "size", "title", "pages")


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "paper",
        sa.Column("n", sa.Integer, primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in TEXTS),
        sa.Column("sheets", sa.Integer, nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("version", "made", "account")),
    )
    op.create_index("paper_job", "paper", ["job", "digest"], unique=True)

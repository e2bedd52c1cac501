"""Who may come in: accounts, their devices and sessions; tokens stand as their hashes."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "account",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("name", sa.Text, nullable=False, unique=True),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("password", sa.Text, nullable=False),
        sa.Column("disabled", sa.Integer, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
    )
    op.create_table(
        "device",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("id", sa.Text, nullable=False, unique=True),
        sa.Column("account", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("token", sa.Text, unique=True),
        sa.Column("made", sa.Text, nullable=False),
        sa.Column("revoked", sa.Text, nullable=False),
    )
    op.create_index("device_account", "device", ["account"])
    op.create_table(
        "session",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("token", sa.Text, nullable=False, unique=True),
        sa.Column("account", sa.Text, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.Column("until", sa.Float, nullable=False),
    )
    op.create_index("session_account", "session", ["account"])

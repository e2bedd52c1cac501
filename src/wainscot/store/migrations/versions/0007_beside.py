"""What stands beside an event, the keys of devices, and what was erased."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """Make the column and the tables."""
    op.add_column("event", sa.Column("beside", sa.LargeBinary))
    op.create_table(
        "device_key",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("since", sa.Text, nullable=False),
        sa.Column("until", sa.Text, nullable=False),
    )
    op.create_index("device_key_device", "device_key", ["device"])
    op.create_table(
        "erased",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("job", sa.Text, nullable=False),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("received", sa.Text, nullable=False),
    )
    op.create_index("erased_hash", "erased", ["hash"])

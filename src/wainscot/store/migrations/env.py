"""Runs the changes on the connection that it is handed, all in one transaction or none."""

from __future__ import annotations

from alembic import context

from wainscot.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transactional_ddl=True,
)
context.run_migrations()

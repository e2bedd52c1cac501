"""Schemas of older versions of the queue's library, taken away once nobody has used them for long.

Hosts are brought up to date one after the other, so an older schema stays as long as a worker in it
lives or something was asked for through it.  Then it is marked as idle, and a later start takes it
away.  What still waits to be calculated stands in a table of our own and loses nothing.

Limits: a server of the older version that asked for nothing meanwhile has to be started anew.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import sqlalchemy as sa

IDLE = timedelta(days=30)
"""How long nobody has to have used a schema before it goes (judgement)."""

_NAME = re.compile(r"queue_(\d+)_(\d+)")
_MARK = "idle since "
_LIFE = {"procrastinate_workers": "last_heartbeat", "procrastinate_events": "at"}
"""Tables of the library that tell of use, and their column of time; older ones lack the first."""


def drop_idle(connection: sa.Connection, ours: str) -> None:
    """Mark older schemas that nobody uses, and take away those that were marked long ago.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    ours : str
        The schema of this version, ``queue_3_10``; it and newer ones stay.
    """
    found = sa.inspect(connection)
    now = datetime.now(UTC)
    for name in (one for one in found.get_schema_names() if _version(one) < _version(ours)):
        since = _idle_since(connection, name)
        if any(found.has_table(table, schema=name) and _used(connection, name, table, now)
               for table in _LIFE):  # fmt: skip
            _mark(connection, name, "")
        elif since is None:
            _mark(connection, name, f"{_MARK}{now.isoformat()}")
        elif now - since >= IDLE:
            connection.execute(sa.schema.DropSchema(name, cascade=True))


def _version(schema: str) -> tuple[float, float]:
    """Return the version in a schema's name; of any other, one that is older than none."""
    found = _NAME.fullmatch(schema)
    return (int(found[1]), int(found[2])) if found else (float("inf"), 0)


def _idle_since(connection: sa.Connection, schema: str) -> datetime | None:
    chosen = sa.text("SELECT obj_description(to_regnamespace(:schema), 'pg_namespace')")
    told = connection.execute(chosen, {"schema": schema}).scalar() or ""
    return datetime.fromisoformat(told.removeprefix(_MARK)) if told.startswith(_MARK) else None


def _used(connection: sa.Connection, schema: str, table: str, now: datetime) -> bool:
    time: sa.ColumnClause[datetime] = sa.column(_LIFE[table])
    of = sa.table(table, time, schema=schema)
    lately = sa.select(sa.exists().where(of.c[time.name] > now - IDLE))
    return bool(connection.execute(lately).scalar())


def _mark(connection: sa.Connection, schema: str, words: str) -> None:
    # A comment takes no parameters; name and words are made of figures, letters and signs of ours.
    connection.execute(sa.text(f"COMMENT ON SCHEMA {schema} IS '{words}'".replace(":", r"\:")))

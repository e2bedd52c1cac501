"""Every row of one record into the empty tables of another, whichever databases they lie in."""

from __future__ import annotations

import hashlib
from typing import Any

import msgspec
from sqlalchemy import Connection, MetaData, Result, Table, inspect, select

from wainscot.store.faults import DamagedError
from wainscot.store.tables import metadata

_MANY = 1000  # rows at once


def carry(source: Connection, target: Connection) -> list[str]:
    """Copy all rows, compare them, and return the names of the tables that both have.

    Parameters
    ----------
    source, target : Connection
        Of two databases whose tables are of one revision; those of the target are empty.

    Raises
    ------
    DamagedError
        If a row arrived otherwise than it was.
    """
    here, there = _tables(source), _tables(target)
    both = [table for table in there.sorted_tables if table.name in here.tables]
    for table in both:
        given = _flowing(source, here.tables[table.name], table)
        for rows in given.partitions():
            target.execute(table.insert(), [dict(row._mapping) for row in rows])
        if _hashed(source, here.tables[table.name], table) != _hashed(target, table, table):
            raise DamagedError(f"table {table.name} arrived otherwise than it was")
    return [table.name for table in both]


def _tables(connection: Connection) -> MetaData:
    """Return a record's tables as they stand, which may be those of an older program."""
    found = MetaData()
    names = set(inspect(connection).get_table_names()) & set(metadata.tables)
    found.reflect(connection, only=sorted(names))
    return found


def _flowing(connection: Connection, table: Table, like: Table) -> Result[Any]:
    """Return a table's rows in the order of their key, a part at a time, columns as another's."""
    chosen = select(*(table.c[column.name] for column in like.columns))
    chosen = chosen.order_by(*(table.c[column.name] for column in like.primary_key))
    return connection.execute(chosen, execution_options={"yield_per": _MANY})


def _hashed(connection: Connection, table: Table, like: Table) -> tuple[int, str]:
    """Return number and SHA-256 of a table's rows; the same in both databases."""
    hashed, count = hashlib.sha256(), 0
    for row in _flowing(connection, table, like):
        hashed.update(msgspec.msgpack.encode(tuple(row)))
        count += 1
    return count, hashed.hexdigest()

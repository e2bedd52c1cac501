"""A record in each of the two databases: the tests that touch SQL run on both."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from wainscot.store import Store, rows
from wainscot.store.tables import metadata


@pytest.fixture(scope="session")
def shared_address(cluster: Any, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the address of a record in PostgreSQL that tests take in turn."""
    address: str = cluster.new()
    folder = tmp_path_factory.mktemp("shared") / "record"
    Store.create(folder, device="office", address=address).close()
    return address


@pytest.fixture(params=["sqlite", "postgres"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    """Give an empty record."""
    if request.param == "sqlite":
        made = Store.create(tmp_path / "record", device="office")
    else:
        address = request.getfixturevalue("shared_address")
        made = Store.open(tmp_path / "record", now="2025-03-14T10:00:00+00:00", address=address)
        names = ", ".join(f'"{one}"' for one in metadata.tables)
        with made.database.writing() as connection:
            connection.exec_driver_sql(f"TRUNCATE {names} RESTART IDENTITY")
            rows.set_own_device(connection, "office")
    yield made
    made.close()

"""Tables of an older program: a verified backup first, then all changes or none."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from devices import LATER, NOW, Device, day
from sqlalchemy import inspect

from wainscot.record import line_of
from wainscot.store import (
    Disk,
    Layout,
    SqliteFile,
    Store,
    StoreError,
    check,
    migrate,
    restore,
    rows,
)
from wainscot.store.tables import metadata


def _old(folder: Path) -> Store:
    """Make a record as the first program did."""
    folder.mkdir()
    database = SqliteFile(Layout(folder).database)
    with database.writing() as connection:
        migrate.upgrade(connection, "0001")
        rows.set_own_device(connection, "office")
    with database.writing() as connection:
        for one in day(Device("phone"), 20):
            connection.exec_driver_sql(
                "INSERT INTO event (id, job, device, seq, prev, body, received) "
                "VALUES (?, ?, ?, ?, ?, ?, ?)",
                (one.id, one.job, one.device, one.seq, one.prev, line_of(one), NOW),
            )
    return Store(Layout(folder), database, Disk())


def _bodies(store: Store) -> list[bytes]:
    with store.database.reading() as connection:
        found = connection.exec_driver_sql("SELECT body FROM event ORDER BY device, seq, id")
        return [bytes(row[0]) for row in found]


def test_the_changes_make_the_tables_that_the_program_uses(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="office")
    with store.database.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    assert migrate.revision(store.database) == migrate.newest()
    store.close()


def test_an_old_record_is_backed_up_verified_and_brought_up_to_date(tmp_path: Path) -> None:
    old = _old(tmp_path / "record")
    before = _bodies(old)
    old.close()
    store = Store.open(tmp_path / "record", now=LATER)
    assert store.lines() == before
    assert migrate.revision(store.database) == migrate.newest()
    taken = store.migrated_after
    assert taken is not None
    assert "backup" not in check(taken.path, tmp_path / "work").manifest.tables
    again = restore(taken.path, tmp_path / "again", device="office-2", now=LATER)
    assert again.lines() == before
    again.close()
    store.close()
    assert Store.open(tmp_path / "record", now=LATER).migrated_after is None


def test_without_a_backup_nothing_is_changed(tmp_path: Path) -> None:
    old = _old(tmp_path / "record")
    with old.database.writing() as connection:
        connection.exec_driver_sql("UPDATE event SET body = '{}' WHERE n = 7")
    with pytest.raises(StoreError, match="not the one"):
        Store.open(tmp_path / "record", now=LATER)
    assert migrate.revision(old.database) == "0001"
    old.close()


def test_a_change_that_fails_half_way_leaves_the_tables_as_they_were(tmp_path: Path) -> None:
    old = _old(tmp_path / "record")
    with old.database.writing() as connection:
        # The second of the two tables that 0002 makes is in the way.
        connection.exec_driver_sql("CREATE TABLE backup (n INTEGER)")
    with pytest.raises(StoreError):
        Store.open(tmp_path / "record", now=LATER)
    assert migrate.revision(old.database) == "0001"
    with old.database.reading() as connection:
        assert not inspect(connection).has_table("folded")
    old.close()


def test_a_record_of_a_newer_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="office")
    with store.database.writing() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(StoreError, match="newer program"):
        Store.open(tmp_path / "record", now=NOW)
    store.close()

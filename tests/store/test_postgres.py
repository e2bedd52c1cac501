"""A record in PostgreSQL: the same bytes out, one order of arrival, backups and moves both ways."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import Any

import psycopg
import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from argon2 import PasswordHasher
from click.testing import CliRunner
from devices import LATER, NOW, Device, day, lines
from sqlalchemy import delete, select

from wainscot.cli import main
from wainscot.record import event, line_of
from wainscot.store import (
    Accounts,
    DamagedError,
    DiskFullError,
    NoRecordError,
    Postgres,
    Store,
    StoreError,
    check_store,
    doctor,
    export_everything,
    give_head,
    migrate,
    move_in,
    restore,
    status,
    take,
)
from wainscot.store import postgres as module
from wainscot.store.postgres import told_as
from wainscot.store.tables import event as events
from wainscot.store.tables import meta, metadata

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
ODD = ["Ä", "a", "B", "_", "é", "z", "Z", "ß", "中", "😀", "-", "a b"]
"""Names that a dictionary orders otherwise than their bytes."""


def _sent() -> list[bytes]:
    made = [one for name in ODD for one in day(Device(name, f"job_{name}"), 6)]
    return [*lines(*made), b"rubbish", b'{"id": "\\u0000"}']


def _filled(store: Store) -> Store:
    store.append(_sent(), received=NOW, skew=0.1 + 0.2)
    store.blobs.put(b"a photo", received=NOW)
    Accounts(store.database, CHEAP).add("Ann", "office", "seven mice in a wall", at=NOW)
    give_head(store, now=NOW)
    store.job("job_a")
    return store


def _bad(store: Store) -> list[str]:
    return [one.told for one in check_store(store) if one.state == "bad"]


@pytest.fixture
def record(tmp_path: Path, cluster: Any) -> Iterator[tuple[Store, str]]:
    address = cluster.new()
    with closing(Store.create(tmp_path / "shared", device="office", address=address)) as made:
        yield made, address


def test_the_same_events_leave_both_databases_as_the_same_bytes(
    tmp_path: Path, record: tuple[Store, str]
) -> None:
    there, _ = record
    here = Store.create(tmp_path / "own", device="office")
    for store in (here, there):
        _filled(store)
    for told in ("lines", "receipts", "quarantined", "head", "counts", "held", "chains", "jobs"):
        assert getattr(here, told)() == getattr(there, told)(), told
    paths = [tmp_path / "here.zip", tmp_path / "there.zip"]
    for store, path in zip((here, there), paths, strict=True):
        with store.database.writing() as connection:  # each signs with a key of its own
            connection.execute(delete(metadata.tables["head"]))
        export_everything(store, path, now=NOW)
    assert _members(paths[0]) == _members(paths[1])
    with there.database.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    here.close()


def _members(path: Path) -> dict[str, bytes]:
    import zipfile

    with zipfile.ZipFile(path) as packed:
        return {one: packed.read(one) for one in packed.namelist()}


def test_writers_of_two_hosts_leave_no_gap_in_the_order_of_arrival(
    tmp_path: Path, record: tuple[Store, str]
) -> None:
    store, address = record
    other = Store.open(tmp_path / "other", now=NOW, address=address)
    together = threading.Barrier(4)

    def torn() -> None:
        with store.database.writing() as connection:
            connection.execute(delete(meta))
            raise KeyError("mine")

    def work(n: int) -> int:
        together.wait()
        host = (store, other)[n % 2]
        for k, one in enumerate(day(Device(f"d{n}"), 12)):
            if k == 6:
                with pytest.raises(KeyError):
                    torn()
            host.append(lines(one), received=NOW)
        return n

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(work, range(4)))
    with store.database.reading() as connection:
        numbers = connection.execute(select(events.c.n).order_by(events.c.n)).scalars().all()
    assert list(numbers) == list(range(1, 49))
    assert all(chain.whole for chain in other.chains())
    assert give_head(other, now=NOW).size == 48
    assert _bad(store) == []
    other.close()


def test_a_reader_sees_one_state_while_another_writes(record: tuple[Store, str]) -> None:
    store, _ = record
    with store.database.reading() as connection:
        before = connection.execute(select(events.c.n)).all()
        store.append(lines(Device("phone").title("Mill")), received=NOW)
        assert connection.execute(select(events.c.n)).all() == before
    with pytest.raises(StoreError, match="read-only"), store.database.reading() as connection:
        connection.execute(delete(events))


def test_a_backup_of_either_goes_back_into_either(
    tmp_path: Path, record: tuple[Store, str], cluster: Any
) -> None:
    store, address = record
    _filled(store)
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    with closing(restore(taken.path, tmp_path / "file", device="office-2", now=LATER)) as file:
        assert file.lines() == store.lines()
        assert _bad(file) == []
        second = take(file.database, file.blobs, file.disk, tmp_path / "stick", now=LATER)
    empty = cluster.new()
    again = restore(second.path, tmp_path / "again", device="office-3", now=LATER, address=empty)
    assert (again.lines(), again.receipts()) == (store.lines(), store.receipts())
    assert not again.layout.database.exists()
    found = status(again.database, again.layout.backups)
    assert found.last is not None
    assert (found.last.path, found.events_after, found.blobs_after) == (second.path, 0, 0)
    # Its own numbers go on after those that were taken in.
    Accounts(again.database, CHEAP).add("Ben", "crew", "seven mice in a wall", at=LATER)
    again.append(lines(Device("later").title("Later")), received=LATER)
    again.blobs.put(b"another", received=LATER)
    give_head(again, now=LATER)
    assert _bad(again) == []
    again.close()
    with pytest.raises(StoreError, match="already"):
        restore(taken.path, tmp_path / "fourth", device="x", now=LATER, address=address)
    assert not (tmp_path / "fourth").exists()


def test_a_record_moves_in_by_one_command_and_never_over_another(
    tmp_path: Path, cluster: Any
) -> None:
    folder, address = tmp_path / "record", cluster.new()
    old = _filled(Store.create(folder, device="office"))
    before = old.lines(), old.receipts(), old.head(), old.counts()
    env = {"WAINSCOT_RECORD": str(folder), "WAINSCOT_DATABASE": address}

    def typed(*words: str, **more: str) -> Any:
        return CliRunner().invoke(main, words, env=env | more)

    assert typed("move-in", WAINSCOT_DATABASE="").exit_code == 2
    told = typed("move-in")
    assert told.exit_code == 0, told.output
    assert f"{before[3].events} events, 1 photos, 1 heads, 1 accounts moved" in told.stdout
    # Who still has the file open writes nothing into it; who opens it anew is told where it is.
    with pytest.raises(StoreError, match="WAINSCOT_DATABASE"):
        old.append(lines(Device("late").title("Late")), received=LATER)
    old.close()
    with pytest.raises(StoreError, match="WAINSCOT_DATABASE"):
        Store.open(folder, now=NOW)
    with closing(Store.open(folder, now=NOW, address=address)) as new:
        assert (new.lines(), new.receipts(), new.head(), new.counts()) == before
        assert _bad(new) == []
    assert typed("status").stdout.startswith(f"{before[3].events} events")
    assert typed("backup").exit_code == 0
    _filled(Store.create(tmp_path / "second", device="office")).close()
    refused = typed("move-in", WAINSCOT_RECORD=str(tmp_path / "second"))
    assert (refused.exit_code, "already" in refused.stderr) == (1, True)
    assert typed("status", WAINSCOT_RECORD=str(tmp_path / "second"), WAINSCOT_DATABASE="").stdout


def test_a_row_that_arrives_otherwise_undoes_the_move(
    tmp_path: Path, cluster: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = cluster.new()
    old = Store.create(tmp_path / "record", device="office")
    old.append(lines(*day(Device("phone"), 5)), received=NOW)
    carry = module.carry

    def careless(source: Any, target: Any) -> list[str]:
        names = carry(source, target)
        target.execute(delete(events).where(events.c.n == 3))
        return names

    monkeypatch.setattr(module, "carry", careless)
    with pytest.raises(DamagedError, match="otherwise"):
        move_in(old, address)
    with pytest.raises(NoRecordError):
        Store.open(tmp_path / "x", now=NOW, address=address)
    with closing(Store.open(tmp_path / "record", now=NOW)) as again:
        again.append(lines(Device("late").title("Late")), received=LATER)


def test_an_old_record_is_backed_up_and_brought_up_to_date(tmp_path: Path, cluster: Any) -> None:
    database = Postgres(cluster.new())
    with database.writing() as connection:
        migrate.upgrade(connection, "0002")
        connection.execute(meta.insert(), [{"name": "device", "value": "office"}])
    with closing(Store.open(tmp_path / "r", now=LATER, address=database.address)) as store:
        assert store.migrated_after is not None
        assert migrate.revision(store.database) == migrate.newest()
    database.close()


def test_a_database_that_orders_text_by_a_dictionary_is_refused(
    tmp_path: Path, cluster: Any
) -> None:
    latin = cluster.new("ENCODING 'SQL_ASCII' TEMPLATE template0")
    with pytest.raises(StoreError, match="CREATE DATABASE"):
        Store.create(tmp_path / "r", device="o", address=latin)


def test_a_flush_that_is_off_is_bad(record: tuple[Store, str], cluster: Any) -> None:
    store, _ = record
    told = {one.what: one for one in doctor(store, now=NOW)}
    assert (told["database"].state, "fsync off" in told["database"].told) == ("bad", True)
    assert "file" not in told
    cluster.tell("ALTER SYSTEM SET fsync = on")
    cluster.tell("SELECT pg_reload_conf()")
    try:
        until = time.monotonic() + 30
        while next(store.database.findings()).state != "good":
            assert time.monotonic() < until
            time.sleep(0.01)
    finally:
        cluster.tell("ALTER SYSTEM RESET fsync")
        cluster.tell("SELECT pg_reload_conf()")


def test_names_with_a_nul_are_put_aside_alike(record: tuple[Store, str]) -> None:
    store, _ = record
    odd = event("set", job="job\0a", device="d", seq=1, prev="", at=NOW, field="title", value="x")
    good = Device("phone").title("Mill")
    told = store.append([line_of(odd), line_of(good)], received=NOW)
    assert (told.added, "NUL" in told.refused[0].reason) == ((good.id,), True)


@pytest.mark.parametrize(
    ("error", "kind", "says"),
    [
        # Classes of https://www.postgresql.org/docs/current/errcodes-appendix.html.
        (psycopg.errors.DiskFull, DiskFullError, "full"),
        (psycopg.errors.DataCorrupted, DamagedError, "restore"),
        (psycopg.errors.LockNotAvailable, StoreError, "try again"),
        (psycopg.errors.AdminShutdown, StoreError, "sending it again"),
        (psycopg.OperationalError, StoreError, "cannot be reached"),
        (psycopg.errors.UndefinedTable, StoreError, "42P01"),
    ],
)
def test_what_postgresql_says_is_told_in_words(
    error: type[Exception], kind: type[StoreError], says: str
) -> None:
    told = told_as(error("it says"))
    assert (type(told), says in str(told)) == (kind, True)


@pytest.mark.parametrize("address", ["mysql://x/y", "postgresql://host", "", "nonsense"])
def test_what_is_no_address_is_told_without_it(address: str) -> None:
    with pytest.raises(StoreError, match="postgresql://user@host/name"):
        Postgres(address)


def test_a_server_that_is_not_there_is_told_without_the_password(tmp_path: Path) -> None:
    address = f"postgresql://ann:secret@/mill?host={tmp_path}"
    with pytest.raises(StoreError, match="cannot be reached") as told:
        Store.open(tmp_path / "r", now=NOW, address=address)
    assert "secret" not in str(told.value)

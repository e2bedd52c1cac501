"""The journal rule, and what SQLite's complaints become."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pysqlite3
import pytest
from argon2 import PasswordHasher
from devices import NOW, Device, day, lines

from wainscot.store import (
    Accounts,
    DamagedError,
    DiskFullError,
    FirmRates,
    Journal,
    SqliteFile,
    Store,
    StoreError,
    keep_rates,
)
from wainscot.store import sqlite as module
from wainscot.store.sqlite import driver, journal_for, told_as


@pytest.mark.parametrize(
    ("version", "mode"),
    [
        # https://sqlite.org/wal.html#walresetbug: 3.7.0 through 3.51.2 have the fault, 3.51.3 not.
        ((3, 6, 23), "wal"), ((3, 7, 0), "delete"), ((3, 40, 1), "delete"),
        ((3, 51, 2), "delete"), ((3, 51, 3), "wal"), ((3, 60, 0), "wal"), ((4, 0, 0), "wal"),
    ],
)  # fmt: skip
def test_the_journal_follows_the_version_and_is_never_normal(
    version: tuple[int, ...], mode: str
) -> None:
    journal = journal_for(version)
    # https://sqlite.org/pragma.html#pragma_synchronous: 1 NORMAL, 2 FULL, 3 EXTRA.
    assert (journal.mode, journal.synchronous) == (mode, 3 if mode == "delete" else 2)


@pytest.mark.parametrize("library", [sqlite3, pysqlite3])
def test_sqlite_itself_says_that_the_rule_is_kept_on_every_connection(
    tmp_path: Path, library: object
) -> None:
    store = Store.create(tmp_path / "record", device="office", library=library)  # type: ignore[arg-type]
    wanted = journal_for(library.sqlite_version_info)  # type: ignore[attr-defined]
    names = {3: "EXTRA", 2: "FULL"}
    with store.database.reading(), store.database.writing() as connection:
        mode = connection.exec_driver_sql("PRAGMA journal_mode").scalar()
        level = connection.exec_driver_sql("PRAGMA synchronous").scalar()
    assert (mode, level) == (wanted.mode, wanted.synchronous)
    assert store.database.settings() == (wanted.mode, names[wanted.synchronous])
    store.close()


def test_both_journals_are_tried_here(tmp_path: Path) -> None:
    modes = {journal_for(one.sqlite_version_info).mode for one in (sqlite3, pysqlite3)}
    assert "wal" in modes
    assert Journal("delete", 3) in {journal_for((3, 40, 1))}


def test_a_record_goes_from_one_sqlite_to_the_other_and_back(tmp_path: Path) -> None:
    wal, roll = Journal("wal", 2), Journal("delete", 3)
    made = Store.create(tmp_path / "record", device="o", library=pysqlite3, journal=wal)
    made.append(lines(*day(Device("a"), 20)), received=NOW)
    expected = made.lines()
    made.close()
    for library, journal in ((sqlite3, roll), (pysqlite3, wal), (sqlite3, roll)):
        store = Store.open(tmp_path / "record", now=NOW, library=library, journal=journal)
        assert store.lines() == expected
        assert store.database.settings()[0] == journal.mode
        store.close()


def test_a_journal_that_another_holds_fast_is_told(tmp_path: Path) -> None:
    path = tmp_path / "record"
    made = Store.create(path, device="o", library=pysqlite3, journal=Journal("wal", 2))
    with made.database.reading() as connection:
        connection.exec_driver_sql("SELECT count(*) FROM event").scalar()
        other = SqliteFile(path / "record.sqlite", pysqlite3, Journal("delete", 3))
        with pytest.raises(StoreError, match=r"another program|writing"), other.reading():
            pass
        other.close()
    made.close()


@pytest.mark.parametrize(
    ("own", "other", "wanted"), [(3, 4, "other"), (4, 3, "own"), (3, 3, "own")]
)
def test_the_newer_sqlite_is_taken(
    monkeypatch: pytest.MonkeyPatch, own: int, other: int, wanted: str
) -> None:
    libraries = {
        "own": SimpleNamespace(sqlite_version_info=(own, 0, 0)),
        "other": SimpleNamespace(sqlite_version_info=(other, 0, 0)),
    }
    monkeypatch.setattr(module, "sqlite3", libraries["own"])
    monkeypatch.setitem(sys.modules, "pysqlite3", libraries["other"])  # type: ignore[arg-type]
    assert driver() is libraries[wanted]


def test_without_another_sqlite_python_s_own_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pysqlite3", None)
    assert driver() is sqlite3


@pytest.mark.parametrize(
    ("name", "kind", "says"),
    [
        ("SQLITE_FULL", DiskFullError, "full"),
        ("SQLITE_CORRUPT", DamagedError, "restore"),
        ("SQLITE_CORRUPT_INDEX", DamagedError, "restore"),
        ("SQLITE_NOTADB", DamagedError, "restore"),
        ("SQLITE_BUSY", StoreError, "try again"),
        ("SQLITE_BUSY_SNAPSHOT", StoreError, "try again"),
        ("SQLITE_IOERR_READ", StoreError, "SQLITE_IOERR_READ"),
    ],
)
def test_what_sqlite_says_is_told_in_words(name: str, kind: type[StoreError], says: str) -> None:
    error = sqlite3.OperationalError("it says")
    error.sqlite_errorname = name
    told = told_as(error)
    assert type(told) is kind
    assert says in str(told)


def test_an_error_without_a_name_is_known_by_its_words() -> None:
    # The texts of sqlite3_errstr (https://sqlite.org/c3ref/errcode.html), from memory.
    assert isinstance(told_as(sqlite3.OperationalError("database or disk is full")), DiskFullError)
    assert "no such table" in str(told_as(sqlite3.OperationalError("no such table: x")))


@pytest.mark.parametrize("name", ["SQLITE_IOERR_FSYNC", "SQLITE_IOERR_DIR_FSYNC", ""])
def test_a_failed_flush_of_the_record_ends_the_process(name: str) -> None:
    code = (
        "import sqlite3\nfrom wainscot.store.sqlite import told_as\n"
        f"error = sqlite3.OperationalError('disk I/O error'); error.sqlite_errorname = {name!r}\n"
        "told_as(error)\nprint('still here')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (74, "")
    assert "start again" in done.stderr


def test_a_file_that_is_no_record_is_told(tmp_path: Path) -> None:
    (tmp_path / "record.sqlite").write_bytes(b"something else entirely" * 100)
    with pytest.raises(DamagedError):
        Store.open(tmp_path, now=NOW)


def test_an_error_of_the_caller_goes_through_and_undoes_the_write(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="o")

    def torn() -> None:
        with store.database.writing() as connection:
            connection.exec_driver_sql("DELETE FROM meta")
            raise KeyError("mine")

    with pytest.raises(KeyError):
        torn()
    with store.database.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM meta").scalar() == 1
    with pytest.raises(StoreError, match="no such table"), store.database.raw() as raw:
        raw.execute("SELECT * FROM nowhere")
    with pytest.raises(KeyError), store.database.raw():
        raise KeyError("mine")
    store.close()


def test_a_journal_that_sqlite_will_not_keep_is_refused() -> None:
    # A database in memory has its journal in memory, whatever it is asked.
    with pytest.raises(StoreError, match="not as"), SqliteFile(Path(":memory:")).reading():
        pass


def test_several_threads_write_and_read_at_once(tmp_path: Path) -> None:
    from concurrent.futures import ThreadPoolExecutor

    store = Store.create(tmp_path / "record", device="o")

    def work(n: int) -> int:
        for one in day(Device(f"d{n}"), 8):
            store.append(lines(one), received=NOW)
            store.counts()
        return len(store.missing([]))

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(work, range(4)))
    assert store.counts().events == 32
    assert all(chain.whole for chain in store.chains())
    store.close()


def test_nothing_is_written_any_more_into_a_file_whose_record_was_moved(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "record", device="office")
    accounts = Accounts(store.database, PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    accounts.add("Ann", "crew", "seven mice in a wall", at=NOW)
    assert isinstance(store.database, SqliteFile)
    with store.database.writing() as connection:
        store.database.shut(connection)
    for write in (
        lambda: keep_rates(store, FirmRates("{}", NOW, "Ann")),
        lambda: accounts.set_role("Ann", "lead"),
        lambda: accounts.add("Ben", "crew", "nine rats in a wall", at=NOW),
        lambda: store.append(lines(Device("phone").title("Mill")), received=NOW),
        lambda: store.append([b"rubbish"], received=NOW),
    ):
        with pytest.raises(StoreError, match="went to PostgreSQL"):
            write()
    assert [one.role for one in accounts.all()] == ["crew"]
    store.close()

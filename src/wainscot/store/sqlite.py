"""The SQLite file, opened so that what was acknowledged survives a power cut.

SQLite 3.7.0 to 3.51.2 can corrupt a write-ahead log that two connections reset at once ("WAL reset
bug", https://sqlite.org/wal.html#walresetbug; fixed in 3.51.3).  With such a library the file keeps
a rollback journal with ``synchronous=EXTRA``, which also flushes the folder after the journal goes
(https://sqlite.org/pragma.html#pragma_synchronous); with any other, a write-ahead log with
``synchronous=FULL``.  Never ``NORMAL``: it may lose what was acknowledged.

>>> journal_for((3, 40, 1))
Journal(mode='delete', synchronous=3)
>>> journal_for((3, 51, 3))
Journal(mode='wal', synchronous=2)

Limits: one machine's own disk.  Locks over a network share cannot be relied upon.  Within one
process the file is opened through one library only, and never by a plain ``open``: closing such a
handle drops the locks of the others (https://sqlite.org/howtocorrupt.html, section 2.2).
"""

from __future__ import annotations

import importlib
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import product
from pathlib import Path
from types import ModuleType
from typing import Any

import msgspec
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError

from wainscot.store.database import WAIT, Database, Finding
from wainscot.store.durable import stop
from wainscot.store.faults import DamagedError, DiskFullError, StoreError
from wainscot.store.tables import metadata

FAULTY = ((3, 7, 0), (3, 51, 2))
"""First and last SQLite whose write-ahead log can corrupt."""

MOVED = "the record went to PostgreSQL; name it in WAINSCOT_DATABASE and start again"

_UNFLUSHED = ("SQLITE_IOERR_FSYNC", "SQLITE_IOERR_DIR_FSYNC", "SQLITE_IOERR")
# Without its details an I/O error may be a flush that failed.

_BY_WORDS = {"database or disk is full": "SQLITE_FULL", "disk I/O error": "SQLITE_IOERR"}

_CODES = {3: "EXTRA", 2: "FULL"}


class Journal(msgspec.Struct, frozen=True):
    """How a file is kept safe: journal mode, and SQLite's number for ``synchronous``."""

    mode: str
    synchronous: int


def journal_for(version: tuple[int, ...]) -> Journal:
    """Return the journal that is safe with a version of SQLite.

    Parameters
    ----------
    version : tuple of int
        Such as ``sqlite3.sqlite_version_info``.
    """
    if FAULTY[0] <= version <= FAULTY[1]:
        return Journal("delete", 3)
    return Journal("wal", 2)


def driver() -> ModuleType:
    """Return the newest SQLite at hand: Python's own, or ``pysqlite3`` where it is installed."""
    try:
        other = importlib.import_module("pysqlite3")
    except ImportError:
        return sqlite3
    return other if other.sqlite_version_info > sqlite3.sqlite_version_info else sqlite3


class SqliteFile(Database):
    """One SQLite file with its journal rule.

    Parameters
    ----------
    path : Path
        The file; made if it is not there.
    library : module, optional
        A DB-API module of SQLite; :func:`driver` by default.
    journal : Journal, optional
        Only tests give another than the rule's.
    """

    own_file = True

    def __init__(
        self, path: Path, library: ModuleType | None = None, journal: Journal | None = None
    ) -> None:
        self.path = path
        self.library = library or driver()
        self.journal = journal or journal_for(self.library.sqlite_version_info)
        self.engine = self._made()

    def _made(self) -> Engine:
        engine = create_engine(
            f"sqlite:///{self.path}",
            module=self.library,
            connect_args={"timeout": WAIT, "isolation_level": None},
        )
        event.listen(engine, "connect", self._settle)
        event.listen(engine, "begin", _begin)
        return engine

    def _settle(self, connection: Any, _: object) -> None:
        cursor = connection.cursor()
        cursor.execute("PRAGMA trusted_schema=OFF")
        cursor.execute("PRAGMA secure_delete=ON")  # what is taken out is written over with zeros
        cursor.execute("PRAGMA fullfsync=ON")
        cursor.execute("PRAGMA checkpoint_fullfsync=ON")
        mode = cursor.execute(f"PRAGMA journal_mode={self.journal.mode}").fetchone()[0]
        cursor.execute(f"PRAGMA synchronous={self.journal.synchronous}")
        told = cursor.execute("PRAGMA synchronous").fetchone()[0]
        cursor.close()
        if (mode, told) != (self.journal.mode, self.journal.synchronous):
            raise StoreError(
                f"SQLite keeps the journal as {mode} and not as {self.journal.mode}: "
                "another program has the record open; end it and try again"
            )

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        with _told(self.library):
            connection = self.engine.connect().execution_options(reads=True)
            try:
                with connection.begin():
                    yield connection
            finally:
                connection.close()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        with _told(self.library), self.engine.begin() as connection:
            yield connection

    @contextmanager
    def raw(self) -> Iterator[Any]:
        """Give the driver's own connection, for what only it can do."""
        with _told(self.library):
            pooled = self.engine.raw_connection()
            try:
                yield pooled.driver_connection
            finally:
                pooled.close()

    def copy(self, target: Path) -> None:
        with self.raw() as source:
            to = self.library.connect(str(target), isolation_level=None)
            try:
                source.backup(to)
                # A copy of a write-ahead file asks for a log beside it; a single file does not.
                to.execute("PRAGMA journal_mode=DELETE")
            finally:
                to.close()

    def shut(self, connection: Connection) -> None:
        """Let nobody write into the file any more, whoever has it open.

        Parameters
        ----------
        connection : Connection
            Of :meth:`writing`.
        """
        for table, act in product(metadata.tables, ("INSERT", "UPDATE", "DELETE")):
            connection.exec_driver_sql(
                f"CREATE TRIGGER moved_{table}_{act} BEFORE {act} ON {table} BEGIN "
                f"SELECT RAISE(ABORT, '{MOVED}'); END"
            )

    def write_over(self) -> None:
        with self.raw() as connection:
            connection.execute("VACUUM")
            # A rollback journal is gone by now; a log is written back and cut to nothing.
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def settings(self) -> tuple[str, str]:
        """Return journal mode and synchronous as SQLite itself tells them."""
        with self.raw() as connection:
            mode = connection.execute("PRAGMA journal_mode").fetchone()[0]
            level = connection.execute("PRAGMA synchronous").fetchone()[0]
        return mode, _CODES.get(level, str(level))

    def findings(self) -> Iterator[Finding]:
        mode, level = self.settings()
        wanted = journal_for(self.library.sqlite_version_info)
        told = (
            f"SQLite {self.library.sqlite_version} keeps a journal of kind {mode}, "
            f"synchronous {level}"
        )
        if (mode, level) == (wanted.mode, "EXTRA" if wanted.mode == "delete" else "FULL"):
            yield Finding("journal", "good", told)
        else:
            yield Finding("journal", "bad", told, "start this program anew and look again")
        with self.raw() as connection:
            sound = connection.execute("PRAGMA quick_check").fetchone()[0]
        if sound == "ok":
            yield Finding("file", "good", "SQLite finds the file sound")
        else:
            cure = "restore the last backup into a new folder"
            yield Finding("file", "bad", str(sound), cure)


def _begin(connection: Connection) -> None:
    reads = connection.get_execution_options().get("reads", False)
    connection.exec_driver_sql("BEGIN" if reads else "BEGIN IMMEDIATE")


@contextmanager
def _told(library: ModuleType) -> Iterator[None]:
    """Turn what SQLite says into the store's words; a failed flush ends the process."""
    try:
        yield
    except DBAPIError as error:
        raise told_as(error.orig) from error
    except library.Error as error:
        raise told_as(error) from error


def told_as(error: BaseException | None) -> StoreError:
    """Return the store's error for one of SQLite's; does not return where a flush failed.

    Parameters
    ----------
    error : exception
        As the driver raised it.
    """
    # Errors of a copy carry no name with some drivers; then the words must do.
    name = str(getattr(error, "sqlite_errorname", "")) or _BY_WORDS.get(str(error), "")
    if name in _UNFLUSHED:
        stop(f"flushing the record failed ({name})")
    if name == "SQLITE_FULL":
        return DiskFullError("the disk is full; nothing was written, what is there can be read")
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return DamagedError(f"the record is damaged ({error}); restore the last backup")
    if name.startswith("SQLITE_BUSY"):
        return StoreError("another program is writing to the record; try again")
    return StoreError(f"SQLite refused: {error} {name}".rstrip())

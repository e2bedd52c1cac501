"""APSW under Python's database interface, so that the record runs on a disk made of Python.

Only what SQLAlchemy and the record ask for.  ``vfs`` names the disk; ``exclusive`` spares the
write-ahead log its shared memory, which a disk made of Python cannot give.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import apsw

paramstyle = "qmark"
apilevel = "2.0"
threadsafety = 1
sqlite_version = apsw.sqlite_lib_version()
sqlite_version_info = tuple(int(part) for part in sqlite_version.split("."))

NAMES = {
    code: name
    for names in (apsw.mapping_result_codes, apsw.mapping_extended_result_codes)
    for name, code in names.items()
    if isinstance(name, str)
}


class Error(Exception):
    """Any error of SQLite; ``sqlite_errorname`` as in Python's own module."""

    sqlite_errorname = ""


class DatabaseError(Error):
    pass


class OperationalError(DatabaseError):
    pass


class IntegrityError(DatabaseError):
    pass


class InterfaceError(Error):
    pass


InternalError = ProgrammingError = NotSupportedError = DataError = DatabaseError
Binary = bytes
settings: dict[str, Any] = {"vfs": "", "exclusive": False}


def _told(act: Callable[[], Any]) -> Any:
    try:
        return act()
    except apsw.Error as error:
        kind = IntegrityError if isinstance(error, apsw.ConstraintError) else OperationalError
        made = kind(str(error))
        made.sqlite_errorname = NAMES.get(getattr(error, "extendedresult", 0), "")
        raise made from None


class Cursor:
    """A cursor whose rows are read at once."""

    arraysize = 1
    lastrowid = 0
    rowcount = -1

    def __init__(self, connection: apsw.Connection) -> None:
        self._connection = connection
        self._rows: list[Any] = []
        self.description: Any = None

    def execute(self, text: str, values: Any = ()) -> Cursor:
        def act() -> None:
            cursor = self._connection.cursor()
            self.description = None

            def seen(inner: Any, row: Any) -> Any:
                return row

            cursor.row_trace = seen
            cursor.exec_trace = self._described
            self._rows = list(cursor.execute(text, tuple(values)))

        _told(act)
        self.lastrowid = self._connection.last_insert_rowid()
        self.rowcount = self._connection.changes()
        return self

    def _described(self, cursor: Any, _text: str, _values: Any) -> bool:
        found = cursor.get_description()
        self.description = [(*one[:1], *(None,) * 6) for one in found] or None
        return True

    def executemany(self, text: str, many: Iterable[Any]) -> Cursor:
        for values in many:
            self.execute(text, values)
        return self

    def fetchone(self) -> Any:
        return self._rows.pop(0) if self._rows else None

    def fetchall(self) -> list[Any]:
        rows, self._rows = self._rows, []
        return rows

    def fetchmany(self, size: int = 1) -> list[Any]:
        rows, self._rows = self._rows[:size], self._rows[size:]
        return rows

    def __iter__(self) -> Any:
        return iter(self.fetchall())

    def close(self) -> None:
        self._rows = []


class Connection:
    """A connection that begins and ends transactions only where it is told to."""

    isolation_level = None

    def __init__(self, path: str) -> None:
        self._connection = _told(lambda: apsw.Connection(path, vfs=settings["vfs"] or None))
        if settings["exclusive"]:
            self.execute("PRAGMA locking_mode=EXCLUSIVE")

    def cursor(self) -> Cursor:
        return Cursor(self._connection)

    def execute(self, text: str, values: Any = ()) -> Cursor:
        return self.cursor().execute(text, values)

    def create_function(self, name: str, count: int, function: Any, **_: Any) -> None:
        self._connection.create_scalar_function(name, function, count)

    def commit(self) -> None:
        if self._connection.in_transaction:
            self.execute("COMMIT")

    def rollback(self) -> None:
        if self._connection.in_transaction:
            self.execute("ROLLBACK")

    def close(self) -> None:
        _told(lambda: self._connection.close(True))


def connect(path: str, timeout: float = 0, isolation_level: Any = None, **_: Any) -> Connection:
    """Open a file on the disk that ``settings`` names."""
    return Connection(path)

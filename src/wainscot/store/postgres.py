"""A record in PostgreSQL, for a firm with more than one host.

Whoever writes holds one advisory lock of the database from begin to commit
(https://www.postgresql.org/docs/current/explicit-locking.html#ADVISORY-LOCKS), so that writers come
one after the other as with a SQLite file, and the order of arrival has no gap.  Whoever reads sees
one snapshot (``REPEATABLE READ``, read only).  A commit is answered when it is flushed
(``synchronous_commit=on``, whatever the server's own setting is).  A flush that fails ends
PostgreSQL itself (``data_sync_retry``), not this process.

Limits: the database must order text by its bytes and hold UTF-8, else the same record would be
exported in another order; one that does not is refused.  A pooler between must keep a transaction
on one connection.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError

from wainscot.store import migrate
from wainscot.store.carry import carry
from wainscot.store.database import WAIT, Database, Finding
from wainscot.store.faults import DamagedError, DiskFullError, StoreError
from wainscot.store.sqlite import Journal, SqliteFile, driver

LOCK = 0x77A1_45C0
"""The advisory lock of whoever writes; any number that nobody else in this database uses."""

BY_BYTES = ("C", "POSIX", "C.UTF-8", "C.utf8")
"""Collations that order text by its bytes; glibc's C.UTF-8 since 2.35
(https://sourceware.org/pipermail/libc-announce/2022/000033.html)."""

MAKE = "CREATE DATABASE wainscot ENCODING 'UTF8' LC_COLLATE 'C' LC_CTYPE 'C' TEMPLATE template0"

_SETTINGS = f"-c lock_timeout={WAIT}s -c synchronous_commit=on -c timezone=UTC"


def is_address(text: str) -> bool:
    """Whether a text names a PostgreSQL: ``postgresql://user@host/name``."""
    return text.startswith(("postgresql://", "postgres://"))


class Postgres(Database):
    """One database of a PostgreSQL server.

    Parameters
    ----------
    address : str
        ``postgresql://user@host:port/name``; a password is better kept in a password file
        (https://www.postgresql.org/docs/current/libpq-pgpass.html).

    Raises
    ------
    StoreError
        If the address cannot be read or the driver is not installed.
    """

    own_file = False

    def __init__(self, address: str) -> None:
        self.library = driver()
        self._url = _url(address)
        self._fits = False
        self.engine = _engine(self._url)

    @property
    def address(self) -> str:
        """The address as libpq takes it, password included; never to be shown."""
        return self._url.set(drivername="postgresql").render_as_string(hide_password=False)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        with _told():
            connection = self.engine.connect().execution_options(
                isolation_level="REPEATABLE READ", postgresql_readonly=True
            )
            try:
                with connection.begin():
                    self._check(connection)
                    yield connection
            finally:
                connection.close()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        with _told(), self.engine.begin() as connection:
            self._check(connection)
            # Read committed: what follows the lock sees all that earlier writers committed.
            connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
            yield connection

    @contextmanager
    def beside(self) -> Iterator[Connection]:
        """Give a transaction on tables that are no part of the record; others may write at once."""
        with _told(), self.engine.begin() as connection:
            yield connection

    def _check(self, connection: Connection) -> None:
        if self._fits:
            return
        collation, encoding = connection.execute(text(
            "SELECT datcollate, pg_encoding_to_char(encoding) FROM pg_database "
            "WHERE datname = current_database()"
        )).one()  # fmt: skip
        if collation not in BY_BYTES or encoding != "UTF8":
            raise StoreError(
                f"the database orders text by {collation} and holds {encoding}; a record needs one "
                f"that orders by bytes and holds UTF-8. Make one: {MAKE}"
            )
        self._fits = True

    def copy(self, target: Path) -> None:
        # A rollback journal, so that one file is left.
        file = SqliteFile(target, self.library, Journal("delete", 3))
        try:
            with self.reading() as source, file.writing() as to:
                migrate.upgrade(to, migrate.found(source))
                carry(source, to)
        finally:
            file.close()

    @contextmanager
    def filling(self, source: Connection) -> Iterator[Connection]:
        """Take in every row of another record; kept when this ends without error.

        Parameters
        ----------
        source : Connection
            Of the other record, whose tables are of this program.

        Raises
        ------
        StoreError
            If there is a record already.
        DamagedError
            If a row arrived otherwise than it was.
        """
        with self.writing() as connection:
            if migrate.found(connection):
                raise StoreError(
                    "the PostgreSQL database holds a record already; name an empty one"
                )
            migrate.upgrade(connection)
            for name in carry(source, connection):
                _count_on(connection, name)
            yield connection

    def write_over(self) -> None:
        # Its own log keeps old rows until the server goes on to the next files.
        with _told(), self.engine.connect() as connection:
            alone = connection.execution_options(isolation_level="AUTOCOMMIT")
            alone.execute(text("VACUUM FULL"))
            alone.execute(text("CHECKPOINT"))

    def findings(self) -> Iterator[Finding]:
        with self.reading() as connection:
            version = connection.execute(text("SHOW server_version")).scalar_one()
            off = [
                name for name in ("fsync", "full_page_writes", "synchronous_commit")
                if connection.execute(text(f"SHOW {name}")).scalar_one() == "off"
            ]  # fmt: skip
        told = f"PostgreSQL {version}"
        if off:
            cure = "set it on: a power cut could take what was acknowledged"
            yield Finding("database", "bad", f"{told} has {' and '.join(off)} off", cure)
        else:
            yield Finding("database", "good", f"{told} flushes before it answers")


def _engine(url: URL) -> Engine:
    try:
        return create_engine(
            url, pool_pre_ping=True, pool_size=10, max_overflow=20,
            connect_args={"options": _SETTINGS, "client_encoding": "utf8", "connect_timeout": 10},
        )  # fmt: skip
    except ModuleNotFoundError:
        raise StoreError("PostgreSQL needs: pip install 'wainscot[postgres]'") from None


def _url(address: str) -> URL:
    try:
        url = make_url(address)
    except ArgumentError:
        url = None
    if url is None or not is_address(address) or not url.database:
        # The address is not told: a password may stand in it.
        raise StoreError("the database is named as postgresql://user@host/name")
    return url.set(drivername="postgresql+psycopg")


def _count_on(connection: Connection, table: str) -> None:
    """Let a table's own numbers go on after those that were taken in."""
    sequence = connection.execute(text(
        "SELECT pg_get_serial_sequence(:table, 'n') WHERE EXISTS (SELECT FROM "
        "information_schema.columns WHERE table_name = :table AND column_name = 'n' "
        "AND table_schema = current_schema())"
    ), {"table": table}).scalar()  # fmt: skip
    if sequence:
        last = f'SELECT setval(:sequence, (SELECT coalesce(max(n), 0) + 1 FROM "{table}"), false)'
        connection.execute(text(last), {"sequence": sequence})


@contextmanager
def _told() -> Iterator[None]:
    """Turn what PostgreSQL says into the store's words."""
    try:
        yield
    except DBAPIError as error:
        raise told_as(error.orig) from error


def told_as(error: BaseException | None) -> StoreError:
    """Return the store's error for one of PostgreSQL's.

    Parameters
    ----------
    error : exception
        As the driver raised it; classes of ``sqlstate`` are those of
        https://www.postgresql.org/docs/current/errcodes-appendix.html.
    """
    state = str(getattr(error, "sqlstate", None) or "")
    if state == "53100":
        return DiskFullError("the disk is full; nothing was written, what is there can be read")
    if state in ("XX001", "XX002"):
        return DamagedError("the record is damaged; restore the last backup")
    if state == "55P03":
        return StoreError("another program is writing to the record; try again")
    if not state or state[:2] in ("08", "57"):
        return StoreError(
            "PostgreSQL cannot be reached or ended the connection; what was not acknowledged may "
            "or may not be there, sending it again changes nothing"
        )
    # Only the first line: the others may quote what is in the record.
    diagnosis: Any = getattr(error, "diag", None)
    primary = getattr(diagnosis, "message_primary", None) or type(error).__name__
    return StoreError(f"PostgreSQL refused: {primary} ({state})")

"""A record from its SQLite file into a PostgreSQL database, whole and compared, or not at all."""

from __future__ import annotations

import hashlib
from contextlib import closing

import msgspec
from sqlalchemy import Connection

from wainscot.store import rows
from wainscot.store.faults import DamagedError, StoreError
from wainscot.store.heads import kept_in
from wainscot.store.postgres import Postgres
from wainscot.store.proof import check_store
from wainscot.store.sqlite import SqliteFile
from wainscot.store.store import Store
from wainscot.store.tables import account, blob, event


class Moved(msgspec.Struct, frozen=True):
    """How much a record holds, and the SHA-256 over its events as they are exported."""

    events: int
    blobs: int
    heads: int
    accounts: int
    export: str


def move_in(store: Store, address: str) -> Moved:
    """Take the rows of a record in a SQLite file into an empty PostgreSQL database.

    Photos and keys stay in the folder.  The file is held meanwhile; when all was compared, nobody
    can write into it any more and it gets another name.

    Parameters
    ----------
    store : Store
        The record, in its SQLite file; closed afterwards.
    address : str
        ``postgresql://user@host/name``.

    Raises
    ------
    StoreError
        If there is a record already.
    DamagedError
        If the record is not sound, or anything arrived otherwise; then the file is as it was.
    """
    file = store.database
    if not isinstance(file, SqliteFile):
        raise StoreError("the record lies in PostgreSQL already")
    with closing(store), closing(Postgres(address)) as target:
        if faults := [one for one in check_store(store) if one.state == "bad"]:
            raise DamagedError(f"the record is not sound ({faults[0].told}); nothing was moved")
        with file.writing() as source:  # so that nobody else writes while it is read
            with target.filling(source) as there:
                told = _told(source)
                if _told(there) != told:
                    raise DamagedError("the record arrived otherwise than it was")
            file.shut(source)
    store.disk.rename(store.layout.database, store.layout.moved)
    store.disk.sync_folder(store.layout.folder)
    return told


def _told(connection: Connection) -> Moved:
    exported = hashlib.sha256()
    for line in rows.lines(connection):
        exported.update(line + b"\n")
    return Moved(
        events=rows.count(connection, event.c.id), blobs=rows.count(connection, blob.c.hash),
        heads=len(kept_in(connection)), accounts=rows.count(connection, account.c.id),
        export=exported.hexdigest(),
    )  # fmt: skip

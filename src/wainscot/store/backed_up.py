"""Which backup is the newest that can be restored, and what would be lost with it alone."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import msgspec
from sqlalchemy import Column, func, select

from wainscot.record import instant
from wainscot.store.archive import Archive, check_whole, noted_digest
from wainscot.store.backup import Taken, set_hash, taken_of
from wainscot.store.batches import in_parts
from wainscot.store.database import Database
from wainscot.store.faults import DamagedError
from wainscot.store.tables import backup, blob, event


class Status(msgspec.Struct, frozen=True):
    """The newest backup that can be restored, and what came after it.

    ``since`` is when the first event or photo arrived that no backup holds; empty where all are
    held.  ``damaged`` are backups that are there and cannot be used, ``gone`` those that are not.
    """

    last: Taken | None
    events_after: int
    blobs_after: int
    since: str
    damaged: tuple[Path, ...] = ()
    gone: tuple[Path, ...] = ()


def status(database: Database, folder: Path) -> Status:
    """Return the newest backup that can be restored, found by reading the files again.

    Parameters
    ----------
    database : Database
        The record.
    folder : Path
        Where backups lie unless they were put elsewhere.
    """
    found = {path: noted_digest(path) for path in sorted(folder.glob("wainscot-*.zip"))}
    found = {path.resolve(): digest for path, digest in found.items()} | noted(database)
    damaged = []
    good = []
    for path, digest in found.items():
        try:
            check_whole(path, digest)
            good.append(taken_of(path, digest, Archive(path).manifest))
        except DamagedError:
            damaged.append(path)
        except OSError:
            continue
    last = _last_of_ours(database, good)
    gone = tuple(path for path in found if not path.is_file())
    return later(database, last, tuple(damaged), gone)


def noted(database: Database) -> dict[Path, str]:
    """Return where the backups of a record were put, each with its SHA-256."""
    with database.reading() as connection:
        return {
            Path(row.path): row.digest
            for row in connection.execute(select(backup.c.path, backup.c.digest))
        }


def _last_of_ours(database: Database, good: list[Taken]) -> Taken | None:
    """Return the newest whose events and photos are all in this record.

    After a restore numbers of receipt are given anew, so a number alone proves nothing.
    """
    good.sort(key=lambda one: (one.events_through, one.blobs_through, instant(one.taken)))
    for one in reversed(good):
        manifest = Archive(one.path).manifest
        with database.reading() as connection:
            ids = connection.execute(select(event.c.id).where(event.c.n <= one.events_through))
            same = set_hash(row.id for row in ids) == manifest.head
            hashes = connection.execute(select(blob.c.hash).where(blob.c.n <= one.blobs_through))
            same = same and set_hash(row.hash for row in hashes) == manifest.blob_head
        if same:
            return one
    return None


def later(
    database: Database,
    last: Taken | None,
    damaged: tuple[Path, ...] = (),
    gone: tuple[Path, ...] = (),
) -> Status:
    """Return what came after a backup that was found good.

    Parameters
    ----------
    database : Database
        The record.
    last : Taken or None
        The backup.
    damaged, gone : tuple of Path
        Others, as :func:`status` found them.
    """
    events_through = last.events_through if last else 0
    blobs_through = last.blobs_through if last else 0
    first: list[str] = []
    after = []
    with database.reading() as connection:
        for table, through in ((event, events_through), (blob, blobs_through)):
            later = table.c.n > through
            after.append(
                connection.execute(
                    select(func.count()).select_from(table).where(later)
                ).scalar_one()
            )
            earliest = select(table.c.received).where(later).order_by(table.c.n).limit(1)
            first += connection.execute(earliest).scalars()
    return Status(
        last=last, events_after=after[0], blobs_after=after[1],
        since=min(first, key=instant, default=""), damaged=damaged, gone=gone,
    )  # fmt: skip


def events_after(database: Database, last: Taken | None) -> dict[str, int]:
    """Return how many events of each job came after a backup; jobs without any are left out.

    Parameters
    ----------
    database : Database
        The record.
    last : Taken or None
        The backup, as :func:`status` found it.
    """
    chosen = select(event.c.job, func.count()).where(
        event.c.n > (last.events_through if last else 0)
    )
    with database.reading() as connection:
        return {row[0]: int(row[1]) for row in connection.execute(chosen.group_by(event.c.job))}


def held_by(database: Database, last: Taken | None, ids: Iterable[str]) -> tuple[str, ...]:
    """Return those ids that the last restorable backup holds; a phone may let go of these.

    Parameters
    ----------
    database : Database
        The record.
    last : Taken or None
        As :func:`status` found it.
    ids : iterable of str
        Ids of events.
    """
    return _through(database, event.c.id, event.c.n, last.events_through if last else 0, ids)


def photos_held_by(
    database: Database, last: Taken | None, hashes: Iterable[str]
) -> tuple[str, ...]:
    """Return those photos that the last restorable backup holds; a phone may let go of these.

    Parameters
    ----------
    database : Database
        The record.
    last : Taken or None
        As :func:`status` found it.
    hashes : iterable of str
        SHA-256 of photos.
    """
    return _through(database, blob.c.hash, blob.c.n, last.blobs_through if last else 0, hashes)


def _through(
    database: Database, name: Column[str], number: Column[int], last: int, wanted: Iterable[str]
) -> tuple[str, ...]:
    held: set[str] = set()
    names = list(dict.fromkeys(wanted))
    with database.reading() as connection:
        for part in in_parts(names):
            chosen = select(name).where(number <= last, name.in_(part))
            held.update(connection.execute(chosen).scalars())
    return tuple(one for one in names if one in held)

"""A backup to a record again."""

from __future__ import annotations

import shutil
from contextlib import closing
from pathlib import Path

from wainscot.store import backup, rows
from wainscot.store.accounts import forget_logins
from wainscot.store.archive import check_whole, noted_digest
from wainscot.store.blobs import digest_of, file_chunks
from wainscot.store.bucket import BucketBlobs
from wainscot.store.durable import Disk
from wainscot.store.faults import DamagedError, StoreError
from wainscot.store.layout import Layout
from wainscot.store.links import forget_links
from wainscot.store.postgres import Postgres
from wainscot.store.store import Store


def restore(
    path: Path,
    folder: Path,
    *,
    device: str,
    now: str,
    disk: Disk | None = None,
    address: str = "",
    bucket: str = "",
) -> Store:
    """Put a backup into a folder and open it; whole or not at all.

    Parameters
    ----------
    path : Path
        The backup.
    folder : Path
        Where to; not there yet or empty.
    device : str
        A device id that was never used: the record that was lost may have written events after
        this backup, and their numbers must not be given twice.
    now : str
        ISO 8601 with offset.
    disk : Disk, optional
        Acts on the disk.
    address : str, optional
        An empty PostgreSQL database that the rows go to; else they stay a SQLite file.
    bucket : str, optional
        An S3-like store that the photos go to; else they stay in the folder.

    Raises
    ------
    DamagedError
        If the backup is not as written; nothing is restored then.
    StoreError
        If the folder holds something, or there is no room.
    """
    disk = disk or Disk()
    if folder.exists() and any(folder.iterdir()):
        raise StoreError(f"{folder} is not empty; restore into a folder that is not there yet")
    digest = noted_digest(path) or digest_of(file_chunks(path))
    check_whole(path, digest)
    work = folder.with_name(f".{folder.name}.restoring")
    if work.exists():
        shutil.rmtree(work)
    disk.folder(work)
    try:
        backup.unpack(backup.check(path, work / "checking"), work, disk)
        with closing(Store.open(work, now=now, disk=disk)) as store:
            with store.database.writing() as connection:
                rows.set_own_device(connection, device)
                forget_logins(connection, at=now)
                forget_links(connection, at=now)
            backup.note(store.database, path, digest)
            if faults := list(store.blobs.scrub()):
                raise DamagedError(f"photo {faults[0].hash[:12]} is {faults[0].fault}")
            if bucket:
                BucketBlobs(Layout(work).blobs, store.database, disk, bucket).move_all()
            if address:
                with (
                    closing(Postgres(address)) as target, store.database.reading() as source,
                    target.filling(source),
                ):  # fmt: skip
                    pass
        if address:
            disk.remove(Layout(work).database)
        else:
            disk.sync(Layout(work).database)
        if folder.exists():
            folder.rmdir()
        work.rename(folder)
        disk.sync_folder(folder.parent)
    except BaseException:
        shutil.rmtree(work, ignore_errors=True)
        raise
    return Store.open(folder, now=now, disk=disk, address=address, bucket=bucket)

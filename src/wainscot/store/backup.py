"""Backups: taken, read back, unpacked again.

A backup is one archive: one moment's rows as a SQLite file, whichever database they lie in, taken
while others may write, and every photo that it lists.  It gets its name only after it was read
back: every member's hash, the copy's own integrity, every event's id, the number of rows in each
table.  So it can be put back into either database.

Limits: each backup holds all photos.  On the same disk it helps against slips, not against the
disk's death; put it on another.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import closing
from pathlib import Path
from types import ModuleType
from typing import Any

import msgspec
from sqlalchemy import inspect

from wainscot.record import RecordError, event_id, event_of, instant, joined
from wainscot.store.archive import (
    Archive,
    Manifest,
    Member,
    Part,
    write_archive,
)
from wainscot.store.blobs import Blobs, file_chunks
from wainscot.store.database import Database
from wainscot.store.durable import Disk
from wainscot.store.faults import DamagedError, StoreError
from wainscot.store.signatures import check_signature
from wainscot.store.sqlite import driver
from wainscot.store.tables import backup

COPY = "record.sqlite"


class Taken(msgspec.Struct, frozen=True):
    """A backup: where it lies, the SHA-256 of the file, when it was taken, what it holds."""

    path: Path
    digest: str
    taken: str
    events: int
    blobs: int
    events_through: int
    blobs_through: int


def take(database: Database, blobs: Blobs, disk: Disk, folder: Path, *, now: str) -> Taken:
    """Take a backup, read it back, and note it in the record.

    Parameters
    ----------
    database, blobs : Database, Blobs
        The record; others may go on writing.
    disk : Disk
        Acts on the disk.
    folder : Path
        Where it goes; made if it is not there.
    now : str
        ISO 8601 with offset.

    Raises
    ------
    DamagedError
        If the record itself or the written file is not sound; then there is no backup.
    DiskFullError
        If there is no room.
    """
    disk.folder(folder)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".taking-") as work:
        copy = Path(work) / COPY
        database.copy(copy)
        facts = _facts(copy, database.library)
        path = _free_name(folder, now)

        def read_back(part: Path) -> None:
            check(part, Path(work) / "read-back", database.library)

        digest = write_archive(
            path, _parts(copy, facts, blobs), lambda members: facts.manifest(now, members),
            disk, read_back,
        )  # fmt: skip
    taken = taken_of(path, digest, facts.manifest(now, {}))
    _note(database, taken)
    return taken


class _Facts(msgspec.Struct, frozen=True):
    """What a copy of the SQLite file holds."""

    head: str
    events: int
    events_through: int
    blobs: tuple[str, ...]
    blobs_through: int
    tables: dict[str, int]

    def manifest(self, taken: str, members: dict[str, Member]) -> Manifest:
        return Manifest(
            form=1, kind="backup", taken=taken, head=self.head,
            blob_head=set_hash(self.blobs), members=members, events=self.events,
            blobs=len(self.blobs), events_through=self.events_through,
            blobs_through=self.blobs_through, tables=self.tables,
        )  # fmt: skip


def set_hash(names: Iterable[str]) -> str:
    """Return the SHA-256 over sorted names: the name of the set."""
    return hashlib.sha256("".join(f"{one}\n" for one in sorted(names)).encode()).hexdigest()


def _facts(copy: Path, library: ModuleType) -> _Facts:
    """Read a copy by plain SQL, for its tables may be of an older program; refuse damage."""
    with closing(library.connect(str(copy))) as connection:
        try:
            _sound(connection)
            ids = [row[0] for row in connection.execute("SELECT id FROM event")]
            blobs = [row[0] for row in connection.execute("SELECT hash FROM blob ORDER BY n")]
            return _Facts(
                head=set_hash(ids),
                events=len(ids),
                events_through=_one(connection, "SELECT coalesce(max(n), 0) FROM event"),
                blobs=tuple(blobs),
                blobs_through=_one(connection, "SELECT coalesce(max(n), 0) FROM blob"),
                tables={
                    row[0]: _one(connection, f'SELECT count(*) FROM "{row[0]}"')
                    for row in connection.execute(
                        "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"
                    ).fetchall()
                },
            )
        except library.DatabaseError as error:
            raise DamagedError(f"the record is damaged ({error})") from None


def _sound(connection: Any) -> None:
    told = [row[0] for row in connection.execute("PRAGMA integrity_check")]
    if told != ["ok"]:
        raise DamagedError(f"the record is damaged ({told[0]})")
    # These columns keep their meaning for ever, so a copy of any age can be read.
    told = connection.execute("SELECT * FROM event LIMIT 0").description
    beside = "beside" if "beside" in [one[0] for one in told] else "NULL"
    for row in connection.execute(f"SELECT id, job, device, seq, prev, body, {beside} FROM event"):
        if not _is_itself(*row[:6]) or not _fits(row[5], row[6]):
            raise DamagedError(f"event {row[0][:12]} is not the one that was written")


def _is_itself(name: str, job: str, device: str, seq: int, prev: str, body: bytes) -> bool:
    """Whether an event's line has its id, and the columns beside it say what the line says."""
    try:
        content = json.loads(body)
        columns = {"id": name, "job": job, "device": device, "seq": seq, "prev": prev}
        return event_id(content) == name and content == {**content, **columns}
    except (ValueError, TypeError, AttributeError, RecordError):
        return False


def _fits(body: bytes, beside: bytes | None) -> bool:
    """Whether signature and personal texts beside an event are its own."""
    try:
        if beside:
            check_signature(event_of(json.loads(joined(body, beside))))
    except (ValueError, RecordError):
        return False
    return True


def _one(connection: Any, query: str) -> int:
    return int(connection.execute(query).fetchone()[0])


def _parts(copy: Path, facts: _Facts, blobs: Blobs) -> Iterator[Part]:
    yield COPY, file_chunks(copy)
    for digest in facts.blobs:
        yield f"blobs/{digest}", blobs.read(digest)


def check(path: Path, work: Path, library: ModuleType | None = None) -> Archive:
    """Read a backup whole, as if restoring it.

    Parameters
    ----------
    path : Path
        The archive.
    work : Path
        Folder that is not there, on a disk with room for a copy of the SQLite file; removed again.
    library : module, optional
        A DB-API module of SQLite.

    Raises
    ------
    DamagedError
        If anything in it is not as written.
    """
    archive = Archive(path)
    manifest = archive.manifest
    if manifest.kind != "backup" or COPY not in manifest.members:
        raise DamagedError(f"{path.name} is no backup of a record")
    archive.check()
    work.mkdir()
    try:
        copy = work / COPY
        with copy.open("wb") as stream:
            stream.writelines(archive.read(COPY))
        facts = _facts(copy, library or driver())
    finally:
        shutil.rmtree(work)
    if facts.manifest(manifest.taken, manifest.members) != manifest:
        raise DamagedError(f"{path.name} does not hold what its list says")
    for digest in facts.blobs:
        member = manifest.members.get(f"blobs/{digest}")
        if member is None or member.sha256 != digest:
            raise DamagedError(f"{path.name} lacks the photo {digest[:12]}")
    return archive


def _free_name(folder: Path, now: str) -> Path:
    moment = instant(now).strftime("%Y%m%dT%H%M%SZ")
    number = 1
    while (path := folder / f"wainscot-{moment}-{number}.zip").exists():
        number += 1
    return path


def taken_of(path: Path, digest: str, manifest: Manifest) -> Taken:
    """Return a backup as its list of members tells of it.

    Parameters
    ----------
    path : Path
        Where it lies.
    digest : str
        SHA-256 of the file.
    manifest : Manifest
        The list.
    """
    return Taken(
        path=path, digest=digest, taken=manifest.taken, events=manifest.events,
        blobs=manifest.blobs, events_through=manifest.events_through,
        blobs_through=manifest.blobs_through,
    )  # fmt: skip


def note(database: Database, path: Path, digest: str) -> Taken:
    """Note a backup that lies somewhere and was checked, so that :func:`status` knows of it."""
    taken = taken_of(path.resolve(), digest, Archive(path).manifest)
    _note(database, taken)
    return taken


def _note(database: Database, taken: Taken) -> None:
    row = {
        "path": str(taken.path.resolve()), "digest": taken.digest, "taken": taken.taken,
        "events_through": taken.events_through, "blobs_through": taken.blobs_through,
    }  # fmt: skip
    with database.writing() as connection:
        if inspect(connection).has_table("backup"):  # the tables of an older program may lack it
            connection.execute(backup.insert(), [row])


def unpack(archive: Archive, folder: Path, disk: Disk) -> None:
    """Write what an archive holds into a folder, flushed.

    Raises
    ------
    StoreError
        If there is no room for it.
    """
    disk.folder(folder)
    free = shutil.disk_usage(folder).free
    if archive.size > free:
        raise StoreError(f"{archive.path.name} needs {archive.size} bytes; {free} are free")
    for name in archive.manifest.members:
        target = folder / name
        if name.startswith("blobs/"):
            digest = name.removeprefix("blobs/")
            target = folder / "blobs" / digest[:2] / digest
        disk.folder(target.parent)
        disk.write(target, archive.read(name))

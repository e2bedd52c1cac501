"""Photos and other bytes, each under its own SHA-256.

Bytes come in parts and are resumed where they broke off.  When all are there they are hashed,
flushed, given their name, and their folder is flushed; only then does the record get a row.  So a
row means: the bytes are there.  The bytes are never changed, only given back.

Limits: what a photo shows, and whether it is one, is not looked at here.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import msgspec
from sqlalchemy import Connection, select

from wainscot.store.database import Database
from wainscot.store.durable import CHUNK, Disk
from wainscot.store.faults import DamagedError, PartError, StoreError
from wainscot.store.rows import newest
from wainscot.store.tables import blob, erased

_HASH = re.compile(r"[0-9a-f]{64}")
_ERASED = "this photo was erased for a person's sake and is not taken again"


class BlobFault(msgspec.Struct, frozen=True):
    """Bytes that are not as recorded: ``missing``, ``damaged``, or there ``without a row``."""

    hash: str
    fault: str


class Blobs:
    """The bytes of one record.

    Parameters
    ----------
    folder : Path
        Where they lie; made when the first arrives.
    database : Database
        Holds their rows.
    disk : Disk
        Acts on the disk.
    """

    def __init__(self, folder: Path, database: Database, disk: Disk) -> None:
        self._folder = folder
        self._database = database
        self._disk = disk

    def path(self, digest: str) -> Path:
        """Return where the bytes of a hash lie.

        Raises
        ------
        StoreError
            If the text is no SHA-256 in small hexadecimal letters.
        """
        if not _HASH.fullmatch(digest):
            raise StoreError(f"{digest[:80]!r} is no SHA-256")
        return self._folder / digest[:2] / digest

    def held(self, digest: str) -> int:
        """Return how many bytes of an unfinished part are held; send on from there."""
        part = self.part(digest)
        return part.stat().st_size if part.is_file() else 0

    def has(self, digest: str) -> bool:
        """Whether the bytes are recorded and their file is there."""
        with self._database.reading() as connection:
            found = connection.execute(select(blob.c.n).where(blob.c.hash == digest)).first()
        return found is not None and self._is_there(digest)

    def file(self, digest: str) -> Path:
        """Return a file of this host with the bytes of a hash; it is to be read and not kept."""
        return self.path(digest)

    def _is_there(self, digest: str) -> bool:
        return self.path(digest).is_file()

    def _put_away(self, digest: str) -> None:
        """Put bytes that are whole and flushed where they stay; before the record names them."""

    def _take_away(self, digest: str) -> None:
        """Take bytes away from where they stay."""
        self._disk.remove(self.path(digest))

    def add(self, digest: str, offset: int, data: bytes) -> int:
        """Write one part and return how many bytes are held now.

        Parameters
        ----------
        digest : str
            SHA-256 of the whole.
        offset : int
            Byte that the part begins at.
        data : bytes
            The part.

        Raises
        ------
        PartError
            If bytes before the offset are missing.
        DiskFullError
            If there is no room.
        """
        part = self.part(digest)
        held = self.held(digest)
        if not 0 <= offset <= held:
            raise PartError(held)
        self._disk.folder(part.parent)
        self._disk.add(part, offset, data)
        return self.held(digest)

    def part(self, digest: str) -> Path:
        """Return where bytes lie that are still arriving; the file may not be there."""
        self.path(digest)
        return self._folder / "parts" / digest

    def drop(self, digest: str) -> None:
        """Throw away what has arrived of bytes that are not wanted; recorded bytes stay."""
        self._disk.remove(self.part(digest))

    def finish(self, digest: str, *, received: str) -> None:
        """Check the bytes against their hash, make them durable, then record them.

        Parameters
        ----------
        digest : str
            SHA-256 of the whole.
        received : str
            Now, ISO 8601 with offset.

        Raises
        ------
        PartError
            If nothing of it is held.
        DamagedError
            If the bytes have another hash; they are thrown away, send them anew.
        StoreError
            If they were erased.
        """
        path, part = self.path(digest), self.part(digest)
        if self.erased(digest):
            self._disk.remove(part)
            raise StoreError(_ERASED)
        if part.is_file():
            if _digest(part) != digest:
                self._disk.remove(part)
                raise DamagedError("the bytes that arrived have another hash; send them again")
            self._disk.folder(path.parent)
            self._disk.seal(part, path)
        elif not path.is_file() and self.has(digest):
            return  # put away before
        elif not path.is_file():
            raise PartError(0)
        elif _digest(path) != digest:
            raise DamagedError("the bytes that are held are damaged; send them again")
        else:
            # The power may have gone between name and row; the row must not come before the flush.
            self._disk.sync(path)
            self._disk.sync_folder(path.parent)
        row = {"hash": digest, "size": path.stat().st_size, "received": received}
        self._put_away(digest)
        with self._database.writing() as connection:
            gone = _is_erased(connection, digest)  # perhaps since it was looked at above
            held = connection.execute(select(blob.c.n).where(blob.c.hash == digest)).first()
            if held is None and not gone:
                connection.execute(blob.insert(), [{"n": newest(connection, blob.c.n) + 1, **row}])
        if gone:
            self._take_away(digest)
            raise StoreError(_ERASED)

    def erased(self, digest: str) -> bool:
        """Whether bytes were erased; such are never taken again."""
        with self._database.reading() as connection:
            return _is_erased(connection, digest)

    def forget_erased(self) -> None:
        """Take the bytes of erased photos from the disk, and what has arrived of such."""
        chosen = select(erased.c.hash).where(erased.c.what == "photo")
        with self._database.reading() as connection:
            gone = [one for one in connection.execute(chosen).scalars() if _HASH.fullmatch(one)]
        for one in gone:
            self.drop(one)
            self._take_away(one)

    def put(self, data: bytes, *, received: str) -> str:
        """Record bytes that are at hand whole, and return their hash."""
        digest = hashlib.sha256(data).hexdigest()
        self._disk.remove(self.part(digest))
        self.add(digest, 0, data)
        self.finish(digest, received=received)
        return digest

    def read(self, digest: str, start: int = 0, size: int | None = None) -> Iterator[bytes]:
        """Give bytes in chunks.

        Parameters
        ----------
        digest : str
            SHA-256 of the whole.
        start : int
            First byte.
        size : int, optional
            How many; all that follow by default.

        Raises
        ------
        StoreError
            If there are none of that hash.
        """
        path = self.file(digest)
        if not path.is_file():
            raise StoreError(f"no photo {digest[:12]} is held")
        return file_chunks(path, start, size)

    def rows(self) -> list[tuple[str, int]]:
        """Return hash and size of everything recorded, in order of receipt."""
        with self._database.reading() as connection:
            found = connection.execute(select(blob.c.hash, blob.c.size).order_by(blob.c.n))
            return [(str(one.hash), int(one.size)) for one in found]

    def scrub(self) -> Iterator[BlobFault]:
        """Read everything again and give what is not as recorded."""
        recorded = {digest for digest, _ in self.rows()}
        for digest in sorted(recorded):
            path = self.path(digest)
            if not path.is_file():
                yield BlobFault(digest, "missing")
            elif _digest(path) != digest:
                yield BlobFault(digest, "damaged")
        for path in sorted(self._folder.glob("??/*")):
            if _HASH.fullmatch(path.name) and path.name not in recorded:
                yield BlobFault(path.name, "without a row")


def file_chunks(path: Path, start: int = 0, size: int | None = None) -> Iterator[bytes]:
    """Give a file's bytes in chunks, from a byte on, at most so many."""
    with path.open("rb") as stream:
        stream.seek(start)
        left = size
        while left is None or left > 0:
            chunk = stream.read(CHUNK if left is None else min(CHUNK, left))
            if not chunk:
                return
            left = None if left is None else left - len(chunk)
            yield chunk


def _is_erased(connection: Connection, digest: str) -> bool:
    chosen = select(erased.c.n).where(erased.c.hash == digest, erased.c.what == "photo")
    return connection.execute(chosen.limit(1)).first() is not None


def _digest(path: Path) -> str:
    return digest_of(file_chunks(path))


def digest_of(chunks: Iterable[bytes]) -> str:
    """Return the SHA-256 of bytes that come in chunks."""
    hashed = hashlib.sha256()
    for chunk in chunks:
        hashed.update(chunk)
    return hashed.hexdigest()

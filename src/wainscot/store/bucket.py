"""Photos in an S3-like store, for hosts that share no folder.

Bytes that arrive lie in the folder of this host until all are there and their hash is right; then
they are put into the store under their hash, looked for there, and only then does the record get a
row.  To be read they are fetched into the folder's cache, and their hash is looked at.

Where the store is and who may use it, the usual settings say (``AWS_ENDPOINT_URL``,
``AWS_ACCESS_KEY_ID``, ``AWS_SECRET_ACCESS_KEY``, ``AWS_REGION``).

Limits: whether the store keeps what it acknowledged is the store's own word.  Photos of before lie
in the folder until they are moved.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from wainscot.store.blobs import BlobFault, Blobs, digest_of, file_chunks
from wainscot.store.database import Database
from wainscot.store.durable import Disk
from wainscot.store.faults import DamagedError, StoreError

if TYPE_CHECKING:
    from obstore.store import ObjectStore

CACHED = 500
"""Photos that are kept on this host after they were read (judgement: some 1.5 GB)."""


class BucketBlobs(Blobs):
    """The bytes of one record, in an S3-like store.

    Parameters
    ----------
    folder, database, disk
        As :class:`Blobs` takes them; the folder holds what arrives, and the cache.
    address : str
        ``s3://bucket/prefix``.

    Raises
    ------
    StoreError
        If the address cannot be read or what speaks to the store is not installed.
    """

    def __init__(self, folder: Path, database: Database, disk: Disk, address: str) -> None:
        super().__init__(folder, database, disk)
        self._bucket = _opened(address)

    def _is_there(self, digest: str) -> bool:
        return super()._is_there(digest) or self._size(digest) is not None

    def _size(self, digest: str) -> int | None:
        import obstore

        with _told():
            try:
                return obstore.head(self._bucket, _key(digest))["size"]
            except FileNotFoundError:
                return None

    def _put_away(self, digest: str) -> None:
        import obstore

        path = self.path(digest)
        size = path.stat().st_size
        with _told():
            obstore.put(self._bucket, _key(digest), path)
        if self._size(digest) != size:
            raise StoreError(f"the store does not hold photo {digest[:12]} that it took; try again")
        self._disk.remove(path)

    def _take_away(self, digest: str) -> None:
        import obstore

        super()._take_away(digest)
        self._disk.remove(self._cache(digest))
        with _told(), suppress(FileNotFoundError):
            obstore.delete(self._bucket, _key(digest))

    def file(self, digest: str) -> Path:
        here = super().file(digest)
        cached = self._cache(digest)
        if here.is_file() or cached.is_file():
            return here if here.is_file() else cached
        self._disk.folder(cached.parent)
        # Two that ask for one photo at once must not write into one file.
        coming = cached.with_name(f"{digest}.{secrets.token_hex(8)}")
        try:
            self._disk.write(coming, self._fetched(digest))
            if digest_of(file_chunks(coming)) != digest:
                raise DamagedError(f"photo {digest[:12]} is damaged in the store")
            self._disk.rename(coming, cached)
        finally:
            self._disk.remove(coming)
        self._let_go_of_oldest(cached.parent)
        return cached

    def _let_go_of_oldest(self, folder: Path) -> None:
        with suppress(FileNotFoundError):  # another is at it
            held = sorted(folder.iterdir(), key=lambda one: one.stat().st_mtime)
            for old in held[:-CACHED]:
                self._disk.remove(old)

    def _cache(self, digest: str) -> Path:
        return self._folder / "cache" / digest

    def _fetched(self, digest: str) -> Iterator[bytes]:
        import obstore

        with _told():
            try:
                yield from map(bytes, obstore.get(self._bucket, _key(digest)).stream())
            except FileNotFoundError:
                raise StoreError(f"no photo {digest[:12]} is held") from None

    def move_all(self) -> int:
        """Put every recorded photo that lies in the folder into the store; return how many."""
        waiting = [digest for digest, _ in self.rows() if self.path(digest).is_file()]
        for digest in waiting:
            if digest_of(file_chunks(self.path(digest))) != digest:
                raise DamagedError(f"photo {digest[:12]} is damaged")
            self._put_away(digest)
        return len(waiting)

    def scrub(self) -> Iterator[BlobFault]:
        import obstore

        recorded = {digest for digest, _ in self.rows()}
        for digest in sorted(recorded):
            if not self._is_there(digest):
                yield BlobFault(digest, "missing")
            elif digest_of(self._whole(digest)) != digest:
                yield BlobFault(digest, "damaged")
        with _told():
            listed = [one["path"] for part in obstore.list(self._bucket) for one in part]
        names = {one.rsplit("/", 1)[-1] for one in listed}
        yield from (BlobFault(one, "without a row") for one in sorted(names - recorded))

    def _whole(self, digest: str) -> Iterator[bytes]:
        here = self.path(digest)
        return file_chunks(here) if here.is_file() else self._fetched(digest)


def _key(digest: str) -> str:
    return f"{digest[:2]}/{digest}"


def _opened(address: str) -> ObjectStore:
    try:
        from obstore.exceptions import BaseError
        from obstore.store import from_url
    except ImportError:
        raise StoreError("photos in a store need: pip install 'wainscot[hosts]'") from None
    try:
        return from_url(address, client_options={"allow_http": True})
    except (BaseError, ValueError, TypeError) as error:
        raise StoreError(f"photos are put into s3://bucket/prefix: {error}") from None


@contextmanager
def _told() -> Iterator[None]:
    """Turn what the store says into the record's words; a file that is not there goes through."""
    from obstore.exceptions import BaseError

    try:
        yield
    except FileNotFoundError:
        raise
    except BaseError as error:
        raise StoreError(f"the store of the photos refused: {type(error).__name__}") from error

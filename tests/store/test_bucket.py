"""Photos in a store of objects: put there before the record names them, never given back altered.

The store is one in memory of the same library (obstore); that its S3 requests are understood is
looked at in ``study/shelf.py``, against a server that was made to be taken for S3.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import obstore
import pytest
from devices import LATER, NOW
from obstore.store import MemoryStore, ObjectStore

from wainscot.store import BucketBlobs, DamagedError, PartError, Store, StoreError, restore, take
from wainscot.store import bucket as module

DATA = b"a photo" * 1000


@pytest.fixture
def shelf(monkeypatch: pytest.MonkeyPatch) -> ObjectStore:
    made = MemoryStore()
    monkeypatch.setattr(module, "_opened", lambda address: made)
    return made


@pytest.fixture
def store(tmp_path: Path, shelf: ObjectStore) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office", bucket="s3://mill/record")
    yield made
    made.close()


def _names(shelf: ObjectStore) -> list[str]:
    return [one["path"] for part in obstore.list(shelf) for one in part]


def test_a_photo_lies_in_the_store_and_is_read_from_any_host(
    tmp_path: Path, store: Store, shelf: ObjectStore
) -> None:
    digest = store.blobs.put(DATA, received=NOW)
    assert _names(shelf) == [f"{digest[:2]}/{digest}"]
    assert not store.blobs.path(digest).exists()
    assert store.blobs.has(digest)
    assert store.blobs.put(DATA, received=LATER) == digest
    store.blobs.finish(digest, received=LATER)
    assert [size for _, size in store.blobs.rows()] == [len(DATA)]
    other = BucketBlobs(tmp_path / "other", store.database, store.disk, "s3://mill/record")
    assert b"".join(other.read(digest)) == DATA
    assert b"".join(other.read(digest, 7, 7)) == b"a photo"
    assert other.file(digest).read_bytes() == DATA
    assert list(store.blobs.scrub()) == []
    with pytest.raises(PartError):
        store.blobs.finish("0" * 64, received=NOW)


def test_no_row_before_the_store_has_it(
    store: Store, shelf: ObjectStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(obstore, "put", lambda *given, **more: None)
    with pytest.raises(StoreError, match="try again"):
        store.blobs.put(DATA, received=NOW)
    assert store.blobs.rows() == []
    monkeypatch.undo()
    monkeypatch.setattr(module, "_opened", lambda address: shelf)
    digest = store.blobs.put(DATA, received=NOW)
    assert store.blobs.has(digest)


def test_what_was_altered_or_lost_in_the_store_is_told(
    tmp_path: Path, store: Store, shelf: ObjectStore
) -> None:
    one, two, three = (store.blobs.put(DATA + bytes([n]), received=NOW) for n in range(3))
    obstore.put(shelf, f"{one[:2]}/{one}", b"other bytes")
    obstore.delete(shelf, f"{two[:2]}/{two}")
    obstore.put(shelf, f"ff/{'f' * 64}", b"nobody's")
    with pytest.raises(DamagedError):
        store.blobs.read(one)
    with pytest.raises(StoreError, match="no photo"):
        store.blobs.read(two)
    assert not store.blobs.has(two)
    assert {(each.hash, each.fault) for each in store.blobs.scrub()} == {
        (one, "damaged"), (two, "missing"), ("f" * 64, "without a row")
    }  # fmt: skip
    assert store.blobs.has(three)


def test_the_cache_keeps_so_many(
    store: Store, shelf: ObjectStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "CACHED", 2)
    for n in range(4):
        digest = store.blobs.put(DATA + bytes([n]), received=NOW)
        store.blobs.file(digest)
    assert len(list((store.layout.blobs / "cache").iterdir())) == 2


def test_a_backup_holds_the_photos_and_puts_them_back(
    tmp_path: Path, store: Store, shelf: ObjectStore
) -> None:
    digest = store.blobs.put(DATA, received=NOW)
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    obstore.delete(shelf, f"{digest[:2]}/{digest}")
    again = restore(taken.path, tmp_path / "again", device="office-2", now=LATER,
                    bucket="s3://mill/again")  # fmt: skip
    assert b"".join(again.blobs.read(digest)) == DATA
    assert _names(shelf) == [f"{digest[:2]}/{digest}"]
    again.close()


def test_what_names_no_store_is_told(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="s3://bucket/prefix"):
        Store.create(tmp_path / "record", device="o", bucket="nonsense")


def test_two_that_fetch_one_photo_at_once_both_get_it_whole(
    store: Store, shelf: ObjectStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert isinstance(store.blobs, BucketBlobs)
    blobs, digest = store.blobs, store.blobs.put(DATA, received=NOW)
    others: list[bytes] = []

    def slow(wanted: str) -> Iterator[bytes]:
        yield DATA[:3000]
        if not others:
            others.append(b"")  # the other is served while this one is half way
            others[0] = blobs.file(wanted).read_bytes()
        yield DATA[3000:]

    monkeypatch.setattr(blobs, "_fetched", slow)
    assert blobs.file(digest).read_bytes() == DATA
    assert others == [DATA]
    assert [one.name for one in (store.layout.blobs / "cache").iterdir()] == [digest]

"""Photos under their hashes: resumed where they broke off, recorded only when whole."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from devices import LATER, NOW

from wainscot.store import BlobFault, DamagedError, PartError, Store, StoreError

PHOTO = bytes(range(256)) * 900
HASH = hashlib.sha256(PHOTO).hexdigest()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    yield made
    made.close()


def test_a_photo_comes_back_byte_for_byte_and_in_ranges(store: Store) -> None:
    assert store.blobs.put(PHOTO, received=NOW) == HASH
    assert b"".join(store.blobs.read(HASH)) == PHOTO
    assert b"".join(store.blobs.read(HASH, 1000, 50)) == PHOTO[1000:1050]
    assert b"".join(store.blobs.read(HASH, len(PHOTO) - 7)) == PHOTO[-7:]
    assert store.blobs.rows() == [(HASH, len(PHOTO))]
    assert store.blobs.has(HASH)
    assert store.blobs.put(PHOTO, received=LATER) == HASH
    assert store.counts().blobs == 1


def test_a_photo_of_no_bytes_is_a_photo(store: Store) -> None:
    # SHA-256 of nothing, as FIPS 180-4 implementations print it (from memory).
    empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert store.blobs.put(b"", received=NOW) == empty
    assert b"".join(store.blobs.read(empty)) == b""


def test_a_broken_off_photo_goes_on_where_it_stopped(store: Store) -> None:
    assert store.blobs.held(HASH) == 0
    assert store.blobs.add(HASH, 0, PHOTO[:1000]) == 1000
    assert not store.blobs.has(HASH)
    with pytest.raises(PartError) as gap:
        store.blobs.add(HASH, 2000, PHOTO[2000:])
    assert gap.value.held == store.blobs.held(HASH) == 1000
    store.blobs.add(HASH, 500, PHOTO[500:2000])
    assert store.blobs.add(HASH, 2000, PHOTO[2000:]) == len(PHOTO)
    store.blobs.finish(HASH, received=NOW)
    assert b"".join(store.blobs.read(HASH)) == PHOTO
    assert store.blobs.held(HASH) == 0


def test_wrong_bytes_are_thrown_away_and_nothing_is_recorded(store: Store) -> None:
    store.blobs.add(HASH, 0, PHOTO[:-1])
    with pytest.raises(DamagedError):
        store.blobs.finish(HASH, received=NOW)
    assert store.blobs.held(HASH) == 0
    assert list(store.blobs.scrub()) == []
    with pytest.raises(PartError):
        store.blobs.finish(HASH, received=NOW)


def test_finishing_again_is_no_error_and_writes_the_row_that_a_power_cut_took(store: Store) -> None:
    store.blobs.put(PHOTO, received=NOW)
    store.blobs.finish(HASH, received=LATER)
    with store.database.writing() as connection:
        connection.exec_driver_sql("DELETE FROM blob")
    assert list(store.blobs.scrub()) == [BlobFault(HASH, "without a row")]
    store.blobs.finish(HASH, received=LATER)
    assert list(store.blobs.scrub()) == []


def test_scrubbing_finds_what_is_missing_and_what_is_damaged_and_sending_again_mends_it(
    store: Store,
) -> None:
    other = store.blobs.put(b"other", received=NOW)
    store.blobs.put(PHOTO, received=NOW)
    path = store.blobs.path(HASH)
    path.write_bytes(PHOTO[:-1] + b"x")
    store.blobs.path(other).unlink()
    assert set(store.blobs.scrub()) == {BlobFault(HASH, "damaged"), BlobFault(other, "missing")}
    with pytest.raises(DamagedError):
        store.blobs.finish(HASH, received=LATER)
    assert not store.blobs.has(other)
    store.blobs.put(PHOTO, received=LATER)
    store.blobs.put(b"other", received=LATER)
    assert list(store.blobs.scrub()) == []


@pytest.mark.parametrize("name", ["", "../../etc/passwd", HASH.upper(), HASH[:-1], HASH + "\n"])
def test_what_is_no_hash_names_no_file(store: Store, name: str) -> None:
    with pytest.raises(StoreError, match="SHA-256"):
        store.blobs.add(name, 0, b"x")


def test_a_photo_that_is_not_there_is_told(store: Store) -> None:
    with pytest.raises(StoreError, match="no photo"):
        store.blobs.read(HASH)

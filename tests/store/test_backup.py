"""Backups: read back before they count, found out when damaged, restored to the same record."""

from __future__ import annotations

import random
import sqlite3
import zipfile
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest
from devices import LATER, NOW, Device, day, lines

from wainscot.job import Job
from wainscot.store import (
    DamagedError,
    Disk,
    DiskFullError,
    Store,
    StoreError,
    check,
    check_file,
    export_everything,
    held_by,
    import_everything,
    restore,
    status,
    take,
)
from wainscot.store.archive import Archive, Manifest, Member, write_archive
from wainscot.store.backup import _facts


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    made.append([*lines(*day(Device("phone"), 50)), b"rubbish"], received=NOW, skew=0.5)
    made.blobs.put(b"photo one" * 500, received=NOW)
    yield made
    made.close()


def _take(store: Store, now: str = NOW, folder: Path | None = None):  # type: ignore[no-untyped-def]
    return take(store.database, store.blobs, store.disk, folder or store.layout.backups, now=now)


def _status(store: Store):  # type: ignore[no-untyped-def]
    return status(store.database, store.layout.backups)


def test_a_backup_restored_is_the_record(store: Store, tmp_path: Path) -> None:
    taken = _take(store)
    again = restore(taken.path, tmp_path / "again", device="office-2", now=LATER)
    assert again.lines() == store.lines()
    assert again.receipts() == store.receipts()
    assert again.quarantined() == store.quarantined()
    assert again.counts() == store.counts()
    assert list(again.blobs.scrub()) == []
    assert _status(again).last == taken
    again.close()


def test_a_restored_record_gives_no_number_twice(store: Store, tmp_path: Path) -> None:
    store.save(Job("job_b", title="Mill"), at=NOW, writer="w")
    taken = _take(store)
    lost = store.save(Job("job_b", title="Hall"), at=NOW, writer="w")
    again = restore(taken.path, tmp_path / "again", device="office-2", now=LATER)
    again.save(Job("job_b", title="Barn"), at=LATER, writer="w")
    again.append(lines(*lost), received=LATER)
    assert [chain.device for chain in again.chains()] == ["office", "office-2", "phone"]
    assert all(not chain.forks for chain in again.chains())
    again.close()


def test_status_tells_what_would_be_lost(store: Store) -> None:
    found = _status(store)
    assert (found.last, found.events_after, found.blobs_after, found.since) == (None, 50, 1, NOW)
    taken = _take(store)
    found = _status(store)
    assert (found.last, found.events_after, found.blobs_after, found.since) == (taken, 0, 0, "")
    later = lines(*day(Device("van"), 3))
    store.append(later, received=LATER)
    store.blobs.put(b"two", received=LATER)
    found = _status(store)
    assert (found.last, found.events_after, found.blobs_after, found.since) == (taken, 3, 1, LATER)


def test_a_phone_may_let_go_of_what_the_last_backup_holds_and_of_nothing_else(store: Store) -> None:
    before = store.missing([])
    assert held_by(store.database, None, before) == ()
    _take(store)
    (new,) = store.append(lines(Device("van").title("x")), received=LATER).added
    last = _status(store).last
    assert held_by(store.database, last, [*before, new, "unheard of"]) == before


def test_a_lost_or_damaged_backup_does_not_count_and_the_one_before_does(
    store: Store, tmp_path: Path
) -> None:
    first = _take(store)
    second = _take(store, folder=tmp_path / "elsewhere")
    third = _take(store)
    assert third.path != first.path
    assert _status(store).last.path in (second.path, third.path)
    _flip(third.path, 1000)
    second.path.unlink()
    found = _status(store)
    assert found.last == first
    assert found.damaged == (third.path.resolve(),)
    assert found.gone == (second.path.resolve(),)


def test_a_backup_of_another_past_does_not_count(store: Store, tmp_path: Path) -> None:
    first = _take(store)
    store.append(lines(*day(Device("lost"), 5)), received=NOW)
    second = _take(store)
    again = restore(first.path, tmp_path / "again", device="office-2", now=LATER)
    again.append(lines(*day(Device("new"), 5)), received=LATER)
    again.layout.backups.mkdir()
    for path in (second.path, second.path.with_name(second.path.name + ".sha256")):
        (again.layout.backups / path.name).write_bytes(path.read_bytes())
    found = _status(again)
    assert found.last == first
    assert found.events_after == 5
    again.close()


def _flip(path: Path, at: int) -> None:
    content = bytearray(path.read_bytes())
    content[at % len(content)] ^= 0x10
    path.write_bytes(bytes(content))


def test_every_flipped_bit_and_every_cut_is_found(store: Store, tmp_path: Path) -> None:
    taken = _take(store)
    whole = taken.path.read_bytes()
    source = random.Random(5)
    for n in range(60):
        if n % 4:
            _flip(taken.path, source.randrange(len(whole)))
        else:
            taken.path.write_bytes(whole[: source.randrange(len(whole))])
        assert _status(store).last is None
        with pytest.raises(DamagedError):
            restore(taken.path, tmp_path / "again", device="office-2", now=LATER)
        assert not (tmp_path / "again").exists()
        taken.path.write_bytes(whole)
    assert _status(store).last == taken


def _repacked(path: Path, out: Path, **changed: bytes | None) -> Path:
    """Write an archive anew with members changed or left out, as somebody might by hand."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = changed.get(name.split("/")[0].replace(".", "_"), old.read(name))
            if content is not None:
                new.writestr(name, content)
    return out


@pytest.mark.parametrize(
    "changed",
    [
        {"manifest_json": None}, {"manifest_json": b"{}"}, {"manifest_json": b"\xff"},
        {"record_sqlite": None}, {"record_sqlite": b""}, {"blobs": None}, {"blobs": b"other"},
    ],
)  # fmt: skip
def test_an_archive_that_is_not_what_its_list_says_is_refused_without_its_note_too(
    store: Store, tmp_path: Path, changed: dict[str, bytes | None]
) -> None:
    bad = _repacked(_take(store).path, tmp_path / "bad.zip", **changed)
    with pytest.raises(DamagedError):
        check(bad, tmp_path / "work")
    with pytest.raises(DamagedError):
        restore(bad, tmp_path / "again", device="x", now=LATER)


def test_a_list_that_lies_about_the_record_is_found(store: Store, tmp_path: Path) -> None:
    path = _take(store).path
    with zipfile.ZipFile(path) as packed:
        manifest = packed.read("manifest.json")
    lie = manifest.replace(b'"events": 50', b'"events": 51')
    assert lie != manifest
    bad = _repacked(path, tmp_path / "bad.zip", manifest_json=lie)
    with pytest.raises(DamagedError, match="list"):
        check(bad, tmp_path / "work")


def test_a_member_with_a_name_outside_the_archive_is_refused(store: Store, tmp_path: Path) -> None:
    path = _take(store).path
    with zipfile.ZipFile(path) as packed:
        manifest = packed.read("manifest.json").replace(b"record.sqlite", b"../escape.txt")
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(bad, "w") as new:
        for name in old.namelist():
            content = manifest if name == "manifest.json" else old.read(name)
            new.writestr(name.replace("record.sqlite", "../escape.txt"), content)
    with pytest.raises(DamagedError, match="list"):
        Archive(bad)


def test_a_damaged_record_is_not_backed_up_as_if_it_were_sound(store: Store) -> None:
    with store.database.writing() as connection:
        connection.exec_driver_sql("UPDATE event SET body = '{}' WHERE n = 7")
    with pytest.raises(DamagedError, match="not the one"):
        _take(store)
    assert list(store.layout.backups.iterdir()) == []


def test_a_record_whose_photo_is_damaged_is_not_backed_up_either(store: Store) -> None:
    ((digest, _),) = store.blobs.rows()
    store.blobs.path(digest).write_bytes(b"something else")
    with pytest.raises(DamagedError):
        _take(store)
    store.blobs.path(digest).unlink()
    with pytest.raises(StoreError):
        _take(store)
    assert list(store.layout.backups.iterdir()) == []


def test_a_backup_is_not_restored_over_anything(store: Store, tmp_path: Path) -> None:
    taken = _take(store)
    with pytest.raises(StoreError, match="not empty"):
        restore(taken.path, store.layout.folder, device="x", now=LATER)
    (tmp_path / "empty").mkdir()
    (tmp_path / ".empty.restoring").mkdir()
    restore(taken.path, tmp_path / "empty", device="x", now=LATER).close()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty", "record"]


def test_everything_goes_out_as_one_file_and_comes_in_as_a_union(
    store: Store, tmp_path: Path
) -> None:
    path = tmp_path / "all.zip"
    export_everything(store, path, now=NOW)
    other = Store.create(tmp_path / "other", device="office-2")
    mine = other.append(lines(*day(Device("van"), 5)), received=NOW).added
    brought = import_everything(other, path, received=LATER)
    assert (len(brought.receipt.added), len(brought.receipt.refused), brought.blobs) == (50, 1, 1)
    assert set(other.lines()) > set(store.lines())
    assert set(other.missing(store.missing([]))) == set(mine)
    assert [one for one in other.receipts() if one.id not in mine] == store.receipts()
    assert list(other.blobs.scrub()) == []
    again = import_everything(other, path, received=LATER)
    assert (len(again.receipt.known), again.blobs) == (50, 0)
    back = tmp_path / "back.zip"
    export_everything(other, back, now=NOW)
    import_everything(store, back, received=LATER)
    assert store.head() == other.head()
    other.close()


def test_a_damaged_file_of_everything_brings_nothing_in(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "all.zip"
    export_everything(store, path, now=NOW)
    for name in ("events_jsonl", "receipts_jsonl", "quarantine_jsonl"):
        bad = _repacked(path, tmp_path / f"{name}.zip", **{name: b"[]\n"})
        with pytest.raises(DamagedError):
            import_everything(store, bad, received=LATER)
    with pytest.raises(DamagedError, match="restore"):
        import_everything(store, _take(store).path, received=LATER)
    with pytest.raises(DamagedError, match="no backup"):
        check(path, tmp_path / "work")


@pytest.mark.parametrize("line", [b'{"id": "\xe9"}', b'{"x": ' + b"[" * 100_000])
def test_lines_that_no_reader_of_json_takes_are_damage(line: bytes, tmp_path: Path) -> None:
    here, bad = Store.create(tmp_path / "record", device="office"), tmp_path / "bad.zip"

    def told(members: dict[str, Member]) -> Manifest:
        return Manifest(1, "everything", NOW, "", "", members, 0, 0)

    for name in ("receipts.jsonl", "quarantine.jsonl", "heads.jsonl", "keys.jsonl"):
        write_archive(bad, [("events.jsonl", []), (name, [line])], told, here.disk, lambda _: None)
        with pytest.raises(DamagedError, match="cannot be read"):
            import_everything(here, bad, received=LATER)
        if name != "quarantine.jsonl":  # what was put aside is not looked at
            with pytest.raises(DamagedError, match="cannot be read"):
                check_file(bad)
    here.close()


def test_damage_inside_an_archive_is_found_member_by_member(store: Store, tmp_path: Path) -> None:
    path = _take(store).path
    whole = path.read_bytes()
    at = whole.index(b"photo onephoto one")
    path.write_bytes(whole[:at] + b"f" + whole[at + 1 :])
    with pytest.raises(DamagedError, match="damaged"):
        check(path, tmp_path / "work")
    path.write_bytes(whole)
    with zipfile.ZipFile(path) as packed:
        manifest = packed.read("manifest.json")
    assert b'"size": 4500' in manifest
    for lie in (manifest.replace(b'"size": 4500', b'"size": 12'),
                manifest.replace(b'"sha256": "', b'"sha256": "0')):  # fmt: skip
        bad = _repacked(path, tmp_path / "bad.zip", manifest_json=lie)
        with pytest.raises(DamagedError):
            check(bad, tmp_path / "work")
    with pytest.raises(FileNotFoundError):
        Archive(tmp_path / "none.zip")


def test_a_photo_that_the_copy_lists_and_the_archive_lacks_is_found(
    store: Store, tmp_path: Path
) -> None:
    path = _take(store).path
    old = Archive(path).manifest
    parts = [("record.sqlite", Archive(path).read("record.sqlite"))]

    def manifest(members):  # type: ignore[no-untyped-def]
        return msgspec.structs.replace(old, members=members)

    write_archive(tmp_path / "bad.zip", parts, manifest, Disk(), lambda _: None)
    with pytest.raises(DamagedError, match="lacks the photo"):
        check(tmp_path / "bad.zip", tmp_path / "work")


def test_lines_that_are_no_receipts_bring_nothing_in(store: Store, tmp_path: Path) -> None:
    def manifest(members):  # type: ignore[no-untyped-def]
        return Manifest(1, "everything", NOW, "", "", members, 0, 0)

    for name, line in [
        ("receipts.jsonl", b"{"),
        ("quarantine.jsonl", b'{"raw": "*", "reason": ""}'),
    ]:
        path = tmp_path / "bad.zip"
        write_archive(path, [(name, [line])], manifest, store.disk, lambda _: None)
        with pytest.raises(DamagedError):
            import_everything(store, path, received=LATER)


@pytest.mark.parametrize("body", ["'{'", "'{}'", "x'ff'", "'[]'"])
def test_an_event_of_any_other_bytes_is_found_in_the_copy(store: Store, body: str) -> None:
    with store.database.writing() as connection:
        connection.exec_driver_sql(f"UPDATE event SET body = {body} WHERE n = 7")
    with pytest.raises(DamagedError):
        _take(store)


def test_a_file_whose_pages_are_damaged_is_found(store: Store, tmp_path: Path) -> None:
    store.database.copy(tmp_path / "copy.sqlite")
    content = bytearray((tmp_path / "copy.sqlite").read_bytes())
    for page in range(1, len(content) // 4096):
        damaged = content.copy()
        damaged[page * 4096 : page * 4096 + 100] = b"\xff" * 100
        (tmp_path / "copy.sqlite").write_bytes(damaged)
        with pytest.raises(DamagedError):
            _facts(tmp_path / "copy.sqlite", sqlite3)
    _facts_of_every_changed_name(bytes(content), tmp_path / "copy.sqlite", store)
    (tmp_path / "copy.sqlite").write_bytes(b"no record" * 1000)
    with pytest.raises(DamagedError):
        _facts(tmp_path / "copy.sqlite", sqlite3)


def _facts_of_every_changed_name(content: bytes, copy: Path, store: Store) -> None:
    """Change an event's id wherever it stands: row, index, line, and as the one before the next."""
    name = store.missing([])[20].encode()
    copy.write_bytes(content)
    true = _facts(copy, sqlite3)
    found = 0
    at = content.find(name)
    while at >= 0:
        copy.write_bytes(content[:at] + b"0123" + content[at + 4 :])
        try:
            # Bytes that a split page left behind belong to nothing; all else is as it was then.
            assert _facts(copy, sqlite3) == true
        except DamagedError:
            found += 1
        at = content.find(name, at + 1)
    # Row, index, own line, the next row, and the line of that.
    assert found == 5


def test_a_disk_that_gives_back_other_bytes_than_it_was_given_restores_nothing(
    store: Store, tmp_path: Path
) -> None:
    class Forgetful(Disk):
        def rename(self, old: Path, new: Path) -> None:
            super().rename(old, new)
            if "blobs" in new.parts:
                new.write_bytes(b"")

    taken = _take(store)
    with pytest.raises(DamagedError, match="photo"):
        restore(taken.path, tmp_path / "again", device="x", now=LATER, disk=Forgetful())
    assert [path.name for path in tmp_path.iterdir()] == ["record"]


def test_without_room_nothing_is_restored_and_no_backup_is_left(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken = _take(store)

    class Full(Disk):
        def seal(self, part: Path, path: Path) -> None:
            raise OSError(28, "No space left on device")

    with pytest.raises(DiskFullError):
        take(store.database, store.blobs, Full(), tmp_path / "other", now=NOW)
    assert list((tmp_path / "other").iterdir()) == []
    monkeypatch.setattr("shutil.disk_usage", lambda _: SimpleNamespace(free=1000))
    with pytest.raises(StoreError, match="1000 are free"):
        restore(taken.path, tmp_path / "again", device="x", now=LATER)


def test_a_file_with_neither_hash_nor_note_beside_it_is_checked_by_its_members(
    store: Store, tmp_path: Path
) -> None:
    taken = _take(store)
    beside = taken.path.with_name(taken.path.name + ".sha256")
    for note in (None, b"", b"\xff"):
        beside.unlink() if note is None else beside.write_bytes(note)
        again = restore(taken.path, tmp_path / f"again{note!r}", device="x", now=LATER)
        assert again.lines() == store.lines()
        again.close()

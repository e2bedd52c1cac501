"""What the doctor says of a well record and of one that is not."""

from __future__ import annotations

import importlib
import shutil
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from devices import LATER, NOW, Device, day, lines

from wainscot.store import Journal, Store, doctor, take
from wainscot.store.doctor import Finding, file_system

module = importlib.import_module("wainscot.store.doctor")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.create(tmp_path / "record", device="office")
    yield made
    made.close()


def _bad(store: Store, **more: bool) -> set[tuple[str, str]]:
    return {
        (one.what, one.state) for one in doctor(store, now=LATER, **more) if one.state != "good"
    }


def test_a_well_record_has_nothing_bad(store: Store, tmp_path: Path) -> None:
    store.append(lines(*day(Device("phone"), 5)), received=NOW)
    store.blobs.put(b"photo", received=NOW)
    take(store.database, store.blobs, store.disk, tmp_path / "elsewhere", now=NOW)
    found = doctor(store, now=LATER, scrub=True)
    assert {one.what for one in found} >= {
        "journal", "tables", "file", "file system", "space", "clock", "put aside", "photo",
        "backup",
    }  # fmt: skip
    assert [one for one in found if one.state == "bad" and one.what != "space"] == []
    assert all(one.told for one in found)


def test_everything_that_is_not_well_is_told_with_what_to_do(store: Store) -> None:
    a, _, c = day(Device("phone"), 3)
    copied = Device("phone")
    store.append([*lines(a, c, copied.title("x")), b"rubbish"], received=NOW, skew=-900.0)
    wrong = Device("van")
    wrong.prev = "elsewhere"
    store.append(lines(wrong.title("y")), received="2025-03-14T12:00:00+00:00")
    lost = store.blobs.put(b"photo", received=NOW)
    store.blobs.path(lost).unlink()
    found = doctor(store, now=LATER, scrub=True)
    told = {one.told for one in found if one.state != "good"}
    assert "the clock of phone was off by 900 s" in told
    assert "phone: events 2 to 2 have not arrived" in told
    assert "phone: number 1 stands more than once; all are kept" in told
    assert any("van: event" in one for one in told)
    assert any("1 lines were no sound events" in one for one in told)
    assert f"{lost[:12]} is missing" in told
    assert {("clock", "bad"), ("photo", "bad"), ("backup", "bad")} <= _bad(store, scrub=True)
    assert all(one.cure for one in found if one.state == "bad")


def test_a_backup_on_the_same_disk_and_one_that_is_behind_are_noted(store: Store) -> None:
    taken = take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
    store.append(lines(Device("phone").title("x")), received=NOW)
    told = [one for one in doctor(store, now=LATER) if one.what == "backup"]
    assert [one.state for one in told] == ["note", "note"]
    assert "1 events" in told[0].told
    assert "disk" in told[1].told
    taken.path.write_bytes(b"")
    assert ("backup", "bad") in _bad(store)


def test_the_wrong_journal_is_bad(tmp_path: Path) -> None:
    store = Store.create(tmp_path / "normal", device="o", journal=Journal("delete", 1))
    (found,) = [one for one in doctor(store, now=NOW) if one.what == "journal"]
    assert found.state == "bad"
    assert "synchronous 1" in found.told
    store.close()


def test_a_damaged_file_is_bad(store: Store) -> None:
    store.append(lines(*day(Device("phone"), 400)), received=NOW)
    store.close()
    content = bytearray(store.layout.database.read_bytes())
    content[9 * 4096 : 12 * 4096] = b"\xff" * (3 * 4096)
    store.layout.database.write_bytes(content)
    assert [one.state for one in store.database.findings()] == ["good", "bad"]


@pytest.mark.parametrize(("free", "state"), [(10**8, "bad"), (10**11, "good")])
def test_little_space_is_bad(
    store: Store, monkeypatch: pytest.MonkeyPatch, free: int, state: str
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=free))
    (found,) = [one for one in doctor(store, now=NOW) if one.what == "space"]
    assert found.state == state


MOUNTS = """\
/dev/vda / ext4 rw 0 0
//box/jobs /srv/the\\040jobs cifs rw 0 0
tmpfs /srv tmpfs rw 0 0
broken
"""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [("/srv/the jobs/record", "cifs"), ("/srv/other", "tmpfs"), ("/srvx", "ext4"), ("/", "ext4")],
)
def test_the_file_system_is_that_of_the_nearest_mount(
    tmp_path: Path, folder: str, kind: str
) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(MOUNTS)
    assert file_system(Path(folder), mounts) == kind


def test_where_the_system_does_not_say_it_is_noted_and_a_share_is_bad(
    store: Store, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert file_system(tmp_path, tmp_path / "none") == ""
    for kind, state in (("", "note"), ("nfs4", "bad")):
        monkeypatch.setattr(module, "file_system", lambda _, kind=kind: kind)
        (found,) = [one for one in doctor(store, now=NOW) if one.what == "file system"]
        assert found.state == state
    assert isinstance(found, Finding)

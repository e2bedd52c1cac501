"""Files that are there whole or not at all; a failed flush ends the process."""

from __future__ import annotations

import errno
import fcntl
import os
import subprocess
import sys
from pathlib import Path

import pytest

from wainscot.store import STOPPED, Disk, DiskFullError, durable


def test_a_file_is_replaced_whole_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "file"
    Disk().write(path, [b"first"])
    Disk().write(path, [b"sec", b"ond"])
    assert path.read_bytes() == b"second"
    Disk().write(path, [])
    assert path.read_bytes() == b""
    assert [one.name for one in tmp_path.iterdir()] == ["file"]


def test_a_write_that_breaks_off_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "file"
    Disk().write(path, [b"old"])

    def chunks():  # type: ignore[no-untyped-def]
        yield b"new"
        raise RuntimeError("torn")

    with pytest.raises(RuntimeError):
        Disk().write(path, chunks())
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["file"]


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT, errno.EFBIG])
def test_a_full_disk_is_told_as_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    def fail(*_: object, **__: object) -> int:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "write", fail)
    with pytest.raises(DiskFullError):
        Disk().write(tmp_path / "file", [b"x"])
    monkeypatch.setattr(Path, "mkdir", fail)
    with pytest.raises(DiskFullError):
        Disk().folder(tmp_path / "folder")
    assert list(tmp_path.iterdir()) == []


def test_another_error_stays_what_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> int:
        raise OSError(errno.EIO, "broken")

    monkeypatch.setattr(os, "write", fail)
    with pytest.raises(OSError, match="broken") as told:
        Disk().write(tmp_path / "file", [b"x"])
    assert not isinstance(told.value, DiskFullError)


def test_the_order_is_flush_then_name_then_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []

    class Told(Disk):
        def sync(self, path: Path) -> None:
            done.append(f"sync {path.name}")
            super().sync(path)

        def sync_folder(self, path: Path) -> None:
            done.append(f"sync folder {path.name}")
            super().sync_folder(path)

        def rename(self, old: Path, new: Path) -> None:
            done.append(f"rename {old.name} {new.name}")
            super().rename(old, new)

    Told().folder(tmp_path / "a" / "b")
    Told().write(tmp_path / "a" / "b" / "file", [b"x"])
    assert done == [
        f"sync folder {tmp_path.name}", "sync folder a", "sync .file.part",
        "rename .file.part file", "sync folder b",
    ]  # fmt: skip


@pytest.mark.parametrize("act", ["sync(path)", "sync_folder(path.parent)", "write(path, [b'x'])"])
def test_a_failed_flush_ends_the_process_before_it_can_say_that_all_is_well(
    tmp_path: Path, act: str
) -> None:
    code = (
        "import os, sys, pathlib\nfrom wainscot.store import Disk\n"
        "path = pathlib.Path(sys.argv[1]); path.write_bytes(b'x')\n"
        "def fail(_): raise OSError(5, 'broken')\n"
        f"os.fsync = fail\nDisk().{act}\nprint('still here')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "file")],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (STOPPED, "")
    assert "not known" in done.stderr


class ExitedError(BaseException):
    """Stands for the end of the process."""


def test_the_end_of_the_process_says_why_on_standard_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def fail(_: int) -> None:
        raise OSError(errno.EIO, "broken")

    def exited(code: int) -> None:
        raise ExitedError(code)

    monkeypatch.setattr(os, "fsync", fail)
    monkeypatch.setattr(os, "_exit", exited)
    with pytest.raises(ExitedError, match=str(STOPPED)):
        Disk().sync_folder(tmp_path)
    assert f"flushing {tmp_path.name} failed (broken)" in capfd.readouterr().err


def test_on_a_mac_the_drive_itself_is_flushed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # 51 is F_FULLFSYNC in <sys/fcntl.h> there (from memory); its manual page of fsync says why.
    asked: list[int] = []
    monkeypatch.setattr(durable.sys, "platform", "darwin")
    monkeypatch.setattr(fcntl, "F_FULLFSYNC", 51, raising=False)
    monkeypatch.setattr(fcntl, "fcntl", lambda _, what: asked.append(what))
    Disk().sync_folder(tmp_path)
    assert asked == [51]


def test_where_folders_cannot_be_opened_none_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(durable, "_FOLDERS_OPEN", False)
    Disk().sync_folder(tmp_path / "not there")

"""A disk that keeps what it likes of what was not flushed.

Every act on it is written to a log.  Playing the log up to some moment and cutting the power there
gives the files as they may be found afterwards: what was flushed is there; of what was not, any
part of 512 bytes may be there or not, in any order; a name that was given, changed or taken away
counts for sure only once its folder was flushed.  Flushing a new journal flushes its folder as
well, as SQLite's own layer for Unix does.

Limits: what a flush covered is always kept; a drive that lies is not played.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import apsw

from wainscot.store import Disk

SECTOR = 512


class Act(NamedTuple):
    """One act: ``write``, ``truncate``, ``sync``, ``create``, ``delete``, ``rename``,
    ``sync folder`` or ``ack``, with what it did it to."""

    what: str
    name: str = ""
    at: int = 0
    data: bytes = b""
    other: str = ""


class File:
    """Bytes as a program sees them, as the disk holds them, and the acts between the two."""

    def __init__(self) -> None:
        self.now = bytearray()
        self.kept = b""
        self.pending: list[Act] = []

    def apply(self, act: Act) -> None:
        _apply(self.now, act)
        self.pending.append(act)

    def sync(self) -> None:
        self.kept = bytes(self.now)
        self.pending.clear()

    def after_cut(self, source: random.Random, share: float) -> bytes:
        """Return the bytes as they may be found."""
        found = bytearray(self.kept)
        for act in self.pending:
            if act.what == "truncate":
                if source.random() < share:
                    _apply(found, act)
                continue
            for start in range(0, len(act.data), SECTOR):
                if source.random() < share:
                    piece = act.data[start : start + SECTOR]
                    _apply(found, Act("write", at=act.at + start, data=piece))
        return bytes(found)


def _apply(content: bytearray, act: Act) -> None:
    if act.what == "truncate":
        del content[act.at :]
        content.extend(bytes(act.at - len(content)))
    else:
        content.extend(bytes(max(0, act.at - len(content))))
        content[act.at : act.at + len(act.data)] = act.data


class Played:
    """The disk after some acts."""

    def __init__(self) -> None:
        self.names: dict[str, File] = {}
        self.kept_names: dict[str, File] = {}
        self.pending: list[tuple[Act, File | None]] = []
        self.acked: list[str] = []

    def play(self, act: Act) -> None:
        if act.what == "ack":
            self.acked.append(act.name)
        elif act.what in ("write", "truncate"):
            self.names[act.name].apply(act)
        elif act.what == "sync":
            self.names[act.name].sync()
            if act.other == "new journal":
                self._sync_folder(_parent(act.name))
        elif act.what == "sync folder":
            self._sync_folder(act.name)
        else:
            file = File() if act.what == "create" else self.names.get(act.name)
            _rename(self.names, act, file)
            self.pending.append((act, file))
            if act.other == "folder too":
                self._sync_folder(_parent(act.name))

    def _sync_folder(self, folder: str) -> None:
        rest = []
        for act, file in self.pending:
            if _parent(act.name) == folder or (
                act.what == "rename" and _parent(act.other) == folder
            ):
                _rename(self.kept_names, act, file)
            else:
                rest.append((act, file))
        self.pending = rest

    def after_cut(self, source: random.Random) -> dict[str, bytes]:
        """Return the files as they may be found when the power goes now."""
        share = source.choice([0.0, 0.2, 0.5, 0.8, 1.0])
        names = dict(self.kept_names)
        for act, file in self.pending:
            if source.random() < share:
                _rename(names, act, file)
        contents: dict[int, bytes] = {}
        for file in names.values():
            contents.setdefault(id(file), file.after_cut(source, share))
        return {name: contents[id(file)] for name, file in names.items()}


def _parent(name: str) -> str:
    return name.rsplit("/", 1)[0]


def _rename(names: dict[str, File], act: Act, file: File | None) -> None:
    if act.what == "delete":
        names.pop(act.name, None)
    elif act.what == "create":
        assert file is not None
        names[act.name] = file
    elif file is not None:
        names.pop(act.name, None)
        names[act.other] = file


def cuts(
    log: Sequence[Act], source: random.Random, count: int
) -> Iterator[tuple[dict[str, bytes], list[str]]]:
    """Cut the power at so many moments of a log; give files and what was acknowledged."""
    moments = sorted(source.randrange(len(log) + 1) for _ in range(count))
    played = Played()
    done = 0
    for moment in moments:
        for act in log[done:moment]:
            played.play(act)
        done = moment
        yield played.after_cut(source), list(played.acked)


class LoggedDisk(Disk):
    """The record's own acts on a real disk, logged."""

    def __init__(self, log: list[Act]) -> None:
        self._log = log

    def add(self, path: Path, offset: int, data: bytes) -> None:
        if not path.exists():
            self._log.append(Act("create", str(path)))
        super().add(path, offset, data)
        self._log.append(Act("write", str(path), offset, bytes(data)))

    def sync(self, path: Path) -> None:
        self._log.append(Act("sync", str(path)))

    def sync_folder(self, path: Path) -> None:
        self._log.append(Act("sync folder", str(path)))

    def rename(self, old: Path, new: Path) -> None:
        super().rename(old, new)
        self._log.append(Act("rename", str(old), other=str(new)))

    def remove(self, path: Path) -> None:
        if path.exists():
            super().remove(path)
            self._log.append(Act("delete", str(path)))


class FailingError(Exception):
    """The disk was told to fail at this act."""


class LoggedVfs(apsw.VFS):
    """A disk of Python's memory for SQLite, logged; can fail at the n-th act."""

    def __init__(self, name: str, log: list[Act]) -> None:
        self.log = log
        self.files: dict[str, bytearray] = {}
        self.fail_at = -1
        self.acts = 0
        self.failed = ""
        super().__init__(name, base="")

    def step(self, what: str, code: int) -> None:
        """Count an act, and fail at the one that was chosen."""
        self.acts += 1
        if self.acts == self.fail_at:
            self.failed = what
            error = apsw.IOError(f"{what} fails here")
            error.result = apsw.SQLITE_IOERR
            error.extendedresult = code
            raise error

    def xFullPathname(self, name: str) -> str:  # noqa: N802
        return name

    def xAccess(self, name: str, flags: int) -> bool:  # noqa: N802
        return name in self.files

    def xDelete(self, name: str, syncdir: bool) -> None:  # noqa: N802
        self.step("delete", apsw.SQLITE_IOERR_DELETE)
        if name not in self.files:
            error = apsw.IOError("no such file")
            error.result = apsw.SQLITE_IOERR
            error.extendedresult = apsw.SQLITE_IOERR_DELETE_NOENT
            raise error
        del self.files[name]
        self.log.append(Act("delete", name, other="folder too" if syncdir else ""))
        if syncdir:
            self.step("flush of the folder", apsw.SQLITE_IOERR_DIR_FSYNC)

    def xOpen(self, name: Any, flags: list[int]) -> MemoryFile:  # noqa: N802
        path = str(name.filename() if isinstance(name, apsw.URIFilename) else name)
        flags[1] = flags[0]
        made = path not in self.files
        if made:
            self.files[path] = bytearray()
            self.log.append(Act("create", path))
        journal = flags[0] & (apsw.SQLITE_OPEN_MAIN_JOURNAL | apsw.SQLITE_OPEN_WAL)
        return MemoryFile(self, path, new_journal=bool(made and journal))


class MemoryFile:
    """One open file of a :class:`LoggedVfs`."""

    def __init__(self, vfs: LoggedVfs, name: str, *, new_journal: bool) -> None:
        self._vfs = vfs
        self._name = name
        self._new_journal = new_journal
        self._content = vfs.files[name]

    def xRead(self, amount: int, offset: int) -> bytes:  # noqa: N802
        return bytes(self._content[offset : offset + amount])

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        self._vfs.step("write", apsw.SQLITE_IOERR_WRITE)
        act = Act("write", self._name, offset, bytes(data))
        _apply(self._content, act)
        self._vfs.log.append(act)

    def xTruncate(self, size: int) -> None:  # noqa: N802
        self._vfs.step("truncate", apsw.SQLITE_IOERR_TRUNCATE)
        act = Act("truncate", self._name, size)
        _apply(self._content, act)
        self._vfs.log.append(act)

    def xSync(self, flags: int) -> None:  # noqa: N802
        self._vfs.step("flush", apsw.SQLITE_IOERR_FSYNC)
        new, self._new_journal = self._new_journal, False
        self._vfs.log.append(Act("sync", self._name, other="new journal" if new else ""))

    def xFileSize(self) -> int:  # noqa: N802
        return len(self._content)

    def xDeviceCharacteristics(self) -> int:  # noqa: N802
        return apsw.SQLITE_IOCAP_POWERSAFE_OVERWRITE

    def xSectorSize(self) -> int:  # noqa: N802
        return 4096

    def xFileControl(self, op: int, pointer: int) -> bool:  # noqa: N802
        return False

    def xLock(self, level: int) -> None: ...  # noqa: N802

    def xUnlock(self, level: int) -> None: ...  # noqa: N802

    def xCheckReservedLock(self) -> bool:  # noqa: N802
        return False

    def xClose(self) -> None: ...  # noqa: N802

"""Bytes that are still there after the power went.

A file is written under another name, flushed to the disk, renamed, and its folder flushed too: it
is there whole or not at all.  After a failed flush nobody knows what the disk holds, and asking
again can wrongly say "all well" (Rebello et al., "Can applications recover from fsync failures?",
USENIX ATC 2020).  So the process stops there, and the next start reads what truly is on the disk.

>>> Disk().write(Path("note.txt"), [b"whole ", b"or not at all"])  # doctest: +SKIP

Limits: a disk that says "flushed" before it has is beyond any program.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import NoReturn

from wainscot.store.faults import DiskFullError

STOPPED = 74
"""Exit code of a process that stopped because a flush failed (EX_IOERR of BSD's sysexits.h)."""

CHUNK = 1 << 20


def stop(reason: str) -> NoReturn:
    """End the process at once, because what is on the disk is not known any more.

    Parameters
    ----------
    reason : str
        What failed, for whoever reads standard error.
    """
    told = (
        f"wainscot stops: {reason}; what is on the disk is not known. Check the disk, start again\n"
    )
    os.write(2, told.encode("utf-8", "backslashreplace"))
    os._exit(STOPPED)


class Disk:
    """The few acts that change the disk, in one place so that tests can cut the power between."""

    def add(self, path: Path, offset: int, data: bytes) -> None:
        """Write bytes into a file from an offset on; the file is made if it is not there.

        Parameters
        ----------
        path : Path
            File.
        offset : int
            Byte to begin at.
        data : bytes
            What to write.

        Raises
        ------
        DiskFullError
            If there is no room.
        """
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | _BINARY, 0o600)
        try:
            os.lseek(handle, offset, os.SEEK_SET)
            view = memoryview(data)
            while view:
                view = view[os.write(handle, view) :]
        except OSError as error:
            raise full(error) from None
        finally:
            os.close(handle)

    def sync(self, path: Path) -> None:
        """Flush a file's bytes to the disk; a failure ends the process."""
        self._sync(path, os.O_RDWR | _BINARY)

    def sync_folder(self, path: Path) -> None:
        """Flush a folder's names to the disk; a failure ends the process."""
        if _FOLDERS_OPEN:
            self._sync(path, os.O_RDONLY)

    def _sync(self, path: Path, flags: int) -> None:
        handle = os.open(path, flags)
        try:
            _flush(handle)
        except OSError as error:
            stop(f"flushing {path.name} failed ({error.strerror})")
        finally:
            os.close(handle)

    def rename(self, old: Path, new: Path) -> None:
        """Give a file its name, in place of a file that had it."""
        old.replace(new)

    def remove(self, path: Path) -> None:
        """Take a file away; none there is as well."""
        path.unlink(missing_ok=True)

    def folder(self, path: Path) -> None:
        """Make a folder and those above it, names flushed; one that is there stays."""
        missing = []
        while not path.is_dir():
            missing.append(path)
            path = path.parent
        for one in reversed(missing):
            try:
                one.mkdir(exist_ok=True, mode=0o700)
            except OSError as error:
                raise full(error) from None
            self.sync_folder(one.parent)

    def write(self, path: Path, chunks: Iterable[bytes]) -> None:
        """Write a file whole or not at all, in a folder that is there.

        Parameters
        ----------
        path : Path
            File; one that is there is replaced.
        chunks : iterable of bytes
            Its content.

        Raises
        ------
        DiskFullError
            If there is no room; then nothing is left of it.
        """
        part = path.with_name(f".{path.name}.part")
        self.remove(part)
        try:
            offset = 0
            for chunk in chunks:
                self.add(part, offset, chunk)
                offset += len(chunk)
            if not offset:
                self.add(part, 0, b"")
            self.seal(part, path)
        except BaseException:
            self.remove(part)
            raise

    def seal(self, part: Path, path: Path) -> None:
        """Flush a finished part and give it its name, in the order that a power cut allows."""
        self.sync(part)
        self.rename(part, path)
        self.sync_folder(path.parent)


_BINARY = getattr(os, "O_BINARY", 0)
_FOLDERS_OPEN = os.name != "nt"  # on Windows a folder cannot be opened; names are journalled there


def _flush(handle: int) -> None:
    if sys.platform == "darwin":
        # Plain fsync leaves the bytes in the drive's own memory there.
        import fcntl

        fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
    else:
        os.fsync(handle)


def full(error: OSError) -> OSError | DiskFullError:
    """Return the error that says "full" where the disk said so, any other as it is."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return DiskFullError("the disk is full; nothing was written, what is there can be read")
    return error

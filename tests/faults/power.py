"""Records on a disk that forgets: power cuts and failing acts."""

from __future__ import annotations

import hashlib
import random
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import apsw_dbapi
import pysqlite3
from unsafe_disk import Act, LoggedDisk, LoggedVfs, cuts

from wainscot.record import event, line_of
from wainscot.store import Journal, Store, StoreError
from wainscot.store import sqlite as sqlite_module

NOW = "2025-03-14T10:00:00+00:00"
DELETE_EXTRA = Journal("delete", 3)
WAL_FULL = Journal("wal", 2)
WAL_NORMAL = Journal("wal", 1)
DELETE_FULL = Journal("delete", 2)


class StoppedError(BaseException):
    """Stands for the end of the process."""


@contextmanager
def simulated(journal: Journal) -> Iterator[tuple[LoggedVfs, Path]]:
    """Give a disk of Python's memory and an empty folder for what is not SQLite's."""
    log: list[Act] = []
    vfs = LoggedVfs("unsafe", log)
    apsw_dbapi.settings.update(vfs="unsafe", exclusive=journal.mode == "wal")
    folder = Path(tempfile.mkdtemp(prefix="wainscot-"))
    try:
        yield vfs, folder
    finally:
        vfs.unregister()
        shutil.rmtree(folder)


def _titled(n: int, source: random.Random) -> bytes:
    text = "x" * source.choice([3, 40, 900, 9000])
    return line_of(event("set", job="job_a", device=f"d{n}", seq=1, prev="", at=NOW,
                         field="title", value=f"{n} {text}"))  # fmt: skip


def workload(journal: Journal, seed: int, commits: int) -> tuple[list[Act], Path]:
    """Write events and photos, and return the log of everything that the disk was asked."""
    source = random.Random(seed)
    with simulated(journal) as (vfs, folder):
        store = Store.create(folder, device="office", library=apsw_dbapi, journal=journal,
                             disk=LoggedDisk(vfs.log))  # fmt: skip
        for n in range(commits):
            if n % 5 == 4:
                data = source.randbytes(source.choice([10, 3000]))
                vfs.log.append(Act("ack", "blob " + store.blobs.put(data, received=NOW)))
            else:
                batch = [_titled(10 * n + k, source) for k in range(source.choice([1, 1, 3]))]
                added = store.append(batch, received=NOW).added
                vfs.log += [Act("ack", f"event {one}") for one in added]
        store.close()
        return vfs.log, folder


class Lost(NamedTuple):
    """What one cut took: acknowledged events and photos, or the file's soundness."""

    acknowledged: int
    damaged: bool


def after(files: dict[str, bytes], acked: list[str], root: Path, library: Any) -> Lost:
    """Open what a cut left and compare it with what was acknowledged."""
    with tempfile.TemporaryDirectory(prefix="wainscot-") as made:
        folder = Path(made)
        for name, content in files.items():
            target = folder / Path(name).relative_to(root)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
        if not acked:
            return Lost(0, False)
        try:
            with closing(library.connect(str(folder / "record.sqlite"))) as connection:
                connection.execute("PRAGMA synchronous=OFF")
                sound = connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
                held = {f"event {row[0]}" for row in connection.execute("SELECT id FROM event")}
                rows = [row[0] for row in connection.execute("SELECT hash FROM blob")]
        except library.DatabaseError:
            return Lost(len(acked), True)
        whole = [digest for digest in rows if _blob(folder, digest)]
        held |= {f"blob {digest}" for digest in whole}
        return Lost(len(set(acked) - held), not sound or len(whole) < len(rows))


def _blob(folder: Path, digest: str) -> bool:
    path = folder / "blobs" / digest[:2] / digest
    return path.is_file() and hashlib.sha256(path.read_bytes()).hexdigest() == digest


def power_cuts(journal: Journal, count: int, seed: int, per_log: int = 200) -> dict[str, int]:
    """Cut the power so often; return how many cuts lost what was acknowledged or left damage."""
    library = pysqlite3 if journal.mode == "wal" else sqlite3
    source = random.Random(seed)
    found = {"cuts": 0, "lost": 0, "damaged": 0, "acknowledged_lost": 0}
    while found["cuts"] < count:
        log, root = workload(journal, source.randrange(2**32), 30)
        for files, acked in cuts(log, source, min(per_log, count - found["cuts"])):
            lost = after(files, acked, root, library)
            found["cuts"] += 1
            found["lost"] += lost.acknowledged > 0
            found["damaged"] += lost.damaged
            found["acknowledged_lost"] += lost.acknowledged
    return found


def failing_acts(journal: Journal, every: int, seed: int) -> dict[str, int]:
    """Let every n-th act of the disk fail; nothing acknowledged may be gone, nothing be damaged."""
    found = {"runs": 0, "refused": 0, "stopped": 0, "lost": 0, "damaged": 0}
    n = 1
    while _one_failure(journal, n, seed, found):
        n += every
    return found


def _one_failure(journal: Journal, fail_at: int, seed: int, found: dict[str, int]) -> bool:
    def stop(_: str) -> None:
        raise StoppedError

    true_stop, sqlite_module.stop = sqlite_module.stop, stop  # type: ignore[assignment]  # a stand-in that never returns
    source = random.Random(seed)
    acked: list[str] = []
    try:
        with simulated(journal) as (vfs, folder):
            store = Store.create(folder, device="o", library=apsw_dbapi, journal=journal)
            vfs.acts, vfs.fail_at = 0, fail_at
            try:
                for n in range(6):
                    receipt = store.append([_titled(n, source)], received=NOW)
                    acked += [f"event {one}" for one in receipt.added]
            except StoreError:
                found["refused"] += 1
            except StoppedError:
                found["stopped"] += 1
            reached = bool(vfs.failed)
            files = {name: bytes(content) for name, content in vfs.files.items()}
            vfs.fail_at = -1
            lost = after(files, acked, folder, pysqlite3 if journal.mode == "wal" else sqlite3)
            store.close()
    finally:
        sqlite_module.stop = true_stop
    found["runs"] += reached
    found["lost"] += lost.acknowledged > 0
    found["damaged"] += lost.damaged
    return reached

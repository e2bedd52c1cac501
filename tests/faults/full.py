"""A disk that runs full while a record is written to.

    python full.py FOLDER COUNT SEED     (as root on Linux: mounts a small file system in memory)

A process of its own in its own mount namespace, so that the mount is gone with it.
"""

from __future__ import annotations

import ctypes
import importlib
import json
import os
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from wainscot.record import event, fold, line_of
from wainscot.store import DiskFullError, Store, StoreError, export_everything, take

NOW = "2025-03-14T10:00:00+00:00"
CLONE_NEWNS = 0x00020000  # linux/sched.h
SIZE = 3 << 20


def own_mounts() -> None:
    """Leave the mounts that others see."""
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.unshare(CLONE_NEWNS):
        raise OSError(ctypes.get_errno(), "no mount namespace: run as root on Linux")
    subprocess.run(["mount", "--make-rprivate", "/"], check=True)


def full(place: Path, seed: int, library: str) -> dict[str, int]:
    """Fill a disk of three megabytes; see that all that was acknowledged can be read and taken out,
    that a new start reads it too, and that work goes on once there is room."""
    place.mkdir(exist_ok=True)
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={SIZE}", "tmpfs", place], check=True)
    try:
        return _filled(place, seed, importlib.import_module(library))
    finally:
        subprocess.run(["umount", "-l", place], check=True)


def _filled(place: Path, seed: int, library: object) -> dict[str, int]:
    source = random.Random(seed)
    ballast = place / "ballast"
    ballast.write_bytes(bytes(source.randrange(1 << 20, 2 << 20)))
    store = Store.create(place / "record", device="o", library=library)  # type: ignore[arg-type]
    events = []
    photos = []
    refused = 0
    n = 0
    while refused < 3:
        n += 1
        made = event("set", job="job_a", device=f"d{n}", seq=1, prev="", at=NOW, field="title",
                     value="x" * source.choice([10, 5000, 60_000]))  # fmt: skip
        try:
            if n % 4 == 0:
                photos.append(store.blobs.put(source.randbytes(source.randrange(90_000)),
                                              received=NOW))  # fmt: skip
            else:
                store.append([line_of(made)], received=NOW)
                events.append(made)
        except DiskFullError:
            refused += 1
    # The rest of the room goes too, to the last byte.
    with ballast.open("ab") as stream:
        try:
            for size in (4096, 1):
                while os.write(stream.fileno(), bytes(size)):
                    pass
        except OSError:
            pass
    wrong = _compared(store, events, photos)
    with tempfile.TemporaryDirectory() as elsewhere:
        export_everything(store, Path(elsewhere) / "all.zip", now=NOW)
    try:
        take(store.database, store.blobs, store.disk, store.layout.backups, now=NOW)
        wrong += 1
    except StoreError:
        pass
    store.close()
    store = Store.open(place / "record", now=NOW, library=library)  # type: ignore[arg-type]
    wrong += _compared(store, events, photos)
    ballast.unlink()
    more = event("set", job="job_b", device="d", seq=1, prev="", at=NOW, field="title", value="x")
    wrong += len(store.append([line_of(more)], received=NOW).added) != 1
    # A photo whose row found no room was refused; sending it again gives it its row.
    wrong += sum(one.fault != "without a row" for one in store.blobs.scrub())
    store.close()
    return {"acknowledged": len(events) + len(photos), "refused": refused, "wrong": wrong}


def _compared(store: Store, events: list[object], photos: list[str]) -> int:
    """Return how many things are not as acknowledged."""
    ids = {one.id for one in events}  # type: ignore[attr-defined]
    wrong = len(ids ^ set(store.missing([])))
    wrong += len(set(photos) ^ {digest for digest, _ in store.blobs.rows()})
    wrong += store.job("job_a") != fold(events, "job_a")  # type: ignore[arg-type]
    return wrong + (len(store.lines()) != len(events))


if __name__ == "__main__":
    own_mounts()
    total = {"disks": 0, "acknowledged": 0, "refused": 0, "wrong": 0}
    for k in range(int(sys.argv[2])):
        for name in ("sqlite3", "pysqlite3"):
            found = full(Path(sys.argv[1]), int(sys.argv[3]) + k, name)
            total = {key: total[key] + found.get(key, 1) for key in total}
    print(json.dumps(total))

"""Backups taken while others write; damaged ones found."""

from __future__ import annotations

import random
import shutil
import threading
from collections.abc import Callable
from pathlib import Path

from wainscot.record import event, line_of
from wainscot.store import DamagedError, Store, restore, status, take

NOW = "2025-03-14T10:00:00+00:00"


def _a_file() -> str:
    return ""


def backups(
    folder: Path, count: int, damaged: int, seed: int, fresh: Callable[[], str] = _a_file
) -> dict[str, int]:
    """Take so many backups under load and restore each; then damage so many and look for them.

    ``fresh`` gives the address of an empty PostgreSQL database; without it all are SQLite files.
    """
    source = random.Random(seed)
    store = Store.create(folder / "record", device="office", address=fresh())
    ended = threading.Event()
    thread = threading.Thread(target=_load, args=(store, ended, random.Random(seed + 1)))
    thread.start()
    found = {"taken": 0, "restored": 0, "damaged": 0, "found": 0, "short": 0}
    path = folder
    try:
        for n in range(count):
            acked = set(store.missing([]))
            taken = take(store.database, store.blobs, store.disk, folder / "backups", now=NOW)
            found["taken"] += 1
            path = taken.path
            again = restore(path, folder / f"again{n}", device=f"office{n}", now=NOW,
                            address=fresh())  # fmt: skip
            held = again.missing([])
            found["short"] += bool(acked - set(held)) or len(held) != taken.events
            found["restored"] += not list(again.blobs.scrub())
            again.close()
            shutil.rmtree(again.layout.folder)
    finally:
        ended.set()
        thread.join()
    whole = path.read_bytes()
    for n in range(damaged):
        found["damaged"] += 1
        path.write_bytes(_damaged(whole, source))
        found["found"] += _is_found(store, path, folder / f"bad{n}")
    store.close()
    return found


def _load(store: Store, ended: threading.Event, source: random.Random) -> None:
    n = 0
    # Paced, or the record grows faster than a backup of it can be taken.
    while not ended.wait(0.1):
        n += 1
        made = event("set", job="job_a", device=f"d{n}", seq=1, prev="", at=NOW, field="title",
                     value="x" * source.choice([10, 900]))  # fmt: skip
        store.append([line_of(made)], received=NOW)
        if n % 4 == 0:
            store.blobs.put(source.randbytes(3000), received=NOW)


def _damaged(whole: bytes, source: random.Random) -> bytes:
    content = bytearray(whole)
    at = source.randrange(len(content))
    kind = source.randrange(4)
    if kind == 0:
        return bytes(content[:at])
    if kind == 1:
        content[at] ^= 1 << source.randrange(8)
    elif kind == 2:
        hole = bytes(len(content[at : at + 512]))
        content[at : at + 512] = hole if content[at : at + 512] != hole else b"\1" + hole[1:]
    else:
        content[at:at] = source.randbytes(7)
    return bytes(content)


def _is_found(store: Store, path: Path, into: Path) -> bool:
    told = path.resolve() in status(store.database, path.parent).damaged
    try:
        restore(path, into, device="never", now=NOW).close()
    except DamagedError:
        return told and not into.exists()
    return False

"""The record on disk: durable appends and the first sync of a phone."""

from __future__ import annotations

import json
import os
import sqlite3
import tempfile
import time
from pathlib import Path
from types import ModuleType

from bench.table import Row
from wainscot.record import Event, event, event_of, line_of
from wainscot.store import Journal, Store, driver, journal_for, take

NOW = "2025-03-14T10:00:00+00:00"


def _events(count: int, device: str) -> list[Event]:
    made: list[Event] = []
    for n in range(1, count + 1):
        room = f"room_{n % 40}"
        common = {"job": "job_a", "device": device, "seq": n, "prev": made[-1].id if made else ""}
        kind, parts = (
            ("add", {"value": {"kind": "room", "name": f"Room {n}"}}) if n <= 40
            else ("set", {"field": "name", "value": f"Room {n}"})
        )  # fmt: skip
        made.append(event(kind, at=NOW, entity=room, **common, **parts))  # type: ignore[arg-type] # kind and parts go together
    return made


def _flush(folder: Path, runs: int = 100) -> float:
    """Return the 95th percentile of one write and flush, the least that an append takes."""
    times = []
    with (folder / "flush").open("wb") as stream:
        for _ in range(runs):
            start = time.perf_counter()
            stream.write(bytes(4096))
            stream.flush()
            os.fsync(stream.fileno())
            times.append(time.perf_counter() - start)
    return sorted(times)[int(0.95 * runs)]


def _append(folder: Path, library: ModuleType, journal: Journal, count: int = 300) -> float:
    store = Store.create(folder, device="office", library=library, journal=journal)
    times = []
    for one in _events(count, "phone"):
        start = time.perf_counter()
        store.append([line_of(one)], received=NOW)
        times.append(time.perf_counter() - start)
    store.close()
    return sorted(times)[int(0.95 * count)]


def rows() -> list[Row]:
    other = driver()
    with tempfile.TemporaryDirectory(prefix="wainscot-bench-") as made:
        folder = Path(made)
        flush = _flush(folder)
        found = [Row("one write and flush of this disk, p95", flush, None, "for comparison")]
        for library in {sqlite3, other}:
            journal = journal_for(library.sqlite_version_info)
            p95 = _append(folder / journal.mode, library, journal)
            told = f"SQLite {library.sqlite_version}, {journal.mode}; {p95 / flush:.1f} flushes"
            found.append(Row("durable append of one event, p95", p95, 0.010, told))
        return [*found, *_sync(folder)]


def _sync(folder: Path) -> list[Row]:
    phone = _events(10_000, "phone")
    lines = [line_of(one) for one in phone]
    store = Store.create(folder / "sync", device="office")
    start = time.perf_counter()
    wanted = set(store.wanted(one.id for one in phone))
    sent = [line for one, line in zip(phone, lines, strict=True) if one.id in wanted]
    for n in range(0, len(sent), 500):
        store.append(sent[n : n + 500], received=NOW)
    up = time.perf_counter() - start
    start = time.perf_counter()
    got = [event_of(json.loads(line))
           for batch in store.batches(store.missing([])) for line in batch]  # fmt: skip
    down = time.perf_counter() - start
    assert len(got) == 10_000
    start = time.perf_counter()
    store.job("job_a")
    fold = time.perf_counter() - start
    start = time.perf_counter()
    store.job("job_a")
    kept = time.perf_counter() - start
    start = time.perf_counter()
    take(store.database, store.blobs, store.disk, folder / "backups", now=NOW)
    backup = time.perf_counter() - start
    store.close()
    return [
        Row("first sync of 10,000 events, phone to record", up, 30.0),
        Row("first sync of 10,000 events, record to a new phone", down, 30.0, "ids checked"),
        Row("fold of 10,000 events", fold),
        Row("the same job again", kept, None, "kept by the head of its events"),
        Row("backup of 10,000 events, read back", backup),
    ]

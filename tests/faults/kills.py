"""Writers that are killed in the middle of their work.

    python kills.py FOLDER COUNT SEED

Forks a writer, reads what it says it was told is safe, kills it with SIGKILL at a random moment,
looks whether everything is there, and does so again on the same record.  A process of its own, so
that nothing else is forked along.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path

from wainscot.record import event, line_of
from wainscot.store import Store

NOW = "2025-03-14T10:00:00+00:00"


def write_for_ever(folder: Path, run: int, told: int, seed: int) -> None:
    """Append events and photos without end; say on a pipe what is safe."""
    store = Store.open(folder, now=NOW)
    source = random.Random(seed)
    prev = ""
    for n in range(1, 1_000_000):
        made = event("set", job="job_a", device=f"run{run}", seq=n, prev=prev, at=NOW,
                     field="title", value="x" * source.choice([5, 500, 20_000]))  # fmt: skip
        prev = made.id
        store.append([line_of(made)], received=NOW)
        os.write(told, b"e" + made.id.encode() + b"\n")
        if n % 3 == 0:
            digest = store.blobs.put(source.randbytes(5000), received=NOW)
            os.write(told, b"b" + digest.encode() + b"\n")


def one_kill(folder: Path, run: int, source: random.Random) -> tuple[set[str], set[str]]:
    """Run one writer until it is killed; return the events and photos that it said are safe."""
    reads, told = os.pipe()
    seed = source.randrange(2**32)
    child = os.fork()
    if child == 0:
        os.close(reads)
        write_for_ever(folder, run, told, seed)
        os._exit(0)
    os.close(told)
    said = os.read(reads, 1 << 16)  # the load is on
    time.sleep(source.uniform(0.0, 0.12))
    os.kill(child, signal.SIGKILL)
    while more := os.read(reads, 1 << 16):
        said += more
    os.close(reads)
    os.waitpid(child, 0)
    lines = said.decode().splitlines()
    # A line that the kill cut short was not said.
    whole = [line for line in lines if len(line) == 65]
    return ({line[1:] for line in whole if line[0] == "e"},
            {line[1:] for line in whole if line[0] == "b"})  # fmt: skip


def kills(folder: Path, count: int, seed: int) -> dict[str, int]:
    """Kill so many writers; return what became of what they were told is safe."""
    Store.create(folder, device="office").close()
    source = random.Random(seed)
    events: set[str] = set()
    photos: set[str] = set()
    lost = 0
    for run in range(count):
        new_events, new_photos = one_kill(folder, run, source)
        events |= new_events
        photos |= new_photos
        store = Store.open(folder, now=NOW)
        held = set(store.missing([]))
        rows = {digest for digest, _ in store.blobs.rows()}
        lost += len(new_events - held) + len(new_photos - rows)
        store.close()
    store = Store.open(folder, now=NOW)
    found = {
        "kills": count,
        "acknowledged": len(events) + len(photos),
        "lost": lost + len(events - set(store.missing([]))),
        "photos_unsound": sum(one.fault != "without a row" for one in store.blobs.scrub()),
        "chains_not_whole": sum(not chain.whole for chain in store.chains()),
    }
    with store.database.raw() as connection:
        sound = connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    store.close()
    return {**found, "damaged": int(not sound)}


if __name__ == "__main__":
    print(json.dumps(kills(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))

"""The record of one job as files that `verify.py` reads: for a package that is handed to others.

    files = record_of(store, "job_mill")     # {"events.jsonl": b"...", "verify.py": b"...", ...}

A head covers every job of the record.  So that it can be worked out again and nothing is told of
other jobs, their events stand as leaf hashes alone: how many there are shows, not what, when, or by
which device.

Limits: that an event of this job was left out, and stands as a bare hash like those of other jobs,
cannot be seen in the files.
"""

from __future__ import annotations

import json
from pathlib import Path

import msgspec

from wainscot.record import canonical, leaf_of, tree
from wainscot.store import alone
from wainscot.store.heads import heads
from wainscot.store.keys import keys_in
from wainscot.store.store import Store
from wainscot.store.whole import EVENTS, HEADS, KEYS, RECEIPTS, VERIFIER


def record_of(store: Store, job: str) -> dict[str, bytes]:
    """Return the events of a job, all leaves, heads, its devices' keys, and what checks them.

    Parameters
    ----------
    store : Store
        The record.
    job : str
        Id of the job.
    """
    given, lines, writers = heads(store), store.lines(job), store.writers(job)
    with store.database.reading() as connection:
        keys = [one for one in keys_in(connection) if one.device in writers]
    own = {str(json.loads(line)["id"]) for line in lines}
    receipts = []
    for one in store.receipts():
        leaf = leaf_of(one.id, one.received, one.skew)
        receipts.append(leaf if one.id in own else _hidden(leaf))
    return {
        EVENTS: _joined(lines),
        RECEIPTS: _joined(receipts),
        HEADS: _joined([msgspec.json.encode(one) for one in given]),
        KEYS: _joined([msgspec.json.encode(one) for one in keys]),
        VERIFIER: Path(alone.__file__).read_bytes(),
    }


def _hidden(leaf: bytes) -> bytes:
    """A receipt of which nothing but the hash in the tree is told."""
    return canonical({"id": "", "leaf": tree.leaf_hash(leaf).hex(), "received": "", "skew": None})


def _joined(lines: list[bytes]) -> bytes:
    return b"".join(line.rstrip(b"\n") + b"\n" for line in lines)

"""Whether tampering with full access to the database, and to the key, is found.

    python -m study tampering          560 of each attack, 100,000 mutated proofs
    python -m study tampering -n 20    fewer; nothing is written

The same attacks as tests/store, more often and on records of many shapes.  The control cuts and
changes what came after the last head that was given out: that cannot be seen, and it must not be,
or the study would prove nothing.
"""

from __future__ import annotations

import contextlib
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "store"))

SEED = 80000
EACH = 560
"""Attacks of each kind."""
RECORDS = 20
"""Records of other shapes, each attacked from a copy."""
PROOFS = 100_000

Found = dict[str, Any]


def _record(folder: Path, chance: random.Random) -> Any:
    """Make a record of a few devices whose events arrive mixed, and return the head given out."""
    from devices import LATER, NOW, Device, day, lines

    from wainscot.store import Store, give_head

    store = Store.create(folder, device="office")
    count = chance.randrange(1, 5)
    flows = [day(Device(f"phone-{k}"), chance.randrange(3, 12), SEED) for k in range(count)]
    waiting = [list(one) for one in flows]
    while any(waiting):
        flow = chance.choice([one for one in waiting if one])
        store.append(lines(flow.pop(0)), received=NOW, skew=chance.choice([None, 0.0, 1.5]))
        if chance.random() < 0.1:
            give_head(store, now=NOW)
    given = give_head(store, now=LATER)
    store.job("job_a")
    store.close()
    return given


def _looked(folder: Path, given: Any) -> list[str]:
    from devices import LATER

    from wainscot.store import Store, check_store

    store = Store.open(folder, now=LATER)
    try:
        return [one.what for one in check_store(store, [given]) if one.state == "bad"]
    finally:
        store.close()


def _attacked(whole: Path, work: Path, given: Any, attack: Any, chance: random.Random) -> list[str]:
    from wainscot.store import Layout

    if work.exists():
        shutil.rmtree(work)
    shutil.copytree(whole, work)
    with contextlib.closing(sqlite3.connect(Layout(work).database)) as database:
        attack(database, Layout(work).key, chance)
        database.commit()
    return _looked(work, given)


def _tail(database: sqlite3.Connection, _: Path, chance: random.Random) -> None:
    """Cut what came after the last head, or change its last event, whole and sound."""
    from tampering import _changed, _new_id, _put, _rows

    last = _rows(database)[-1]
    database.execute("DELETE FROM folded")
    if chance.random() < 0.5:
        database.execute("DELETE FROM event WHERE n = ?", (last[0],))
    else:
        import json

        _put(database, last[0], _new_id(_changed(json.loads(last[2]), chance)))


def _after_head(whole: Path) -> None:
    from devices import LATER, Device, day, lines

    from wainscot.store import Store

    store = Store.open(whole, now=LATER)
    store.append(lines(*day(Device("late"), 4)), received=LATER)
    store.close()


def run(each: int) -> Found:
    """Attack so often in each way, and mutate proofs in proportion."""
    from tampering import ATTACKS, proofs_refused

    began = time.time()
    chance = random.Random(SEED)
    found = {name: {"tried": 0, "found": 0} for name in ATTACKS}
    control = {"tried": 0, "seen": 0}
    untouched = {"tried": 0, "called bad": 0}
    with tempfile.TemporaryDirectory(prefix="wainscot-") as place:
        for n in range(RECORDS):
            whole, work = Path(place) / f"record-{n}", Path(place) / "work"
            given = _record(whole, chance)
            untouched["tried"] += 1
            untouched["called bad"] += bool(_looked(whole, given))
            for name, attack in ATTACKS.items():
                for _ in range(max(1, each // RECORDS)):
                    found[name]["tried"] += 1
                    found[name]["found"] += bool(_attacked(whole, work, given, attack, chance))
            _after_head(whole)
            for _ in range(max(1, each // RECORDS // 5)):
                control["tried"] += 1
                control["seen"] += bool(_attacked(whole, work, given, _tail, chance))
    proofs, taken = proofs_refused(PROOFS * each // EACH, chance)
    missed = sum(one["tried"] - one["found"] for one in found.values())
    return {
        "seed": SEED, "records": RECORDS, "attacks": found, "missed": missed,
        "attacks in all": sum(one["tried"] for one in found.values()),
        "records that nobody touched": untouched,
        "control: after the last head that was given out": control,
        "mutated proofs": {"tried": proofs, "taken": taken},
        "took_s": round(time.time() - began),
        "passes": not (missed or taken or untouched["called bad"] or control["seen"]),
    }  # fmt: skip

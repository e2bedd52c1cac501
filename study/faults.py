"""What the record on disk loses when it is killed, cut off, filled up or talked to over a bad line.

    python -m study kills     10,000 writers killed, in ten records (an hour)
    python -m study phones    1,000 seeds of five phones, and a few of long logs (an hour)
    python -m study faults    10,000 power cuts a mode, 1,000 full disks, 200 backups (half an hour)
    python -m study kills -n 1000    fewer; nothing is written

The same harnesses as tests/faults, longer.
"""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parents[1] / "tests" / "faults"
sys.path.insert(0, str(HERE))

SEED = 9000
KILLS, KILLS_A_RECORD = 10_000, 1_000
CUTS = 10_000
SEEDS, LONG_SEEDS = 1_000, 20
"""Seeds of five phones with 200 events each, and of five phones with 2,000."""

Found = dict[str, Any]


def _process(name: str, count: int, seed: int = SEED) -> Found:
    """Run a harness that needs a process of its own."""
    with tempfile.TemporaryDirectory(prefix="wainscot-") as folder:
        command = [sys.executable, str(HERE / name), f"{folder}/place", str(count), str(seed)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
    found: Found = json.loads(done.stdout)
    return found


def _sums(found: list[Found]) -> Found:
    return {name: sum(one[name] for one in found) for name in found[0]}


def _swarms(count: int, events: int, first: int) -> Found:
    from swarm import swarm

    found = []
    for seed in range(first, first + count):
        with tempfile.TemporaryDirectory(prefix="wainscot-") as folder:
            found.append(swarm(Path(folder) / "record", 5, events, seed))
    return {"seeds": count, "first_seed": first, **_sums(found)}


def _backups(count: int) -> Found:
    from restores import backups

    with tempfile.TemporaryDirectory(prefix="wainscot-") as folder:
        return backups(Path(folder), count, max(1, count // 4), SEED)


# What runs, and what must hold of what it found.
Plan = dict[str, tuple[Callable[[], Found], Callable[[Found], bool]]]


def kills(count: int) -> Found:
    """Kill so many writers, a thousand to a record."""
    records = max(1, count // KILLS_A_RECORD)
    each = count // records

    def work() -> Found:
        return _sums([_process("kills.py", each, SEED + record) for record in range(records)])

    return _run({f"kill -9 under load, {records} records": (work, _nothing_gone)})


def phones(count: int) -> Found:
    """Sync so many swarms of five phones over a bad line."""
    long = max(1, count // (SEEDS // LONG_SEEDS))
    return _run({
        "five phones of 200 events": (lambda: _swarms(count, 200, SEED), _all_agree),
        "five phones of 2,000 events": (lambda: _swarms(long, 2000, 2 * SEED), _all_agree),
    })  # fmt: skip


def run(cuts: int) -> Found:
    """Cut the power so often in each mode, and the rest in proportion."""
    import power

    def control(mode: power.Journal) -> Callable[[], Found]:
        return lambda: power.power_cuts(mode, max(40, cuts // 10), SEED)

    return _run({
        "power cuts, rollback journal, EXTRA": (
            lambda: power.power_cuts(power.DELETE_EXTRA, cuts, SEED), _nothing_lost),
        "power cuts, write-ahead log, FULL": (
            lambda: power.power_cuts(power.WAL_FULL, cuts, SEED), _nothing_lost),
        "control: write-ahead log, NORMAL": (control(power.WAL_NORMAL), _some_lost),
        "control: rollback journal, FULL": (control(power.DELETE_FULL), _some_lost),
        "every act fails once, rollback journal": (
            lambda: power.failing_acts(power.DELETE_EXTRA, 1, SEED), _nothing_lost),
        "every act fails once, write-ahead log": (
            lambda: power.failing_acts(power.WAL_FULL, 1, SEED), _nothing_lost),
        "full disks": (
            lambda: _process("full.py", max(1, cuts // 10)), lambda one: one["wrong"] == 0),
        "backups under load": (
            lambda: _backups(max(2, cuts // 50)),
            lambda one: one["taken"] == one["restored"] and one["damaged"] == one["found"]
            and not one["short"]),
    })  # fmt: skip


def _run(plan: Plan) -> Found:
    """Run every harness of a plan and judge it."""
    import apsw_dbapi
    import pysqlite3

    harnesses: dict[str, Found] = {}
    for name, (work, holds) in plan.items():
        start = time.monotonic()
        found = work()
        took = round(time.monotonic() - start, 1)
        harnesses[name] = {**found, "holds": holds(found), "seconds": took}
        print(f"  {name}: {harnesses[name]}", flush=True)
    return {
        "harnesses": harnesses,
        "first_seed": SEED,
        "sqlite": {"rollback journal": sqlite3.sqlite_version,
                   "write-ahead log": pysqlite3.sqlite_version,
                   "power cuts in simulation": apsw_dbapi.sqlite_version},
        "passes": all(one["holds"] for one in harnesses.values()),
    }  # fmt: skip


def _some_lost(found: Found) -> bool:
    return bool(found["lost"] > 0)


def _nothing_gone(found: Found) -> bool:
    return not any(
        found[name] for name in ("lost", "photos_unsound", "chains_not_whole", "damaged")
    )


def _all_agree(found: Found) -> bool:
    return bool(found["one_hash"] == found["one_job"] == found["seeds"])


def _nothing_lost(found: Found) -> bool:
    return found["lost"] == 0 and found["damaged"] == 0

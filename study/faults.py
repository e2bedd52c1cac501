"""What the record on disk loses when it is killed, cut off, filled up or talked to over a bad line.

    python -m study faults             1,000 kills and the rest in proportion (a quarter of an hour)
    python -m study faults -n 10000    ten times that; nothing is written

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
KILLS = 1000

Found = dict[str, Any]


def _process(name: str, count: int) -> Found:
    """Run a harness that needs a process of its own."""
    with tempfile.TemporaryDirectory(prefix="wainscot-") as folder:
        command = [sys.executable, str(HERE / name), f"{folder}/place", str(count), str(SEED)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
    found: Found = json.loads(done.stdout)
    return found


def _sums(found: list[Found]) -> Found:
    return {name: sum(one[name] for one in found) for name in found[0]}


def _swarms(count: int) -> Found:
    from swarm import swarm

    found = []
    for seed in range(SEED, SEED + count):
        with tempfile.TemporaryDirectory(prefix="wainscot-") as folder:
            found.append(swarm(Path(folder) / "record", 5, 200, seed))
    return {"seeds": count, **_sums(found)}


def _backups(count: int) -> Found:
    from restores import backups

    with tempfile.TemporaryDirectory(prefix="wainscot-") as folder:
        return backups(Path(folder), count, max(1, count // 2), SEED)


def run(kills: int) -> Found:
    """Run every harness, in proportion to a number of kills, and judge."""
    import apsw_dbapi
    import power
    import pysqlite3

    cuts = 2 * kills
    # What runs, and what must hold of what it found.
    plan: dict[str, tuple[Callable[[], Found], Callable[[Found], bool]]] = {
        "kill -9 under load": (
            lambda: _process("kills.py", kills),
            lambda one: not (one["lost"] or one["photos_unsound"] or one["chains_not_whole"]
                             or one["damaged"]),
        ),
        "power cuts, rollback journal, EXTRA": (
            lambda: power.power_cuts(power.DELETE_EXTRA, cuts, SEED), _nothing_lost),
        "power cuts, write-ahead log, FULL": (
            lambda: power.power_cuts(power.WAL_FULL, cuts, SEED), _nothing_lost),
        "control: write-ahead log, NORMAL": (
            lambda: power.power_cuts(power.WAL_NORMAL, max(40, cuts // 4), SEED),
            lambda one: one["lost"] > 0),
        "control: rollback journal, FULL": (
            lambda: power.power_cuts(power.DELETE_FULL, max(40, cuts // 4), SEED),
            lambda one: one["lost"] > 0),
        "every act fails once, rollback journal": (
            lambda: power.failing_acts(power.DELETE_EXTRA, 1, SEED), _nothing_lost),
        "every act fails once, write-ahead log": (
            lambda: power.failing_acts(power.WAL_FULL, 1, SEED), _nothing_lost),
        "full disks": (
            lambda: _process("full.py", max(1, kills // 20)), lambda one: one["wrong"] == 0),
        "five phones of 200 events": (
            lambda: _swarms(max(1, kills // 10)),
            lambda one: one["one_hash"] == one["one_job"] == one["seeds"]),
        "backups under load": (
            lambda: _backups(max(2, kills // 25)),
            lambda one: one["taken"] == one["restored"] and one["damaged"] == one["found"]
            and not one["short"]),
    }  # fmt: skip
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


def _nothing_lost(found: Found) -> bool:
    return found["lost"] == 0 and found["damaged"] == 0

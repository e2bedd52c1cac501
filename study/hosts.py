"""Several hosts: what is lost when workers are killed, and backups under load on both databases.

    python -m study hosts

Each round asks one of two servers on one PostgreSQL for a walk, kills the worker that has it at a
random moment, sends events meanwhile through the other, and starts another worker.  The harness of
backups is that of tests/faults.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack, closing
from functools import partial
from pathlib import Path
from typing import Any

import httpx
from bench import bench_hosts, fleet

from wainscot.job import Job
from wainscot.store import Store, check_store

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "faults"))

SEED = 92_000
KILLS = 8
BACKUPS, DAMAGED = 6, 20
HOUSE = Job("house", "Mill", entities={
    "s": {"kind": "storey", "name": "Ground floor"},
    "r": {"kind": "room", "storey": "s", "name": "Hall",
          "polygon": [[0, 0], [3, 0], [3, 4], [0, 4]]},
    "i": {"kind": "inspection", "place": {"of": "r"},
          "finds": [{"kind": "droppings", "amount": "many"}]},
})  # fmt: skip

Found = dict[str, Any]


def kills(cluster: Any, count: int) -> Found:
    """Kill a worker so many times in the middle of a walk; return what became of the walks."""
    source = random.Random(SEED)
    told = {"kills": 0, "asked": 0, "answered": 0, "other_answers": 0, "begun_again": 0,
            "events_sent": 0, "events_lost": 0, "faults_of_the_record": 0}  # fmt: skip
    with tempfile.TemporaryDirectory(prefix="wainscot-") as place, ExitStack() as held:
        folder, address = Path(place) / "record", cluster.new()
        store = held.enter_context(closing(Store.create(folder, device="office", address=address)))
        store.save(HOUSE, at=bench_hosts.NOW, writer="w")
        urls = [held.enter_context(fleet.server(folder, address))[0] for _ in range(2)]
        working = ExitStack()
        working.enter_context(fleet.worker(folder, address))
        for n in range(count):
            other = held.enter_context(ExitStack())
            _round(n, urls, working, partial(_start, other, folder, address), source, told)
            working = other
        with store.database.reading() as connection:
            again = "SELECT count(*) FROM work WHERE tries > 1"
            told["begun_again"] = connection.exec_driver_sql(again).scalar_one()
        told["events_lost"] = told["events_sent"] - (store.counts().events - 4)
        told["faults_of_the_record"] = sum(one.state == "bad" for one in check_store(store))
    return told


def _start(held: ExitStack, folder: Path, address: str) -> None:
    held.enter_context(fleet.worker(folder, address))


def _round(
    n: int, urls: list[str], working: ExitStack, start: Callable[[], None],
    source: random.Random, told: Found,
) -> None:  # fmt: skip
    """Ask for a walk, kill who works, start another, and hold the answer against the other's."""
    with httpx.Client(timeout=600) as phone:
        asked = phone.post(f"{urls[0]}/api/jobs/house/walks", json={"seed": n, "draws": 256}).json()
        told["asked"] += 1
        path = f"/api/jobs/house/walks/{asked['id']}"
        while phone.get(f"{urls[1]}{path}").json()["state"] == "waiting":
            time.sleep(0.02)
        time.sleep(source.uniform(0.0, 0.3))
        working.close()  # SIGKILL
        told["kills"] += 1
        lines = bench_hosts.day(n, 20)[0]
        got = phone.post(f"{urls[1]}/api/jobs/job_{n}/events", json={"lines": lines}).json()
        told["events_sent"] += got["tally"]["added"]
        start()
        with phone.stream("GET", f"{urls[1]}{path}/progress") as flow:
            last = [line for line in flow.iter_lines() if line.startswith("event: ")][-1]
        answers = {phone.get(f"{url}{path}/answer").content for url in urls}
        told["answered"] += last == "event: done"
        told["other_answers"] += len(answers) != 1


def backups(cluster: Any) -> Found:
    """Take backups under load and restore each, in both databases and across."""
    from restores import backups as taken

    turn = iter(range(10**9))

    def either() -> str:
        address: str = cluster.new() if next(turn) % 2 == 0 else ""
        return address

    found = {}
    for name, fresh in (("sqlite", lambda: ""), ("postgresql", cluster.new), ("either", either)):
        with tempfile.TemporaryDirectory(prefix="wainscot-") as place:
            found[name] = taken(Path(place), BACKUPS, DAMAGED, SEED, fresh)
    return found


def run(count: int) -> Found:
    """Return what was lost, which is to be nothing."""
    with fleet.postgres() as cluster:
        killed, taken = kills(cluster, count), backups(cluster)
    lost = killed["asked"] - killed["answered"] + sum(
        killed[one] for one in ("other_answers", "events_lost", "faults_of_the_record")
    )  # fmt: skip
    sound = all(
        one["taken"] == one["restored"] and one["damaged"] == one["found"] and not one["short"]
        for one in taken.values()
    )
    return {"seed": SEED, "walks": killed, "backups": taken, "passes": sound and not lost}

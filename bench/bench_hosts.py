"""Several hosts on one PostgreSQL: a day of 200 crews in, walks out of the queue."""

from __future__ import annotations

import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from pathlib import Path

import httpx

from bench import fleet
from bench.table import Row
from wainscot import demos
from wainscot import job as jobs
from wainscot.job import Job
from wainscot.record import event, line_of
from wainscot.store import Store

NOW = "2025-03-14T10:00:00+00:00"
CREWS, EVENTS, BATCH = 200, 180, 20
"""Crews, events of each in a day, events that a phone sends at once (judgement: three visits)."""

WALKS = 8


def day(crew: int, events: int = EVENTS) -> list[list[str]]:
    """Return a crew's day as batches of lines, of one job and one phone."""
    made, prev = [], ""
    for n in range(1, events + 1):
        one = event("set", job=f"job_{crew}", device=f"phone_{crew}", seq=n, prev=prev, at=NOW,
                    entity=f"room_{n % 12}", field="name", value=f"Room {n}")  # fmt: skip
        prev = one.id
        made.append(line_of(one).decode())
    return [made[n : n + BATCH] for n in range(0, events, BATCH)]


def sent(url: str, crews: int = CREWS, at_once: int = 8) -> tuple[float, float, int]:
    """Send a day of so many crews, and return the time, the 95th percentile of a request, requests.

    Parameters
    ----------
    url : str
        Of a server.
    crews, at_once : int
        How many crews, and how many requests at once.
    """
    days = [(crew, day(crew)) for crew in range(crews)]
    times: list[float] = []

    def send(one: tuple[int, list[list[str]]]) -> None:
        with httpx.Client(timeout=300) as phone:
            for lines in one[1]:
                start = time.perf_counter()
                got = phone.post(f"{url}/api/jobs/job_{one[0]}/events", json={"lines": lines})
                times.append(time.perf_counter() - start)
                if got.json()["tally"]["added"] != len(lines):
                    raise SystemExit(f"not all were taken: {got.text[:200]}")

    start = time.perf_counter()
    with ThreadPoolExecutor(at_once) as phones:
        list(phones.map(send, days))
    took = time.perf_counter() - start
    return took, sorted(times)[int(0.95 * len(times))], len(times)


def walked(url: str, names: list[str], seed: int) -> float:
    """Ask for a walk of each job, wait for all, and return how long that took. [s]"""
    with httpx.Client(timeout=600) as phone:
        start = time.perf_counter()
        waiting = {
            name: phone.post(f"{url}/api/jobs/{name}/walks", json={"seed": seed}).json()["id"]
            for name in names
        }
        for name, walk in waiting.items():
            with phone.stream("GET", f"{url}/api/jobs/{name}/walks/{walk}/progress") as told:
                last = [line for line in told.iter_lines() if line.startswith("event: ")][-1]
            if last != "event: done":
                raise SystemExit(f"a walk ended: {last}")
        return time.perf_counter() - start


def houses(store: Store, *which: str) -> list[str]:
    """Put a demo house into each of so many jobs, and return their names."""
    names = [f"house_{n}" for n in range(len(which))]
    for name, one in zip(names, which, strict=True):
        demo = jobs.read(demos.text(one))
        store.save(Job(name, demo.title, demo.units, demo.entities), at=NOW, writer=f"w_{name}")
    return names


def rows() -> list[Row]:
    """Return what was measured."""
    found = []
    with fleet.postgres() as cluster, tempfile.TemporaryDirectory(prefix="wainscot-") as place:
        for name, address in (("SQLite", ""), ("PostgreSQL", cluster.new())):
            folder = Path(place) / name
            Store.create(folder, device="office", address=address).close()
            with fleet.server(folder, address) as (url, number):
                took, p95, count = sent(url)
                busy = fleet.used(number)
            what = f"sync of {CREWS} crews' day, {CREWS * EVENTS} events, {name}"
            told = f"{count} requests, p95 {p95 * 1000:.0f} ms, processor {busy:.0f} s"
            found.append(Row(what, took, None, told))
        folder = Path(place) / "PostgreSQL"
        with closing(Store.open(folder, now=NOW, address=address)) as store:
            names = houses(store, *["garden_office"] * WALKS)
        for workers in (1, 2):
            with ExitStack() as held:
                url, _ = held.enter_context(fleet.server(folder, address))
                for _ in range(workers):
                    held.enter_context(fleet.worker(folder, address))
                walked(url, names[:2], seed=10 + workers)  # so that everything is loaded
                took = walked(url, names, seed=20 + workers)
            told = f"{60 * WALKS / took:.1f} walks a minute"
            found.append(
                Row(f"{WALKS} walks of the garden office, {workers} workers", took, None, told)
            )
    return found

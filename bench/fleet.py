"""A PostgreSQL, servers and workers to measure with, each in a process of its own."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from cluster import Cluster, programs

_SERVE = """
import sys
from pathlib import Path
from wainscot.api.serve import Wish, serve
from wainscot.api.settings import Limits
from wainscot.store import Store
folder, address, port = sys.argv[1:]
store = Store.open(Path(folder), now="2025-03-14T10:00:00+00:00", address=address)
serve(Wish(port=int(port), limits=Limits(requests=10**9)), store)
"""


@contextmanager
def postgres() -> Iterator[Cluster]:
    """Give a PostgreSQL that flushes, in a folder of its own."""
    found = programs()
    if found is None:
        raise SystemExit("PostgreSQL is not installed (Debian: apt-get install postgresql)")
    made = Cluster(found, fsync=True)
    try:
        yield made
    finally:
        made.stop()


@contextmanager
def started(says: str, *command: str, **env: str) -> Iterator[int]:
    """Give the process number of a program that said that it is ready; it is ended afterwards."""
    process = subprocess.Popen([sys.executable, *command], env={**os.environ, **env}, text=True,
                               stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)  # fmt: skip
    try:
        assert process.stdout is not None
        if says not in process.stdout.readline():
            raise SystemExit(f"{command} did not start")
        yield process.pid
    finally:
        process.kill()
        process.communicate()


@contextmanager
def server(folder: Path, address: str) -> Iterator[tuple[str, int]]:
    """Give address and process number of a server without a limit of requests."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with started("wainscot serves", "-c", _SERVE, str(folder), address, str(port)) as number:
        yield f"http://127.0.0.1:{port}", number


@contextmanager
def worker(folder: Path, address: str) -> Iterator[int]:
    """Give the process number of a worker."""
    env = {"WAINSCOT_DATABASE": address, "WAINSCOT_RECORD": str(folder)}
    with started("wainscot works", "-m", "wainscot", "worker", "--silence", "3", **env) as number:
        yield number


def used(number: int, *, children: bool = True) -> float:
    """Return the processor's time that a process has used, with children that ended. [s]"""
    fields = Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()
    ticks = sum(int(one) for one in fields[11 : 15 if children else 13])
    return ticks / os.sysconf("SC_CLK_TCK")


def used_by_all(number: int) -> float:
    """Return the processor's time that a process and all that it started have used. [s]"""
    here = [int(one) for part in Path(f"/proc/{number}/task").glob("*/children")
            for one in part.read_text().split()]  # fmt: skip
    return used(number) + sum(used_by_all(one) for one in here)

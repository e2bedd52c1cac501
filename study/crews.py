"""How many crews one host holds, and where the second pays: a working day, simulated.

    python -m study crews

What a request, a photo and a walk take is measured first, as time of the processor, so that it does
not hang on what else the machine does.  The day itself (visits, events, photos, walks, signal) is
judgement: common practice, no source.  Requests go through one server process, one at a time; walks
through as many workers as there are cores left.

Limits: phones, the line and PostgreSQL's own time are not in it; a host's cores are all taken to be
like this machine's.
"""

from __future__ import annotations

import hashlib
import heapq
import io
import tempfile
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import numpy as np

SEED = 91_000
DAYS = 20
CREWS = (10, 25, 50, 100, 200, 400, 800)
CORES = 4

VISITS = 3
"""Visits of a crew in a day."""
VISIT = 2 * 3600.0
"""How long a visit takes. [s]"""
EVENTS, BATCH = 60, 20
"""Events of a visit, and how many are sent at once."""
PHOTOS, PHOTO_BYTES = 20, 2_500_000
"""Photos of a visit, and bytes of one."""
WALKS = 6
"""Walks that are asked for in a visit."""
NO_SIGNAL = 0.3
"""Share of visits that send everything when they are over, within ten minutes."""
HOUSES = ("terraced_cottage", "garden_office", "corner_cafe", "semi_1930s")
"""Demo houses that are walked, each as often as another."""
MOST_WALK, MOST_REQUEST = 30.0, 2.0
"""What 19 of 20 walks and 19 of 20 requests may take from asking to answer. [s]"""

Found = dict[str, Any]


def waits(arrivals: Sequence[float], services: Sequence[float], servers: int) -> np.ndarray:
    """Return how long each waits until it is served, first come first served. [s]

    Parameters
    ----------
    arrivals, services : sequence of float
        When each comes, in order, and how long it takes. [s]
    servers : int
        How many are served at once.
    """
    free = [0.0] * servers
    found = np.empty(len(arrivals))
    for n, (at, takes) in enumerate(zip(arrivals, services, strict=True)):
        begin = max(at, heapq.heappop(free))
        found[n] = begin - at
        heapq.heappush(free, begin + takes)
    return found


def working_day(crews: int, source: np.random.Generator) -> tuple[np.ndarray, ...]:
    """Return when batches of events, photos and walks come in a day, each in order. [s]"""
    starts = [
        8 * 3600.0 + visit * (VISIT + 3600.0) + source.uniform(0, 1800.0)
        for _ in range(crews) for visit in range(VISITS)
    ]  # fmt: skip
    silent = source.random(len(starts)) < NO_SIGNAL
    return tuple(
        np.sort(np.concatenate([_times(start, quiet, mean, source)
                                for start, quiet in zip(starts, silent, strict=True)]))
        for mean in (EVENTS / BATCH, PHOTOS, WALKS)
    )  # fmt: skip


def _times(start: float, quiet: bool, mean: float, source: np.random.Generator) -> np.ndarray:
    if not quiet:
        return start + source.uniform(0, VISIT, source.poisson(mean))
    # Without signal nothing is asked of the office during the visit; one walk at its end.
    count = 1 if mean == WALKS else source.poisson(mean)
    return start + VISIT + source.uniform(0, 600.0, count)


def simulated(crews: int, hosts: int, takes: Found, seed: int) -> Found:
    """Return what a day looks like with so many crews and hosts of :data:`CORES` cores."""
    source = np.random.default_rng(seed)
    events, photos, walks = working_day(crews, source)
    workers = hosts * CORES - 1  # one core is the server's
    walk_takes = source.choice(takes["walks"], len(walks))
    walk_waits = waits(walks, walk_takes, workers) + walk_takes
    at = np.concatenate([events, photos])
    each = np.concatenate([np.full(len(events), takes["events"]),
                           np.full(len(photos), takes["photo"])])  # fmt: skip
    order = np.argsort(at)
    request = waits(at[order], each[order], 1) + each[order]
    return {
        "events": BATCH * len(events), "photos": len(photos), "walks": len(walks),
        "gigabytes": len(photos) * PHOTO_BYTES / 1e9,
        "walk_p95": float(np.quantile(walk_waits, 0.95)), "walk_most": float(walk_waits.max()),
        "request_p95": float(np.quantile(request, 0.95)), "request_most": float(request.max()),
        "server_busy": float(each.sum() / (10 * 3600.0)),
        "workers_busy": float(walk_takes.sum() / (10 * 3600.0 * workers)),
    }  # fmt: skip


def measured() -> Found:
    """Return what a batch of events, a photo and a walk take of the processor. [s]"""
    from bench import bench_hosts, fleet

    from wainscot.store import Store

    with fleet.postgres() as cluster, tempfile.TemporaryDirectory(prefix="wainscot-") as place:
        folder, address = Path(place) / "record", cluster.new()
        with closing(Store.create(folder, device="office", address=address)) as store:
            names = bench_hosts.houses(store, *HOUSES)
        with fleet.server(folder, address) as (url, server), \
                fleet.worker(folder, address) as worker:  # fmt: skip
            before = fleet.used(server)
            _, _, requests = bench_hosts.sent(url, crews=30, at_once=4)
            events = (fleet.used(server) - before) / requests
            photo = _photo(url, server)
            walks = []
            for seed, name in enumerate((*names[:1], *names)):  # the first loads everything
                start = fleet.used_by_all(worker)
                bench_hosts.walked(url, [name], seed=seed)
                walks.append(fleet.used_by_all(worker) - start)
    return {"events": events, "photo": photo, "walks": walks[1:]}


def _photo(url: str, server: int, count: int = 8) -> float:
    """Return what taking a photo takes, with looking at it in a process of its own. [s]"""
    import httpx
    from bench import fleet

    before = fleet.used_by_all(server)
    for seed in range(count):
        data = _picture(seed)
        path = f"{url}/api/jobs/job_1/photos/{hashlib.sha256(data).hexdigest()}"
        got = httpx.put(path, content=data, timeout=300)
        if got.status_code != 201:
            raise SystemExit(f"a photo was not taken: {got.status_code} {got.text[:200]}")
    return (fleet.used_by_all(server) - before) / count


def _picture(seed: int) -> bytes:
    """Return a JPEG of about :data:`PHOTO_BYTES` and twelve million pixels."""
    from PIL import Image

    source = np.random.default_rng(seed)
    coarse = source.integers(0, 255, (600, 800, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(coarse).resize((4000, 3000)).save(out, "JPEG", quality=88)
    return out.getvalue()


def held(takes: Found, hosts: int) -> tuple[Found, int]:
    """Return each number of crews with what a day of it looks like, and the most that is held."""
    table, most = {}, 0
    for crews in CREWS:
        days = [simulated(crews, hosts, takes, SEED + n) for n in range(DAYS)]
        worst = {name: round(max(one[name] for one in days), 3) for name in days[0]}
        table[str(crews)] = worst
        if worst["walk_p95"] <= MOST_WALK and worst["request_p95"] <= MOST_REQUEST:
            most = crews
    return table, most


def run(days: int) -> Found:
    """Return what one host and two hold; figures are the worst of so many days."""
    del days
    takes = measured()
    found: Found = {"first_seed": SEED, "days": DAYS, "cores_a_host": CORES, "takes_seconds": takes}
    for hosts in (1, 2):
        table, most = held(takes, hosts)
        found[f"hosts_{hosts}"] = {"crews": table, "held": most}
    found["limits_seconds"] = {"walk_p95": MOST_WALK, "request_p95": MOST_REQUEST}
    found["passes"] = found["hosts_1"]["held"] > 0
    return found

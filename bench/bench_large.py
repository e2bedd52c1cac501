"""A simulated house of some 20,000 voids diagnosed as a whole; minutes, so only when named.

python -m bench large
"""

from __future__ import annotations

import resource
import sys
import time

from bench.table import Row
from wainscot.diagnosis import cases, diagnose
from wainscot.simulate import house, inspect, spread

SEED, STOREYS, ROOMS, VISITS = 5, 10, 90, 20
BY_NAME_ALONE = True
"""Left out of the whole bench."""


def rows() -> list[Row]:
    """Return the cases (plan, voids, signs) by themselves, and the diagnosis with them."""
    job = house(SEED, STOREYS, ROOMS)
    job = inspect(job, spread(job, SEED), SEED, visits=VISITS)
    start = time.perf_counter()
    cases(job)
    read = time.perf_counter() - start
    start, busy = time.perf_counter(), time.process_time()
    answer, _ = diagnose(job, seed=SEED)
    took, busy = time.perf_counter() - start, time.process_time() - busy
    unit = 1e6 if sys.platform == "linux" else 1e9
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit
    settled = "settled" if answer.settled else "not settled"
    what = f"{len(answer.voids):,} voids"
    return [
        Row(f"{what}: plan, voids and signs", read),
        Row(f"{what}: diagnosis, these included", took, 120.0,
            f"{settled}, {busy:.0f} s of processor, peak {most:.1f} GB"),
    ]  # fmt: skip

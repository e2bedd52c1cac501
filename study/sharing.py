"""Houses shared out to processes, each with one thread for its algebra.

Limits: ``STUDY_PROCESSES`` says how many; as many as the machine has cores if it says nothing.  A
result never depends on it.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from typing import Any


def shared_out(function: Callable[[Any], Any], tasks: Iterable[Any]) -> list[Any]:
    """Return a function's values for every task, in the order of the tasks.

    Parameters
    ----------
    function : callable
        Of a module, so that another process can load it.
    tasks : iterable
        What it is called with.
    """
    # Before any process loads its algebra: threads of their own would only get in each other's way.
    os.environ |= dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
    count = int(os.environ.get("STUDY_PROCESSES", os.cpu_count() or 1))
    spawned = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(count, mp_context=spawned) as pool:
        return list(pool.map(function, tasks))

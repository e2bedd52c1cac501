"""Houses shared out to processes, each with one thread for its algebra.

What a task gave is kept in ``out/study`` until the study is written, so that one that was broken
off goes on where it was.

Limits: ``STUDY_PROCESSES`` says how many; as many as the machine has cores if it says nothing.  A
result never depends on it.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import shutil
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

KEPT = Path("out") / "study"


def shared_out(name: str, function: Callable[[Any], Any], tasks: Iterable[Any]) -> list[Any]:
    """Return a function's values for every task, in the order of the tasks.

    Parameters
    ----------
    name : str
        Of the study: where its values are kept.
    function : callable
        Of a module, so that another process can load it; gives what JSON can hold.
    tasks : iterable
        What it is called with.
    """
    # Before any process loads its algebra: threads of their own would only get in each other's way.
    os.environ |= dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
    count = int(os.environ.get("STUDY_PROCESSES", os.cpu_count() or 1))
    spawned = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(count, mp_context=spawned) as pool:
        return list(pool.map(partial(_kept, KEPT / name, function), tasks))


def _kept(folder: Path, function: Callable[[Any], Any], task: Any) -> Any:
    """Return what a task gives; from the folder where it was worked out before."""
    file = folder / f"{_name(task)}.json"
    if not file.exists():
        folder.mkdir(parents=True, exist_ok=True)
        half = file.with_suffix(".half")
        half.write_text(json.dumps(function(task)))
        half.rename(file)
    return json.loads(file.read_text())


def _name(task: Any) -> str:
    parts = task if isinstance(task, tuple) else (task,)
    return "_".join(str(one).replace(" ", "_") for one in parts)


def done_with(name: str) -> None:
    """Forget what was kept of a study: its results are written."""
    shutil.rmtree(KEPT / name, ignore_errors=True)

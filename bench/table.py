"""One row of the table, a stopwatch, and how rows are printed."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from typing import NamedTuple


class Row(NamedTuple):
    """One measured figure beside the number to reach."""

    what: str
    seconds: float
    target: float | None = None
    note: str = ""


def median_seconds(work: Callable[[], object], runs: int = 5) -> float:
    """Return the median wall time of ``work`` over ``runs`` runs, after one that is not counted.

    Parameters
    ----------
    work : callable
        Takes nothing; its result is thrown away.
    runs : int
        Counted runs.
    """
    work()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def show(rows: Sequence[Row]) -> str:
    """Return the rows as a Markdown table."""
    lines = ["| what | measured | to reach | note |", "|---|---|---|---|"]
    for row in rows:
        target = "" if row.target is None else _seconds(row.target)
        lines.append(f"| {row.what} | {_seconds(row.seconds)} | {target} | {row.note} |")
    return "\n".join(lines)


def _seconds(value: float) -> str:
    return f"{value * 1000:.0f} ms" if value < 1 else f"{value:.2f} s"

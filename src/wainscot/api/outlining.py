"""Outlines of the voids of a job while it is drawn, and what is said to cuts that somebody drew: a
process of its own, so that a walk that runs does not hold them up, and one plan that takes too long
does not hold up the server.

Limits: one at a time; who asks while another is served waits for that one.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import Literal

import msgspec

from wainscot.api.running import Worker
from wainscot.job import Job

MOST_TIME = 20.0
"""How long the outlines of one job may take; a judgement. [s]"""
_KEPT = 20


class Outlines:
    """The outlines that were asked for last."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._worker: Worker | None = None
        self._kept: OrderedDict[tuple[str, str, int], bytes] = OrderedDict()

    def of(
        self, job_id: str, *, through: int, job: Job, task: Literal["outlines", "cuts"] = "outlines"
    ) -> bytes:
        """Return the outlines as JSON; empty where the job has faults or they took too long.

        Parameters
        ----------
        job_id : str
            Of which job.
        through : int
            Number of the job's last event, which names its state.
        job : Job
            The job in that state.
        task : {"outlines", "cuts"}
            The outlines, or what is said to the cuts that somebody drew.
        """
        with self._lock:
            key = (task, job_id, through)
            if key not in self._kept:
                self._kept[key] = self._made(task, msgspec.msgpack.encode(job))
                while len(self._kept) > _KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]

    def close(self) -> None:
        """End the process."""
        with self._lock:
            self._stop()

    def _made(self, task: str, packed: bytes) -> bytes:
        if self._worker is None or not self._worker.alive():
            self._worker = Worker()
        pipe = self._worker.pipe
        try:
            pipe.send((task, packed))
            if pipe.poll(MOST_TIME):
                kind, value = pipe.recv()
                return value if kind == "done" else b""
        except (EOFError, OSError):
            pass
        self._stop()
        return b""

    def _stop(self) -> None:
        if self._worker is not None:
            self._worker.stop()
            self._worker = None

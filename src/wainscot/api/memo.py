"""What was read of each job, kept until its events move on.

Limits: it stays in the memory of one process until the job changes or :meth:`Memo.forget` is
called.
"""

from __future__ import annotations

import threading
from abc import ABC, abstractmethod
from typing import Generic, Protocol, TypeVar

from wainscot.store import Store


class Read(Protocol):
    """What is read of one job."""

    @property
    def through(self) -> int:
        """Number of the last event that it tells of."""


T = TypeVar("T", bound=Read)


class Memo(ABC, Generic[T]):
    """What was read of the jobs of a record.

    Parameters
    ----------
    store : Store
        The record.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self._kept: dict[str, T] = {}
        self._lock = threading.Lock()

    @abstractmethod
    def read(self, job_id: str, through: int, before: T | None) -> T:
        """Read a job.

        Parameters
        ----------
        job_id : str
            Any id.
        through : int
            Number of its last event; 0 where there is no such job.
        before : optional
            What was read of it when it had fewer events.
        """

    def of(self, job_id: str) -> T:
        """Return what is read of a job as its events stand now.

        Parameters
        ----------
        job_id : str
            Any id.
        """
        through = self.store.through(job_id)
        with self._lock:
            before = self._kept.get(job_id)
        if before is not None and before.through == through:
            return before
        found = self.read(job_id, through, before)
        if through:  # ids that are no job's take no room
            with self._lock:
                self._kept[job_id] = found
        return found

    def forget(self, job_id: str) -> None:
        """Read a job anew when it is asked for next, as after somebody was erased in it."""
        with self._lock:
            self._kept.pop(job_id, None)

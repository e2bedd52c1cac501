"""The firm's own score on the server: closed jobs gone through one after the other, aside.

    told = scores.asked(rates)      # at once: what is known so far, and how many jobs still wait

Every closed job is gone through once for each state of its record and of the firm's rates; one job
at a time, in a thread that ends with the last.

Limits: what was counted is kept in memory; a job that cannot be read again counts as one without
openings and is told in the log.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from wainscot.api.logs import about
from wainscot.api.office_shapes import Proportion, ScoreAnswer, ScoreRow
from wainscot.store import Store

if TYPE_CHECKING:
    from wainscot.score import JobScore, Share

Key = tuple[str, int, str]
DRAWS = 2048


class Scores:
    """What closed jobs came to, kept up as the record grows.

    Parameters
    ----------
    store : Store
        The record.
    tell : callable
        Is told of a job that cannot be gone through.
    """

    def __init__(self, store: Store, tell: Callable[..., Any]) -> None:
        self._store, self._tell = store, tell
        self._found: dict[Key, JobScore | None] = {}
        self._waiting: list[Key] = []
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def asked(self, rates: str) -> ScoreAnswer:
        """Return the score as far as it is known, and see to the rest.

        Parameters
        ----------
        rates : str
            The firm's rates as they are saved (JSON); empty for the defaults.
        """
        keys = [(one.job, one.through, rates) for one in self._store.held()]
        wanted = set(keys)
        with self._lock:
            self._found = {key: one for key, one in self._found.items() if key in wanted}
            self._waiting = [key for key in keys if key not in self._found]
            waiting = len(self._waiting)
            known = [one for one in self._found.values() if one is not None]
            if waiting and (self._thread is None or not self._thread.is_alive()):
                self._thread = threading.Thread(target=self._work, name="score", daemon=True)
                self._thread.start()
        return _answer(known, waiting)

    def wait(self, seconds: float) -> None:
        """Wait until nothing is being gone through.

        Parameters
        ----------
        seconds : float
            At most so long. [s]
        """
        thread = self._thread
        if thread is not None:
            thread.join(seconds)

    def close(self) -> None:
        """Leave what waits; the job in hand ends by itself."""
        with self._lock:
            self._waiting = []

    def _work(self) -> None:
        while True:
            with self._lock:
                if not self._waiting:
                    self._thread = None
                    return
                key = self._waiting.pop(0)
            found = self._one(key)
            with self._lock:
                self._found[key] = found

    def _one(self, key: Key) -> JobScore | None:
        """Return what one job came to; None where it was never closed."""
        from wainscot.api.own_rates import book_of
        from wainscot.score import JobScore, ended, of_job

        job_id, _, rates = key
        try:
            if not ended(self._store.job(job_id)):
                return None
            events = self._store.events(job_id)
            return of_job(events, job_id, draws=DRAWS, book=book_of(rates))
        # A job that one step cannot read must not keep the others from being counted.
        except Exception as error:
            self._tell("score", **about(error))
            return JobScore(job_id, "")


def _answer(known: list[JobScore], waiting: int) -> ScoreAnswer:
    from wainscot.score import score_of

    score = score_of(known)
    rows = [ScoreRow(row.band, _share(row.right), row.claimed, row.jobs) for row in score.rows]
    return ScoreAnswer(score.jobs, waiting, rows, _share(score.callbacks), score.not_drawn,
                       score.left_out)  # fmt: skip


def _share(one: Share) -> Proportion:
    return Proportion(one.hits, one.of, one.low, one.high)

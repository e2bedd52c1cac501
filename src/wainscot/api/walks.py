"""Walks in processes of their own, one at a time a job: newer input takes the place of older.

    made = walks.ask("job_mill", through=40, job=job, seed=1, draws=4096)
    walks.state(made.id)

Asking again for what is running or done gives the same walk.  Asking with newer input, or writing
to the job, ends the older one at once: its process is stopped and the next takes its place.

Limits: answers are kept in memory, the last of each job, and two hundred walks, sheets and papers
at most.
"""

from __future__ import annotations

import queue
import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from functools import partial
from typing import Any

import msgspec

from wainscot.api.running import State, Worker, kept, run
from wainscot.api.shapes import Trouble
from wainscot.api.walking import Wanted
from wainscot.job import Job

_ENDED = ("done", "failed", "superseded")
_KEPT = 200
NOTHING: Wanted = ((), (), None)
"""Nothing in particular is wanted of the openings."""


class Walk:
    """One walk as it stands; changed under the lock of :class:`Walks` only."""

    def __init__(
        self,
        job_id: str,
        through: int,
        seed: int,
        draws: int,
        task: tuple[Any, ...],
        ranges: bool = False,
        wanted: Wanted = NOTHING,
        rates: str = "",
    ) -> None:
        self.id = f"walk_{secrets.token_hex(8)}"
        self.job = job_id
        self.through = through
        self.seed = seed
        self.draws = draws
        self.ranges = ranges
        self.wanted = wanted
        self.rates = rates
        self.task = task
        self.state: State = "waiting"
        self.share = 0.0
        self.by = ""
        self.reason = ""
        self.faults: tuple[Trouble, ...] = ()
        self.answer = b""
        self.keep: Callable[[bytes], bytes] | None = None
        """What is done with its answer before it counts as done; what it gives is the answer."""
        self.pocket = b""
        """What a phone carries of it, packed by gzip."""

    @property
    def ended(self) -> bool:
        """Whether nothing more will happen to it."""
        return self.state in _ENDED

    def serves(self, other: Walk) -> bool:
        """Whether who asks for another gets the answer of this one.

        Parameters
        ----------
        other : Walk
            Of the same job.
        """
        same = (self.through, self.seed, self.draws, self.wanted, self.rates) == (
            other.through, other.seed, other.draws, other.wanted, other.rates
        )  # fmt: skip
        live = self.state not in ("failed", "superseded")
        return same and live and (self.ranges or not other.ranges)


def walk_task(
    job: Job, seed: int, draws: int, ranges: bool, wanted: Wanted, rates: str
) -> tuple[Any, ...]:
    """Return the task of a walk, as :data:`wainscot.api.walking.TASKS` has it."""
    return "walk", msgspec.msgpack.encode(job), seed, draws, ranges, wanted, rates


def sheet_task(walk: Walk, job: Job, which: str, size: str) -> tuple[Any, ...]:
    """Return the task of the opening sheet of a walk."""
    packed = msgspec.msgpack.encode(job)
    return "sheet", packed, walk.seed, walk.draws, walk.wanted, walk.rates, which, size


def _as_it_is(job: str, account: str, made: bytes) -> bytes:
    del job, account
    return made


class Walks:
    """The walks of a server.

    Parameters
    ----------
    workers : int
        Processes.
    most : float
        How long one may take. [s]
    paper : callable, optional
        Called with job, account and what was made; keeps a paper, and what it gives is the answer.
    """

    def __init__(
        self, workers: int, most: float, paper: Callable[[str, str, bytes], bytes] = _as_it_is
    ) -> None:
        self._most = most
        self._paper = paper
        self._lock = threading.Lock()
        self._waiting: queue.SimpleQueue[Walk | None] = queue.SimpleQueue()
        self._walks: OrderedDict[str, Walk] = OrderedDict()
        self._last: dict[str, Walk] = {}
        self._sheets: dict[str, Walk] = {}
        self._closing = threading.Event()
        self._threads = [
            threading.Thread(target=self._serve, name=f"walks-{n}", daemon=True)
            for n in range(workers)
        ]
        self._started = False

    def ask(
        self,
        job_id: str,
        *,
        through: int,
        job: Job,
        seed: int,
        draws: int,
        ranges: bool = False,
        wanted: Wanted = NOTHING,
        rates: str = "",
    ) -> Walk:
        """Begin a walk, or return the one of the same input.

        Parameters
        ----------
        job_id : str
            Of which job.
        through : int
            Number of the job's last event, which names its state.
        job : Job
            The job in that state.
        seed, draws : int
            As :func:`wainscot.walk.walk` takes them.
        ranges : bool
            Whether the range of every void is wanted; a walk with them serves one without too.
        wanted : (must, without, most)
            What has to be opened, what not, and for how much, as :class:`WalkAsk` takes them.
        rates : str
            The firm's own rates as JSON; the defaults if empty.
        """
        with self._lock:
            last = self._last.get(job_id)
            task = walk_task(job, seed, draws, ranges, wanted, rates)
            made = Walk(job_id, through, seed, draws, task, ranges, wanted, rates)
            if last and last.serves(made):
                return last
            self._supersede(last, made.id)
            if last is not None:
                last.task, last.answer, last.pocket = (), b"", b""
            self._last[job_id] = made
            self._begin(made)
        return made

    def ask_sheet(self, walk: Walk, job: Job, *, which: str, size: str) -> Walk:
        """Begin the opening sheet of a walk that is done; its answer is the PDF.

        Parameters
        ----------
        walk : Walk
            Whose openings.
        job : Job
            The job as it was walked.
        which, size : str
            As :class:`SheetAsk` takes them.
        """
        task = sheet_task(walk, job, which, size)
        made = Walk(walk.job, walk.through, walk.seed, walk.draws, task)
        with self._lock:
            before = self._sheets.get(walk.job)
            if before is not None:
                before.answer = b""
            self._sheets[walk.job] = made
            self._begin(made)
        return made

    def ask_paper(
        self, job_id: str, through: int, task: tuple[Any, ...], account: str = ""
    ) -> Walk:
        """Begin a paper; newer input does not end it, for it tells of the job as it was asked of.

        Parameters
        ----------
        job_id : str
            Of which job.
        through : int
            Number of the job's last event.
        task : tuple
            What :func:`wainscot.api.walking.paper` takes, after its name.
        account : str, optional
            Who has it made.
        """
        made = Walk(job_id, through, 1, 4096, task)
        made.keep = partial(self._paper, job_id, account)
        with self._lock:
            self._begin(made)
        return made

    def _begin(self, made: Walk) -> None:
        """Keep what was asked for, let go of the oldest, and have it done."""
        self._walks[made.id] = made
        while len(self._walks) > _KEPT:
            _, old = self._walks.popitem(last=False)
            for last in (self._last, self._sheets):
                if last.get(old.job) is old:
                    del last[old.job]
        if not self._started:
            self._started = True
            for thread in self._threads:
                thread.start()
        self._waiting.put(made)

    def find(self, walk_id: str) -> Walk | None:
        """Return a walk by its id."""
        with self._lock:
            return self._walks.get(walk_id)

    def last_done(self, job_id: str) -> Walk | None:
        """Return the last walk of a job, if it is done and its answer is kept."""
        with self._lock:
            last = self._last.get(job_id)
            return last if last and last.state == "done" and last.answer else None

    def running(self, job_id: str) -> Walk | None:
        """Return the walk of a job that has not ended."""
        with self._lock:
            last = self._last.get(job_id)
            return last if last and not last.ended else None

    def forget(self, job_id: str) -> None:
        """End what is under way of a job, and let go of all that was answered of it."""
        with self._lock:
            for one in [walk for walk in self._walks.values() if walk.job == job_id]:
                self._supersede(one, "")
                one.task, one.answer, one.pocket = (), b"", b""
                del self._walks[one.id]
            self._last.pop(job_id, None)
            self._sheets.pop(job_id, None)

    def worked_on(self) -> bool:
        """Whether somebody does what is asked for: this server itself."""
        return True

    def close(self) -> None:
        """End every walk and its process."""
        self._closing.set()
        with self._lock:
            for one in self._walks.values():
                self._supersede(one, "")
        for _ in self._threads:
            self._waiting.put(None)
        for thread in self._threads:
            if thread.is_alive():
                thread.join(5.0)

    def _supersede(self, walk: Walk | None, by: str) -> None:
        if walk is not None and not walk.ended:
            walk.state, walk.by = "superseded", by

    def _serve(self) -> None:
        """Run walks one after the other, each in the process that the last one left, if it did."""
        worker: Worker | None = None
        while (walk := self._waiting.get()) is not None:
            with self._lock:
                if walk.state != "waiting":
                    continue
                walk.state = "running"
            if worker is None or not worker.alive():
                worker = Worker()
            if not self._run(walk, worker):
                worker.stop()
                worker = None
        if worker is not None:
            worker.stop()

    def _run(self, walk: Walk, worker: Worker) -> bool:
        """Run one walk; return whether the process can take another."""

        def wanted(share: float) -> bool:
            walk.share = share
            return walk.state == "running"

        ended = run(worker, walk.task, self._most, wanted)
        # Of a job that was forgotten meanwhile, as where somebody was erased, no paper is kept.
        if walk.state == "running":
            ended = kept(ended, walk.keep)
        if ended.state:
            self._end(walk, ended.state, answer=ended.answer, pocket=ended.pocket,
                      reason=ended.reason, faults=ended.faults)  # fmt: skip
        return ended.reusable

    def _end(self, walk: Walk, state: State, **values: Any) -> None:
        with self._lock:
            if walk.state == "running":
                for name, value in values.items():
                    setattr(walk, name, value)
                walk.share = 1.0 if state == "done" else walk.share
                walk.state, walk.task = state, ()

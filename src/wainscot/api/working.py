"""A worker: does what servers on any host asked for, any number at once.

    work(store, processes=2)

It ends gracefully: what is under way may take half a minute more, then it is given back and another
worker begins it anew.  A worker that was killed is found by its silence: its tasks are taken over.
"""

from __future__ import annotations

import asyncio
import contextlib
import datetime
import queue
import secrets
import time
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

import msgspec

from wainscot.api.keeping import kept
from wainscot.api.queued import QUEUE, TASK, Queue, task_for
from wainscot.api.running import Ended, Worker, run
from wainscot.api.running import kept as put
from wainscot.api.settings import Limits
from wainscot.store import Postgres, Store, StoreError

if TYPE_CHECKING:
    from procrastinate import App, JobContext

PATIENCE = 30
"""How long what is under way may take when the worker stops. [s]"""

TOLD = 0.5
"""How often a worker says how far it is. [s]"""

MOST_TRIES = 3
"""How often a task is begun; one that took three workers with it is not given to a fourth."""


class Pace(msgspec.Struct, frozen=True):
    """How often a worker says that it lives, and after what silence it counts as gone (judgement:
    a walk takes seconds to minutes). [s]"""

    beat: float = 5.0
    silence: float = 20.0


class Works:
    """What a worker works with.

    Parameters
    ----------
    store : Store
        The record, in PostgreSQL.
    most : float
        How long a task may take. [s]
    """

    def __init__(self, store: Store, most: float) -> None:
        if not isinstance(store.database, Postgres):
            raise StoreError(
                "a worker needs a record in PostgreSQL: WAINSCOT_DATABASE names it; with a SQLite "
                "file the server calculates itself"
            )
        self.store = store
        self.queue = Queue(store.database)
        self._most = most
        self._idle: queue.SimpleQueue[Worker] = queue.SimpleQueue()

    def do(self, work_id: str, stopping: Callable[[], bool]) -> None:
        """Do what one row asks for, unless it is not wanted any more.

        Parameters
        ----------
        work_id : str
            Which row.
        stopping : callable
            Whether the worker is to stop.
        """
        name = f"worker_{secrets.token_hex(8)}"
        row = self.queue.take(work_id, name)
        if row is None:
            return
        if row["tries"] > MOST_TRIES:
            self.queue.end(work_id, name, Ended("failed", reason="it ended three workers"))
            return
        try:
            task = self._task(row)
        except StoreError as error:  # a photo that this host cannot fetch
            self.queue.end(work_id, name, Ended("failed", reason=str(error)))
            return
        worker = self._worker()
        ended = run(worker, task, self._most, self._wanted(row, name, stopping))
        # Of a row that is gone, as where somebody was erased, no paper is kept.
        if self.queue.tell(work_id, name, 1.0):
            ended = put(ended, self._keep(row))
        if ended.reusable:
            self._idle.put(worker)
        else:
            worker.stop()
        if ended.state:
            self.queue.end(work_id, name, ended)
        elif stopping():
            self.queue.give_back(work_id, name)

    def _worker(self) -> Worker:
        with contextlib.suppress(queue.Empty):
            while True:
                one = self._idle.get_nowait()
                if one.alive():
                    return one
        return Worker()

    def _task(self, row: dict[str, Any]) -> tuple[Any, ...]:
        task = tuple(msgspec.msgpack.decode(row["task"]))
        if row["kind"] != "paper":
            return task
        # Photos lie elsewhere on this host than on the one that asked.
        *first, photos, rates = task
        return (*first, {one: str(self.store.blobs.file(one)) for one in photos}, rates)

    def _keep(self, row: dict[str, Any]) -> Callable[[bytes], bytes] | None:
        if row["kind"] != "paper":
            return None
        return partial(kept, self.store, now, row["job"], row["account"])

    def _wanted(
        self, row: dict[str, Any], name: str, stopping: Callable[[], bool]
    ) -> Callable[[float], bool]:
        told = 0.0

        def wanted(share: float) -> bool:
            nonlocal told
            if stopping():
                return False
            if time.monotonic() - told < TOLD:
                return True
            told = time.monotonic()
            return self.queue.tell(row["id"], name, share)

        return wanted

    def close(self) -> None:
        """End the processes."""
        with contextlib.suppress(queue.Empty):
            while True:
                self._idle.get_nowait().stop()


def now() -> str:
    """Return the time as it stands in the record."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds")


def work(store: Store, *, processes: int = 1, pace: Pace | None = None) -> None:
    """Work until a signal says stop.

    Parameters
    ----------
    store : Store
        The record, in PostgreSQL.
    processes : int
        Tasks at once.
    pace : Pace, optional
        How silence is judged.
    """
    works = Works(store, Limits().walk)
    try:
        asyncio.run(_run(works, processes, pace or Pace()))
    finally:
        works.close()


async def _run(works: Works, processes: int, pace: Pace) -> None:
    from procrastinate import App, PsycopgConnector

    database = works.queue.database
    assert isinstance(database, Postgres)
    connector = PsycopgConnector(
        conninfo=database.address, kwargs={"options": works.queue.options}, min_size=1,
        max_size=processes + 4,
    )  # fmt: skip
    app = App(connector=connector)

    @app.task(name=TASK, queue=QUEUE, pass_context=True)
    def one(context: JobContext, work: str) -> None:
        works.do(work, context.should_abort)

    async with app.open_async():
        rescue = asyncio.create_task(_rescue(app, works.queue, pace))
        print(f"wainscot works on {processes} at once; Ctrl-C stops it", flush=True)
        try:
            await app.run_worker_async(
                queues=[QUEUE], concurrency=processes, delete_jobs="always",
                shutdown_graceful_timeout=PATIENCE, update_heartbeat_interval=pace.beat,
                stalled_worker_timeout=pace.silence, fetch_job_polling_interval=5.0,
            )  # fmt: skip
        finally:
            rescue.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await rescue


async def _rescue(app: App, rows: Queue, pace: Pace) -> None:
    """Take over the tasks of workers that went silent, and make tasks for rows that lack one."""
    from procrastinate.exceptions import AlreadyEnqueued, ProcrastinateException

    while True:
        await asyncio.sleep(pace.beat)
        # A database that is away for a while is looked for again.
        with contextlib.suppress(ProcrastinateException, StoreError):
            gone = await app.job_manager.get_stalled_jobs(
                queue=QUEUE, seconds_since_heartbeat=pace.silence
            )
            for job in gone:
                with contextlib.suppress(ProcrastinateException):  # another was quicker
                    await app.job_manager.retry_job(job)
            for work_id in await asyncio.to_thread(rows.lost, 3 * pace.silence):
                with contextlib.suppress(AlreadyEnqueued):
                    await task_for(app, work_id).defer_async(work=work_id)

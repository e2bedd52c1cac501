"""Walks and papers that workers on any host do, for servers that share one PostgreSQL.

What was asked for is a row of the table ``work``; that it is to be done is a task of procrastinate,
which names the row.  A row has one answer: whoever does it writes its own name into it, and an
answer counts only while that name still stands there.  So a task that was taken over from a host
that went silent is answered once, by whichever of the two has it.

Limits: rows are no part of the record and of no backup; who asks again gets a new one.  The last
twenty of a job are kept, the answer of the last.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import msgspec
import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import JSONB

from wainscot.api.old_queues import drop_idle
from wainscot.api.running import Ended
from wainscot.api.shapes import Trouble
from wainscot.api.walking import Wanted
from wainscot.api.walks import NOTHING, Walk, sheet_task, walk_task
from wainscot.job import Job
from wainscot.store import Postgres, StoreError

if TYPE_CHECKING:
    from procrastinate import App

QUEUE, TASK = "work", "wainscot.work"
KEPT = 20
"""Rows of a job that are kept."""
_OPEN = ("waiting", "running")

metadata = sa.MetaData()
work = sa.Table(
    "work",
    metadata,
    sa.Column("n", sa.BigInteger, sa.Identity(), primary_key=True),
    sa.Column("id", sa.Text, nullable=False, unique=True),
    sa.Column("kind", sa.Text, nullable=False),  # walk, sheet or paper
    sa.Column("job", sa.Text, nullable=False),
    sa.Column("through", sa.BigInteger, nullable=False),
    sa.Column("seed", sa.BigInteger, nullable=False),
    sa.Column("draws", sa.BigInteger, nullable=False),
    sa.Column("ranges", sa.Boolean, nullable=False),
    sa.Column("wanted", JSONB, nullable=False),
    sa.Column("rates", sa.Text, nullable=False),
    sa.Column("account", sa.Text, nullable=False),
    sa.Column("task", sa.LargeBinary, nullable=False),  # MessagePack; empty once it has ended
    sa.Column("state", sa.Text, nullable=False),
    sa.Column("share", sa.Float, nullable=False),
    sa.Column("worker", sa.Text, nullable=False),  # who has it
    sa.Column("tries", sa.Integer, nullable=False),
    sa.Column("by", sa.Text, nullable=False),
    sa.Column("reason", sa.Text, nullable=False),
    sa.Column("faults", JSONB, nullable=False),
    sa.Column("answer", sa.LargeBinary, nullable=False),
    sa.Column("pocket", sa.LargeBinary, nullable=False),
    sa.Column("asked", sa.DateTime(timezone=True), nullable=False, server_default=sa.func.now()),
    sa.Index("work_job", "job", "n"),
)
_FEW = [one for one in work.columns if one.name not in ("task", "answer", "pocket")]


class Queue:
    """The rows, and the tasks that name them.

    Parameters
    ----------
    database : Postgres
        Where both lie.

    Raises
    ------
    StoreError
        If what they need is not installed.
    """

    def __init__(self, database: Postgres) -> None:
        try:
            import procrastinate
        except ImportError:
            raise StoreError("several hosts need: pip install 'wainscot[hosts]'") from None
        # One schema a version of the library, whose tables change with it; rows without a task in
        # it get one.
        version = "_".join(procrastinate.__version__.split(".")[:2])
        self.schema = f"queue_{version}"
        self.database = database
        self.options = f"-c search_path={self.schema}"
        with database.writing() as connection:
            metadata.create_all(connection)
            if not sa.inspect(connection).has_schema(self.schema):
                connection.execute(sa.schema.CreateSchema(self.schema))
                raw: Any = connection.connection.driver_connection
                raw.execute(f"SET LOCAL search_path = {self.schema}")
                raw.execute(procrastinate.schema.SchemaManager.get_schema())
                raw.execute("SET LOCAL search_path = DEFAULT")
            drop_idle(connection, self.schema)

    def asker(self) -> App:
        """Return what puts tasks into the queue, from any thread; whoever asks closes it."""
        from procrastinate import App, SyncPsycopgConnector

        connector = SyncPsycopgConnector(
            conninfo=self.database.address, kwargs={"options": self.options}, min_size=1, max_size=4
        )
        app = App(connector=connector)
        app.open()
        return app

    @contextmanager
    def change(self) -> Iterator[sa.Connection]:
        """Give a transaction beside the record's: whoever calculates holds up nobody who writes."""
        with self.database.beside() as connection:
            yield connection

    def take(self, work_id: str, worker: str) -> dict[str, Any] | None:
        """Give a row to a worker, in place of one that had it; None where it is wanted no more.

        Parameters
        ----------
        work_id : str
            Which.
        worker : str
            A name that nobody else has.
        """
        mine = sa.update(work).where(work.c.id == work_id, work.c.state.in_(_OPEN))
        mine = mine.values(state="running", worker=worker, tries=work.c.tries + 1, share=0.0)
        with self.change() as connection:
            row = connection.execute(mine.returning(work)).first()
        return dict(row._mapping) if row else None

    def tell(self, work_id: str, worker: str, share: float) -> bool:
        """Say how far a worker is, and return whether the row is still its own.

        Parameters
        ----------
        work_id, worker : str
            As :meth:`take` had them.
        share : float
            How much is done. [1]
        """
        told = self._own(work_id, worker).values(share=share)
        with self.change() as connection:
            return connection.execute(told).rowcount == 1

    def end(self, work_id: str, worker: str, ended: Ended) -> bool:
        """Write the answer of a worker, and return whether it counts."""
        told = self._own(work_id, worker).values(
            state=ended.state, answer=ended.answer, pocket=ended.pocket, reason=ended.reason,
            faults=msgspec.to_builtins(ended.faults), task=b"",
            share=1.0 if ended.state == "done" else work.c.share,
        )  # fmt: skip
        with self.change() as connection:
            return connection.execute(told).rowcount == 1

    def give_back(self, work_id: str, worker: str) -> None:
        """Let another worker take a row that this one does not finish."""
        with self.change() as connection:
            connection.execute(self._own(work_id, worker).values(state="waiting", worker=""))

    def _own(self, work_id: str, worker: str) -> sa.Update:
        return sa.update(work).where(
            work.c.id == work_id, work.c.worker == worker, work.c.state == "running"
        )

    def worked_on(self) -> bool:
        """Whether a worker has said within the last minute that it lives."""
        beats = sa.table("procrastinate_workers", sa.column("last_heartbeat"), schema=self.schema)
        since = sa.func.now() - datetime.timedelta(minutes=1)
        chosen = sa.select(sa.exists().where(beats.c.last_heartbeat > since))
        with self.change() as connection:
            return bool(connection.execute(chosen).scalar_one())

    def lost(self, older: float) -> list[str]:
        """Return rows that have waited for long, in case their task never came.

        Parameters
        ----------
        older : float
            For how long. [s]
        """
        since = sa.func.now() - datetime.timedelta(seconds=older)
        chosen = sa.select(work.c.id).where(work.c.state == "waiting", work.c.asked < since)
        with self.change() as connection:
            return list(connection.execute(chosen.order_by(work.c.n).limit(100)).scalars())


def task_for(app: App, work_id: str) -> Any:
    """Return the task that names a row; there is at most one of it that waits.

    Parameters
    ----------
    app : procrastinate.App
        Any end of the queue.
    work_id : str
        Which row.
    """
    return app.configure_task(TASK, queue=QUEUE, queueing_lock=work_id)


class QueuedWalks:
    """The walks of servers that share one PostgreSQL; asked like :class:`wainscot.api.walks.Walks`.

    Parameters
    ----------
    database : Postgres
        The record's.
    """

    def __init__(self, database: Postgres) -> None:
        self._queue = Queue(database)
        self._app = self._queue.asker()

    def ask(
        self, job_id: str, *, through: int, job: Job, seed: int, draws: int, ranges: bool = False,
        wanted: Wanted = NOTHING, rates: str = "",
    ) -> Walk:  # fmt: skip
        """Begin a walk, or return the one of the same input; see :meth:`Walks.ask`."""
        task = walk_task(job, seed, draws, ranges, wanted, rates)
        made = Walk(job_id, through, seed, draws, task, ranges, wanted, rates)
        with self._queue.change() as connection:
            _alone(connection, job_id)
            last = _last(connection, job_id)
            if last and last.serves(made):
                return last
            _put(connection, made, "walk")
            older = sa.update(work).where(
                work.c.job == job_id, work.c.kind == "walk", work.c.id != made.id
            )
            connection.execute(older.values(task=b"", answer=b"", pocket=b""))
            superseded = older.where(work.c.state.in_(_OPEN))
            connection.execute(superseded.values(state="superseded", by=made.id))
        self._defer(made)
        return made

    def ask_sheet(self, walk: Walk, job: Job, *, which: str, size: str) -> Walk:
        """Begin the opening sheet of a walk that is done; see :meth:`Walks.ask_sheet`."""
        task = sheet_task(walk, job, which, size)
        return self._begin(Walk(walk.job, walk.through, walk.seed, walk.draws, task), "sheet")

    def ask_paper(
        self, job_id: str, through: int, task: tuple[Any, ...], account: str = ""
    ) -> Walk:
        """Begin a paper; see :meth:`Walks.ask_paper`."""
        return self._begin(Walk(job_id, through, 1, 4096, task), "paper", account)

    def _begin(self, made: Walk, kind: str, account: str = "") -> Walk:
        with self._queue.change() as connection:
            _alone(connection, made.job)
            _put(connection, made, kind, account)
        self._defer(made)
        return made

    def _defer(self, made: Walk) -> None:
        from procrastinate.exceptions import AlreadyEnqueued, ProcrastinateException

        try:
            task_for(self._app, made.id).defer(work=made.id)
        except AlreadyEnqueued:
            pass  # a worker found the row first
        except ProcrastinateException:
            raise StoreError("the queue cannot be reached; ask again") from None

    def find(self, walk_id: str) -> Walk | None:
        """Return a walk by its id, with its answer once it is done."""
        with self._queue.change() as connection:
            row = connection.execute(sa.select(*_FEW).where(work.c.id == walk_id)).first()
            return _answered(connection, _walk(row)) if row else None

    def last_done(self, job_id: str) -> Walk | None:
        """Return the last walk of a job, if it is done and its answer is kept."""
        with self._queue.change() as connection:
            last = _last(connection, job_id)
            if last is None or last.state != "done":
                return None
            last = _answered(connection, last)
        return last if last.answer else None

    def running(self, job_id: str) -> Walk | None:
        """Return the walk of a job that has not ended."""
        with self._queue.change() as connection:
            last = _last(connection, job_id)
        return last if last and not last.ended else None

    def forget(self, job_id: str) -> None:
        """Let go of all that was asked and answered of a job; who has it finds its row gone."""
        with self._queue.change() as connection:
            connection.execute(sa.delete(work).where(work.c.job == job_id))

    def worked_on(self) -> bool:
        """Whether a worker is there that does what is asked for."""
        return self._queue.worked_on()

    def close(self) -> None:
        """Ask for nothing more; what was asked for goes on."""
        self._app.close()


def _alone(connection: sa.Connection, job_id: str) -> None:
    """Let one server at a time ask for something of a job."""
    lock = sa.func.pg_advisory_xact_lock(
        sa.func.hashtext("wainscot work"), sa.func.hashtext(job_id)
    )
    connection.execute(sa.select(lock))


def _last(connection: sa.Connection, job_id: str) -> Walk | None:
    chosen = sa.select(*_FEW).where(work.c.job == job_id, work.c.kind == "walk")
    row = connection.execute(chosen.order_by(work.c.n.desc()).limit(1)).first()
    return _walk(row) if row else None


def _answered(connection: sa.Connection, walk: Walk) -> Walk:
    """Give a walk its answer, once it is done."""
    if walk.state == "done":
        both = sa.select(work.c.answer, work.c.pocket).where(work.c.id == walk.id)
        walk.answer, walk.pocket = connection.execute(both).one()
    return walk


def _put(connection: sa.Connection, made: Walk, kind: str, account: str = "") -> None:
    row = {
        "id": made.id, "kind": kind, "job": made.job, "through": made.through, "seed": made.seed,
        "draws": made.draws, "ranges": made.ranges, "wanted": msgspec.to_builtins(made.wanted),
        "rates": made.rates, "account": account, "task": msgspec.msgpack.encode(made.task),
        "state": "waiting",
        "share": 0.0, "worker": "", "tries": 0, "by": "", "reason": "", "faults": [],
        "answer": b"", "pocket": b"",
    }  # fmt: skip
    connection.execute(work.insert(), [row])
    same = work.c.job == made.job, work.c.state.not_in(_OPEN)
    newest = sa.select(work.c.n).where(*same).order_by(work.c.n.desc()).limit(KEPT)
    connection.execute(sa.delete(work).where(*same, work.c.n.not_in(newest)))


def _walk(row: Any) -> Walk:
    must, without, most = row.wanted
    made = Walk(row.job, row.through, row.seed, row.draws, (), row.ranges,
                (tuple(must), tuple(without), most), row.rates)  # fmt: skip
    made.id, made.state, made.share, made.by, made.reason = (
        row.id, row.state, row.share, row.by, row.reason
    )  # fmt: skip
    made.faults = tuple(msgspec.convert(one, Trouble) for one in row.faults)
    return made

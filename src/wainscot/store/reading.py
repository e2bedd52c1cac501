"""What a record can be asked; nothing here changes it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sqlalchemy import func, select

from wainscot.record import Event
from wainscot.store import rows
from wainscot.store.admit import Refused
from wainscot.store.batches import in_parts
from wainscot.store.chains import Chain, Link, chains
from wainscot.store.database import Database
from wainscot.store.rows import Received
from wainscot.store.tables import blob, event, quarantine
from wainscot.store.told import Counts, Held, Page

BATCH = 500
"""Most events in a batch."""


class RecordReader:
    """What a record holds.

    Parameters
    ----------
    database : Database
        Where its rows lie.
    """

    def __init__(self, database: Database) -> None:
        self.database = database

    def jobs(self) -> tuple[str, ...]:
        """Return the ids of all jobs."""
        with self.database.reading() as connection:
            found = connection.execute(select(event.c.job).distinct().order_by(event.c.job))
            return tuple(row.job for row in found)

    def held(self) -> tuple[Held, ...]:
        """Return how much of each job is held, by job."""
        chosen = select(event.c.job, func.count().label("events"), func.max(event.c.n).label("n"))
        with self.database.reading() as connection:
            found = connection.execute(chosen.group_by(event.c.job).order_by(event.c.job))
            return tuple(Held(row.job, row.events, row.n) for row in found)

    def through(self, job_id: str) -> int:
        """Return the number of the last event of a job that arrived; 0 where there is none."""
        chosen = select(func.max(event.c.n)).where(event.c.job == job_id)
        with self.database.reading() as connection:
            return int(connection.execute(chosen).scalar() or 0)

    def wrote(self, device: str) -> bool:
        """Whether the record holds an event of a device.

        Parameters
        ----------
        device : str
            Any id.
        """
        chosen = select(event.c.n).where(event.c.device == device).limit(1)
        with self.database.reading() as connection:
            return connection.execute(chosen).first() is not None

    def writers(self, job_id: str) -> frozenset[str]:
        """Return the devices that wrote to a job.

        Parameters
        ----------
        job_id : str
            Any id.
        """
        chosen = select(event.c.device).where(event.c.job == job_id).distinct()
        with self.database.reading() as connection:
            return frozenset(str(one) for one in connection.execute(chosen).scalars())

    def page(
        self, after: int = 0, *, until: int = 0, record: str = "", job_id: str | None = None,
        most: int = BATCH,
    ) -> Page:  # fmt: skip
        """Return the events that arrived after a number, in order of receipt.

        Parameters
        ----------
        after : int
            Number of the last that the caller has.
        until : int
            Number of the last that is wanted; nought: all.
        record : str
            Whose number that is; if it is another record's, all are given from the first.
        job_id : str, optional
            Only of this job.
        most : int
            How many at most; fewer where they are more than about one megabyte.
        """
        with self.database.reading() as connection:
            own = rows.own_device(connection)
            start = after if record in ("", own) else 0
            chosen = select(event.c.n, event.c.body, event.c.beside).where(event.c.n > start)
            chosen = chosen.order_by(event.c.n)
            if until:
                chosen = chosen.where(event.c.n <= until)
            if job_id is not None:
                chosen = chosen.where(event.c.job == job_id)
            found = connection.execute(chosen.limit(most + 1)).all()
        lines = (rows.whole(row.body, row.beside) for row in found[:most])
        first = next(rows.by_size(lines), ())
        through = found[len(first) - 1].n if first else start
        return Page(own, through, len(first) < len(found), first)

    def events(self, job_id: str) -> tuple[Event, ...]:
        """Return the events of a job, by device and number."""
        with self.database.reading() as connection:
            return tuple(rows.events(connection, job_id))

    def lines(self, job_id: str | None = None) -> list[bytes]:
        """Return the events of a job, or all, as lines of canonical JSON."""
        with self.database.reading() as connection:
            return rows.lines(connection, job_id)

    def receipts(self) -> list[Received]:
        """Return when each event arrived, in order of arrival."""
        chosen = select(event.c.id, event.c.received, event.c.skew).order_by(event.c.n)
        with self.database.reading() as connection:
            return [Received(row.id, row.received, row.skew) for row in connection.execute(chosen)]

    def head(self, job_id: str | None = None) -> str:
        """Return the hash that names the set of a job's events, or of all."""
        with self.database.reading() as connection:
            return rows.head(connection, job_id)

    def chains(self) -> tuple[Chain, ...]:
        """Return every device's chain with its gaps and forks."""
        chosen = select(event.c.id, event.c.device, event.c.seq, event.c.prev)
        with self.database.reading() as connection:
            return chains(
                Link(row.id, row.device, row.seq, row.prev) for row in connection.execute(chosen)
            )

    def counts(self) -> Counts:
        """Return how much is held; all numbers are of one moment."""
        with self.database.reading() as connection:
            return Counts(
                events=rows.count(connection, event.c.id),
                jobs=rows.count(connection, event.c.job),
                devices=rows.count(connection, event.c.device),
                quarantined=rows.count(connection, quarantine.c.digest),
                blobs=rows.count(connection, blob.c.hash),
            )

    def quarantined(self) -> list[Refused]:
        """Return what was put aside, with its reason."""
        with self.database.reading() as connection:
            found = connection.execute(select(quarantine).order_by(quarantine.c.digest))
            return [Refused(row.digest, bytes(row.raw), row.reason) for row in found]

    def missing(self, known: Iterable[str], job_id: str | None = None) -> tuple[str, ...]:
        """Return the ids that the record holds and another does not, in order of receipt.

        Parameters
        ----------
        known : iterable of str
            Ids that the other holds.
        job_id : str, optional
            Only of this job.
        """
        chosen = select(event.c.id).order_by(event.c.n)
        if job_id is not None:
            chosen = chosen.where(event.c.job == job_id)
        there = set(known)
        with self.database.reading() as connection:
            return tuple(row.id for row in connection.execute(chosen) if row.id not in there)

    def wanted(self, offered: Iterable[str]) -> tuple[str, ...]:
        """Return those of the offered ids that the record does not hold yet."""
        ids = list(dict.fromkeys(offered))
        with self.database.reading() as connection:
            held = rows.known(connection, ids)
        return tuple(one for one in ids if one not in held)

    def batches(self, ids: Iterable[str]) -> Iterator[tuple[bytes, ...]]:
        """Give the lines of events in batches of at most 500 and about one megabyte.

        Parameters
        ----------
        ids : iterable of str
            As :meth:`missing` returns them; ids that are not held are passed over.
        """
        for part in in_parts(ids, BATCH):
            chosen = select(event.c.body, event.c.beside).where(event.c.id.in_(part))
            with self.database.reading() as connection:
                found = [rows.whole(row.body, row.beside)
                         for row in connection.execute(chosen.order_by(event.c.n))]  # fmt: skip
            yield from rows.by_size(found)

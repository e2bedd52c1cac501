"""One folder with one record: events, photos, what was put aside, backups."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType

import msgspec
from sqlalchemy import select

from wainscot.job import Job
from wainscot.record import Event, diff, erases, fold, instant
from wainscot.store import migrate, rows
from wainscot.store.admit import Admitted, Refused, admit
from wainscot.store.backup import Taken, take
from wainscot.store.blobs import Blobs
from wainscot.store.bucket import BucketBlobs
from wainscot.store.database import Database
from wainscot.store.durable import Disk
from wainscot.store.faults import NoRecordError, StoreError
from wainscot.store.layout import Layout
from wainscot.store.postgres import Postgres
from wainscot.store.reading import RecordReader
from wainscot.store.rows import Received
from wainscot.store.sqlite import MOVED, Journal, SqliteFile
from wainscot.store.tables import folded
from wainscot.store.told import Receipt

FOLDING = "2"
"""Changes when the fold gives another job for the same events, so that kept jobs fall."""


class Store(RecordReader):
    """The record in a folder; :meth:`create` or :meth:`open` gives one.

    Several may be open on one folder at once, in one process or in several.
    """

    def __init__(self, layout: Layout, database: Database, disk: Disk, bucket: str = "") -> None:
        super().__init__(database)
        self.layout = layout
        self.blobs = (
            BucketBlobs(layout.blobs, database, disk, bucket) if bucket
            else Blobs(layout.blobs, database, disk)
        )  # fmt: skip
        self.disk = disk
        self.migrated_after: Taken | None = None

    @classmethod
    def create(
        cls,
        folder: Path,
        *,
        device: str,
        library: ModuleType | None = None,
        journal: Journal | None = None,
        disk: Disk | None = None,
        address: str = "",
        bucket: str = "",
    ) -> Store:
        """Make a record in a folder that holds none, and open it.

        Parameters
        ----------
        folder : Path
            Made if it is not there.
        device : str
            Id under which the record itself writes; no other device may ever have it.
        library, journal, disk : optional
            What :class:`SqliteFile` and :class:`Blobs` work with.
        address : str, optional
            A PostgreSQL database in place of a SQLite file in the folder.
        bucket : str, optional
            An S3-like store for photos in place of the folder.

        Raises
        ------
        StoreError
            If there is a record already.
        """
        layout = Layout(folder)
        disk = disk or Disk()
        disk.folder(folder)
        store = cls(layout, _database(layout, library, journal, address), disk, bucket)
        with store._closed_on_error():
            with store.database.writing() as connection:
                if migrate.found(connection):  # another was quicker
                    raise StoreError(f"{folder} holds a record already")
                migrate.upgrade(connection)
                rows.set_own_device(connection, device)
            disk.sync_folder(folder)
        return store

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        now: str,
        library: ModuleType | None = None,
        journal: Journal | None = None,
        disk: Disk | None = None,
        address: str = "",
        bucket: str = "",
    ) -> Store:
        """Open a record; tables of an older program are brought up to date, after a backup.

        Parameters
        ----------
        folder : Path
            Where it lies.
        now : str
            ISO 8601 with offset; stands in the name of a backup.
        library, journal, disk : optional
            What :class:`SqliteFile` and :class:`Blobs` work with.
        address : str, optional
            A PostgreSQL database in place of a SQLite file in the folder.
        bucket : str, optional
            An S3-like store for photos in place of the folder.

        Raises
        ------
        NoRecordError
            If there is none, or only what was left when making one broke off.
        StoreError
            If a newer program wrote it, or the backup failed.
        """
        nothing = NoRecordError(f"{folder} holds no record; import a job file or restore a backup")
        layout = Layout(folder)
        disk = disk or Disk()
        if not address and layout.moved.is_file() and not layout.database.is_file():
            raise StoreError(MOVED)
        if not address and not layout.database.is_file():
            raise nothing
        disk.folder(folder)
        store = cls(layout, _database(layout, library, journal, address), disk, bucket)
        with store._closed_on_error():
            found = migrate.revision(store.database)
            if not found:
                raise nothing
            if found != migrate.newest():
                store.migrated_after = take(
                    store.database, store.blobs, store.disk, layout.backups, now=now
                )
                with store.database.writing() as connection:
                    migrate.upgrade(connection)
            store.blobs.forget_erased()  # those that a fault kept from going
        return store

    @contextmanager
    def _closed_on_error(self) -> Iterator[None]:
        try:
            yield
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Close the record's file."""
        self.database.close()

    def append(
        self, lines: Iterable[bytes], *, received: str, skew: float | None = None
    ) -> Receipt:
        """Write events; when this returns they are on the disk.

        A bad one is put aside with its reason and does not hold up the others.  Sending the same
        again changes nothing.

        Parameters
        ----------
        lines : iterable of bytes
            Events, JSON in UTF-8.
        received : str
            Now, ISO 8601 with offset.
        skew : float, optional
            Receiver's clock less sender's. [s]

        Returns
        -------
        Receipt
            Every line stands in one of its three lists.
        """
        instant(received)
        return self._write(lines, received, lambda name: Received(name, received, skew))

    def restore_receipts(self, lines: Iterable[bytes], receipts: Iterable[Received],
                         *, received: str) -> Receipt:  # fmt: skip
        """Write events with the receipts that another record holds of them.

        Parameters
        ----------
        lines : iterable of bytes
            Events, JSON in UTF-8.
        receipts : iterable of Received
            Those of the other record; an event without one gets ``received``.
        received : str
            Now, ISO 8601 with offset.
        """
        before = {one.id: one for one in receipts}
        return self._write(lines, received, lambda name: before.get(name, Received(name, received)))

    def _write(
        self, lines: Iterable[bytes], received: str, receipt_of: Callable[[str], Received]
    ) -> Receipt:
        told = [admit(raw) for raw in lines]
        admitted = [one for one in told if isinstance(one, Admitted)]
        receipts = [receipt_of(one.event.id) for one in admitted]
        refused = tuple(one for one in told if isinstance(one, Refused))
        with self.database.writing() as connection:
            new = rows.write_events(connection, admitted, receipts)
            rows.write_refused(connection, refused, received)
        self._forget(one.event for one in admitted)
        pairs = list(zip(admitted, new, strict=True))
        return Receipt(
            added=tuple(one.event.id for one, is_new in pairs if is_new),
            known=tuple(one.event.id for one, is_new in pairs if not is_new),
            refused=refused,
        )

    def save(
        self, job: Job, *, at: str, writer: str, base: Sequence[Event] | None = None
    ) -> tuple[Event, ...]:
        """Write what an edited job changes.

        Parameters
        ----------
        job : Job
            The job as it now stands in its file.
        at : str
            Now, ISO 8601 with offset.
        writer : str
            A device id that is not used yet; stands in where the record has gone on since the file
            was taken from it, so that what both changed shows as a conflict and nobody's word is
            lost.
        base : sequence of Event, optional
            The events that the file was folded from.  Without it the file counts as an edit of the
            record as it stands, and what it leaves out is withdrawn.

        Returns
        -------
        tuple of Event
            What was written; empty if the file changes nothing.

        Raises
        ------
        StoreError
            If the events would not give the job back.
        """
        with self.database.writing() as connection:
            current = rows.events(connection, job.id)
            prior = current if base is None else list(base)
            stale = {one.id for one in prior} != {one.id for one in current}
            device = writer if stale else rows.own_device(connection)
            seq, prev = rows.tip(connection, device)
            old = fold(prior, job.id)
            made = diff(old, job, device=device, seq=seq + 1, prev=prev, at=at, prior=prior)
            if fold([*prior, *made], job.id) != job:
                raise StoreError(
                    "the file lists conflicts that the record does not have; leave them as exported"
                )
            made = rows.write_own(connection, made, self.layout.device_key, self.disk, at=at)
        self._forget(made)
        return made

    def _forget(self, events: Iterable[Event]) -> None:
        if any(map(erases, events)):
            self.blobs.forget_erased()

    def job(self, job_id: str) -> Job:
        """Return a job as its events stand; a job without events is empty.

        Raises
        ------
        DamagedError
            If an event is not what was written.
        """
        with self.database.reading() as connection:
            head = f"{FOLDING}:{rows.head(connection, job_id)}"
            kept = connection.execute(select(folded).where(folded.c.job == job_id)).first()
            if kept is not None and kept.head == head:
                return msgspec.json.decode(kept.body, type=Job)
            events = rows.events(connection, job_id)
        job = fold(events, job_id)
        if events:
            self._keep(job, head)
        return job

    def _keep(self, job: Job, head: str) -> None:
        row: dict[str, object] = {
            "job": job.id, "head": head, "body": msgspec.json.encode(job)
        }  # fmt: skip
        try:
            with self.database.writing() as connection:
                # Whoever was erased since the events were read must not come back by this.
                if f"{FOLDING}:{rows.head(connection, job.id)}" == head:
                    rows.put(connection, folded, folded.c.job, row)
        except StoreError:
            pass  # Only spares work; a full disk must not stop anybody from reading.


def _database(
    layout: Layout, library: ModuleType | None, journal: Journal | None, address: str
) -> Database:
    return Postgres(address) if address else SqliteFile(layout.database, library, journal)

"""Reading and writing events inside a transaction that the caller holds."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import msgspec
from sqlalchemy import Column, Connection, Table, delete, func, select

from wainscot.record import Event, RecordError, erases, event_of, joined, line_of
from wainscot.store import beside
from wainscot.store.admit import Admitted, Refused
from wainscot.store.batches import in_parts
from wainscot.store.durable import Disk
from wainscot.store.faults import DamagedError
from wainscot.store.keys import signed
from wainscot.store.tables import event, meta, quarantine

BATCH_BYTES = 1 << 20


class Received(msgspec.Struct, frozen=True):
    """When an event arrived, and by how much the receiver's clock was ahead of the sender's. [s]"""

    id: str
    received: str
    skew: float | None = None


def known(connection: Connection, ids: Iterable[str]) -> set[str]:
    """Return those ids that the record holds."""
    found: set[str] = set()
    for part in in_parts(ids):
        rows = connection.execute(select(event.c.id).where(event.c.id.in_(part)))
        found.update(row.id for row in rows)
    return found


def write_events(
    connection: Connection, admitted: Sequence[Admitted], receipts: Sequence[Received]
) -> list[bool]:
    """Write events that are not there yet, and return for each whether it was written.

    What stands beside one that is there already is added; what is erased is left out.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`, so that nobody else writes between look and act.
    admitted : sequence of Admitted
        Events in the order in which they came.
    receipts : sequence of Received
        One for each.
    """
    held = known(connection, (one.event.id for one in admitted))
    gone = beside.gone_in(connection, [one.event for one in admitted])
    last = newest(connection, event.c.n)
    new = []
    rows: list[dict[str, object]] = []
    again = []
    for one, receipt in zip(admitted, receipts, strict=True):
        new.append(one.event.id not in held)
        if new[-1]:
            held.add(one.event.id)
            rows.append({"n": last + len(rows) + 1, **_row(one, receipt, gone)})
        else:
            again.append(one.event)
    if rows:
        connection.execute(event.insert(), rows)
    beside.add_again(connection, again, gone)
    for one, receipt, is_new in zip(admitted, receipts, new, strict=True):
        if is_new and erases(one.event):
            beside.erase_named(connection, one.event, received=receipt.received)
    return new


def write_own(
    connection: Connection, events: Sequence[Event], key: Path, disk: Disk, *, at: str
) -> tuple[Event, ...]:
    """Write events of this machine's own, and return them as they were signed.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    events : sequence of Event
        The next of their device.
    key : Path
        File of the key that signs them; made where there is none.
    disk : Disk
        Acts on the disk.
    at : str
        Now, ISO 8601 with offset.
    """
    made = signed(connection, events, key, disk, at=at)
    admitted = [Admitted(one, line_of(one)) for one in made]
    write_events(connection, admitted, [Received(one.id, at, 0.0) for one in made])
    return made


def newest(connection: Connection, number: Column[int]) -> int:
    """Return the last number of receipt; the next is one more, so that no write leaves a gap."""
    return int(connection.execute(select(func.max(number))).scalar() or 0)


def _row(one: Admitted, receipt: Received, gone: frozenset[str]) -> dict[str, object]:
    told = one.event
    return {
        "id": told.id, "job": told.job, "device": told.device, "seq": told.seq, "prev": told.prev,
        "body": one.line, "received": receipt.received, "skew": receipt.skew,
        "beside": beside.written(beside.without(told.beside, gone)),
    }  # fmt: skip


def whole(body: bytes, kept: bytes | None) -> bytes:
    """Return an event's line with what stands beside it."""
    return joined(bytes(body), bytes(kept or b""))


def write_refused(connection: Connection, refused: Iterable[Refused], received: str) -> None:
    """Put aside what was refused; the same bytes once."""
    new = {one.digest: one for one in refused}
    for part in in_parts(list(new)):
        there = select(quarantine.c.digest).where(quarantine.c.digest.in_(part))
        for digest in connection.execute(there).scalars().all():
            del new[digest]
    rows = [
        # No database keeps a NUL in text; the reason may quote one.
        {"digest": one.digest, "raw": one.raw, "reason": one.reason.replace("\0", "\ufffd"),
         "received": received}
        for one in new.values()
    ]  # fmt: skip
    if rows:
        connection.execute(quarantine.insert(), rows)


def lines(connection: Connection, job: str | None = None) -> list[bytes]:
    """Return the lines of a job, or of all; by device and number, however they arrived."""
    chosen = select(event.c.body, event.c.beside)
    chosen = chosen.order_by(event.c.device, event.c.seq, event.c.id)
    if job is not None:
        chosen = chosen.where(event.c.job == job)
    return [whole(row.body, row.beside) for row in connection.execute(chosen)]


def events(connection: Connection, job: str) -> list[Event]:
    """Return the events of a job.

    Raises
    ------
    DamagedError
        If one is not what was written.
    """
    try:
        return [event_of(json.loads(line)) for line in lines(connection, job)]
    except (ValueError, RecordError) as error:
        raise DamagedError(f"the record is damaged ({error}); restore the last backup") from None


def head(connection: Connection, job: str | None = None) -> str:
    """Return the SHA-256 over the sorted ids of a job's events, or of all: the name of the set."""
    chosen = select(event.c.id).order_by(event.c.id)
    if job is not None:
        chosen = chosen.where(event.c.job == job)
    hashed = hashlib.sha256()
    for row in connection.execute(chosen):
        hashed.update(row.id.encode() + b"\n")
    return hashed.hexdigest()


def tip(connection: Connection, device: str) -> tuple[int, str]:
    """Return number and id of a device's last event; 0 and empty where it has none."""
    chosen = (
        select(event.c.seq, event.c.id)
        .where(event.c.device == device)
        .order_by(event.c.seq.desc(), event.c.id)
        .limit(1)
    )
    row = connection.execute(chosen).first()
    return (int(row.seq), str(row.id)) if row else (0, "")


def own_device(connection: Connection) -> str:
    """Return the id under which this record itself writes."""
    return str(connection.execute(select(meta.c.value).where(meta.c.name == "device")).scalar_one())


def set_own_device(connection: Connection, device: str) -> None:
    """Give this record another id to write under."""
    put(connection, meta, meta.c.name, {"name": "device", "value": device})


def put(connection: Connection, table: Table, key: Column[str], row: dict[str, object]) -> None:
    """Write a row in place of the one that has its key, if there is one.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`, so that nobody else writes between the two.
    table : Table
        Where.
    key : Column
        The column that names a row.
    row : dict
        Values by column.
    """
    connection.execute(delete(table).where(key == row[key.name]))
    connection.execute(table.insert(), [row])


def count(connection: Connection, column: object) -> int:
    """Return how many different values a column has."""
    return int(connection.execute(select(func.count(func.distinct(column)))).scalar_one())


def by_size(lines: Iterable[bytes]) -> Iterator[tuple[bytes, ...]]:
    """Give lines in batches of about one megabyte."""
    batch: list[bytes] = []
    size = 0
    for line in lines:
        if batch and size + len(line) > BATCH_BYTES:
            yield tuple(batch)
            batch, size = [], 0
        batch.append(line)
        size += len(line)
    if batch:
        yield tuple(batch)

"""What stands beside events in the record: put together where it comes twice, cut where erased.

What an event of kind ``erased`` names is gone for good: it is taken out of the rows that are there
and is never written again, whoever sends it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import msgspec
from sqlalchemy import Connection, delete, select

from wainscot.record import Beside, Event, canonical, erased_by
from wainscot.store.batches import in_parts
from wainscot.store.faults import DamagedError
from wainscot.store.tables import blob, erased, event, folded, link, link_view, paper


def written(beside: Beside) -> bytes | None:
    """Return what stands beside an event as it is kept; None where nothing does."""
    return canonical(msgspec.to_builtins(beside)) if beside != Beside() else None


def read(kept: bytes | None) -> Beside:
    """Return what stands beside an event.

    Raises
    ------
    DamagedError
        If it is not as written.
    """
    try:
        return msgspec.json.decode(kept, type=Beside) if kept else Beside()
    except msgspec.DecodeError as error:
        raise DamagedError(f"the record is damaged ({error}); restore the last backup") from None


def without(beside: Beside, gone: frozenset[str]) -> Beside:
    """Return what is left where texts are gone.

    Parameters
    ----------
    beside : Beside
        Of an event.
    gone : frozenset of str
        Hashes of texts.
    """
    left = {key: one for key, one in beside.opened.items() if key not in gone}
    return msgspec.structs.replace(beside, opened=left)


def joined_with(held: Beside, come: Beside) -> Beside:
    """Return both together: the signature that was there first, the texts of both.

    Parameters
    ----------
    held, come : Beside
        What is there, and what came again with the same event.
    """
    first = held if held.key else come
    return Beside(first.key, first.signature, {**come.opened, **held.opened})


def gone_in(connection: Connection, events: Sequence[Event]) -> frozenset[str]:
    """Return those hashes of texts beside events that are erased, here or by one of them.

    Parameters
    ----------
    connection : Connection
        Of the record.
    events : sequence of Event
        That are about to be written.
    """
    by_job: dict[str, set[str]] = {}
    for one in events:
        by_job.setdefault(one.job, set()).update(one.beside.opened)
    found: set[str] = set()
    for job, names in by_job.items():
        mine = [one for one in events if one.job == job]
        found |= names & (set(erased_by(mine)) | set(_known(connection, job, names)))
    return frozenset(found)


def _known(connection: Connection, job: str, names: Iterable[str]) -> Iterator[str]:
    for part in in_parts(names):
        chosen = select(erased.c.hash).where(erased.c.job == job, erased.c.hash.in_(part))
        yield from connection.execute(chosen).scalars()


def add_again(connection: Connection, events: Sequence[Event], gone: frozenset[str]) -> None:
    """Add what stands beside events that are there already and came again.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    events : sequence of Event
        That the record holds.
    gone : frozenset of str
        Hashes of texts that are erased.
    """
    come = {one.id: without(one.beside, gone) for one in events if one.beside != Beside()}
    for part in in_parts(come):
        chosen = select(event.c.id, event.c.job, event.c.beside).where(event.c.id.in_(part))
        for row in connection.execute(chosen).all():
            held = read(row.beside)
            both = joined_with(held, come[row.id])
            if both != held:
                _put(connection, row.id, both)
                # The job that is kept folded lacks the text that came only now.
                connection.execute(delete(folded).where(folded.c.job == row.job))


def erase_named(connection: Connection, one: Event, *, received: str) -> None:
    """Take out what an event says was erased; the bytes of photos are for the caller to remove.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`.
    one : Event
        That erases.
    received : str
        When it arrived, ISO 8601 with offset.
    """
    texts, photos = set(erased_by([one])), set(erased_by([one], "photos"))
    rows = [{"job": one.job, "hash": name, "what": what, "received": received}
            for what, names in (("text", texts), ("photo", photos))
            for name in sorted(names)]  # fmt: skip
    if rows:
        connection.execute(erased.insert(), rows)
    _cut(connection, one.job, frozenset(texts))
    connection.execute(delete(folded).where(folded.c.job == one.job))
    for name in sorted(photos):
        connection.execute(delete(blob).where(blob.c.hash == name))
        _forget_paper(connection, name)


def _forget_paper(connection: Connection, digest: str) -> None:
    """Take out a paper that was made, and the links to it."""
    links = select(link.c.id).where(link.c.paper == digest)
    connection.execute(delete(link_view).where(link_view.c.link.in_(links)))
    connection.execute(delete(link).where(link.c.paper == digest))
    connection.execute(delete(paper).where(paper.c.digest == digest))


def _cut(connection: Connection, job: str, gone: frozenset[str]) -> None:
    chosen = select(event.c.id, event.c.beside).where(
        event.c.job == job, event.c.beside.isnot(None)
    )
    for row in connection.execute(chosen).all():
        held = read(row.beside)
        if not gone.isdisjoint(held.opened):
            _put(connection, row.id, without(held, gone))


def _put(connection: Connection, name: str, beside: Beside) -> None:
    connection.execute(event.update().where(event.c.id == name).values(beside=written(beside)))

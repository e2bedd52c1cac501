"""Two states of a job to the events between them.

Importing an edited job file is ``diff(job, edited, ...)``: the record gets what changed, nothing
else.  A nested value (a place, a list of finds) changes as a whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

import msgspec

from wainscot.job import Job
from wainscot.record.cover import cover, fresh_salt
from wainscot.record.event import HEADER, Event, EventKind, event
from wainscot.record.fold import STANDS, Word, heads, words_by_entity
from wainscot.record.form import RecordError, canonical

_Slots = dict[str, dict[str, list[Word]]]


class _Change(msgspec.Struct, frozen=True):
    kind: EventKind
    entity: str
    field: str = ""
    value: Any = None


def diff(
    old: Job,
    new: Job,
    *,
    device: str,
    seq: int,
    prev: str,
    at: str,
    prior: Sequence[Event] = (),
    salt: Callable[[], str] = fresh_salt,
) -> tuple[Event, ...]:
    """Return the events that turn one state of a job into another.

    ``fold([*prior, *diff(old, new, ..., prior=prior)], new.id)`` gives ``new``.  A conflict of
    ``old`` that ``new`` no longer lists counts as resolved in favour of what ``new`` says.

    Parameters
    ----------
    old : Job
        State before, the fold of ``prior``.
    new : Job
        State after, of the same job.
    device : str
        Id of the device that writes.
    seq : int
        Number of the device's next event.
    prev : str
        Id of the device's event before; empty for its first.
    at : str
        When, ISO 8601 with offset.
    prior : sequence of Event
        What the record holds.  Needed where more than one device wrote it, so that the new events
        can name those that they replace; a device alone replaces its own by number.
    salt : callable
        Gives 32 bytes as hexadecimal figures for each personal text; only tests give another than
        chance.

    Returns
    -------
    tuple of Event
        In the order of their numbers; empty if nothing changed.

    Raises
    ------
    RecordError
        If the two are not states of one job, or a value cannot be recorded.
    """
    if old.id != new.id:
        raise RecordError(f"{old.id!r} and {new.id!r} are two jobs, not two states of one")
    slots = words_by_entity(prior, new.id)
    events: list[Event] = []
    for change in _changes(old, new):
        value, opened = cover(change.value, salt, change.field)
        made = event(
            change.kind,
            job=new.id,
            device=device,
            seq=seq + len(events),
            prev=events[-1].id if events else prev,
            at=at,
            entity=change.entity,
            field=change.field,
            value=value,
            supersedes=_replaced(change, slots),
            opened=opened,
        )
        events.append(made)
    return tuple(events)


def _changes(old: Job, new: Job) -> Iterator[_Change]:
    open_before = {(one.entity, one.field) for one in old.conflicts}
    resolved = open_before - {(one.entity, one.field) for one in new.conflicts}
    for name in HEADER:
        if getattr(old, name) != getattr(new, name) or ("", name) in resolved:
            yield _Change("set", "", name, getattr(new, name))
    for key in sorted(old.entities.keys() | new.entities.keys() | {key for key, _ in resolved}):
        if not key:
            if key in new.entities:
                raise RecordError("an entity has an empty id")
            continue
        yield from _entity_changes(key, old.entities.get(key), new.entities.get(key), resolved)


def _entity_changes(
    key: str,
    old: dict[str, Any] | None,
    new: dict[str, Any] | None,
    resolved: set[tuple[str, str]],
) -> Iterator[_Change]:
    if new is None:
        if old is not None or (key, STANDS) in resolved:
            yield _Change("withdraw", key)
    elif old is None or (key, STANDS) in resolved:
        yield _Change("add", key, value=new)
    else:
        for name in sorted(old.keys() | new.keys()):
            if name not in new:
                yield _Change("withdraw", key, name)
            elif name not in old or not _same(old[name], new[name]) or (key, name) in resolved:
                yield _Change("set", key, name, new[name])
        for name in sorted(name for one, name in resolved if one == key):
            if name not in old and name not in new:
                yield _Change("withdraw", key, name)


def _replaced(change: _Change, slots: _Slots) -> tuple[str, ...]:
    """Return the ids of the standing words in every slot that a change speaks about."""
    mine = slots.get(change.entity, {})
    names = {*mine, *change.value} if change.kind == "add" else {change.field or STANDS}
    return tuple({word.event.id for name in names for word in heads(_words(mine, name))})


def _words(mine: dict[str, list[Word]], name: str) -> list[Word]:
    """Return the words about a slot; every ``add`` says of an unknown field that it is absent."""
    if name in mine:
        return mine[name]
    return [word for word in mine.get(STANDS, []) if word.event.kind == "add"]


def _same(one: Any, two: Any) -> bool:
    return canonical(one) == canonical(two)

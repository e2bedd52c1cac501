"""Events to a job, whatever order they arrive in.

Every event is a word about one or more *slots*: a field of an entity, or whether the entity stands
at all (slot ``""``).  A word falls where a later word of the same device, or one that names it as
superseded, speaks about the same slot.  Of the words left standing the newest wins; where two
devices left different words standing, that is a conflict and both stay visible.

Personal texts that stand beside the events are put back; what an event of kind ``erased`` names
reads as erased, whether the text is still there or not.

Limits: an entity whose ``add`` has not arrived yet is left out until it does.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from typing import Any

import msgspec

from wainscot.job import Conflict, Job
from wainscot.record.cover import uncover
from wainscot.record.event import HEADER, Event, check, instant
from wainscot.record.form import canonical

STANDS = ""
"""Slot that says whether an entity stands."""

ERASING = "erased"
"""Kind of the entities that say what was erased."""


class _Absent:
    """Value of a slot that is not there."""


ABSENT = _Absent()


class Word(msgspec.Struct, frozen=True):
    """What one event says about one slot."""

    event: Event
    value: Any


def fold(events: Iterable[Event], job_id: str) -> Job:
    """Return the job that a set of events adds up to.

    Parameters
    ----------
    events : iterable of Event
        In any order, repeats allowed; events of other jobs are passed over.
    job_id : str
        Id of the job.

    Raises
    ------
    RecordError
        If an event was altered or cannot be read.
    """
    entities: dict[str, dict[str, Any]] = {}
    header: dict[str, Any] = {}
    conflicts: list[Conflict] = []
    for key, slots in sorted(words_by_entity(events, job_id).items()):
        if key and not any(word.event.kind == "add" for word in slots[STANDS]):
            continue
        values, found = _resolved(key, slots)
        if not key:
            header = values
        elif values.pop(STANDS, None) is True:
            entities[key] = values
        else:
            found = [one for one in found if one.field == STANDS]
        conflicts += found
    return Job(
        id=job_id,
        title=header.get("title", ""),
        units=header.get("units", "m"),
        entities=entities,
        conflicts=tuple(conflicts),
    )


def words_by_entity(events: Iterable[Event], job_id: str) -> dict[str, dict[str, list[Word]]]:
    """Return every word by entity and slot; the job's own fields stand under the empty id."""
    grouped: dict[str, list[Word]] = {}
    mine = _distinct(events, job_id)
    gone = set(erased_by(mine))
    for one in mine:
        grouped.setdefault(one.entity, []).append(Word(one, told(one, gone)))
    return {key: _slots(key, group) for key, group in grouped.items()}


def told(event: Event, gone: Container[str] = ()) -> Any:
    """Return what an event says, its personal texts put back.

    Parameters
    ----------
    event : Event
        Any.
    gone : container of str
        Hashes of texts that were erased.
    """
    left = {key: one for key, one in event.beside.opened.items() if key not in gone}
    return uncover(event.value, left, event.field)


def erases(event: Event) -> bool:
    """Whether an event says that something was erased."""
    value = event.value
    return event.kind == "add" and value.get("kind") == ERASING


def erased_by(events: Iterable[Event], what: str = "texts") -> Iterator[str]:
    """Give the hashes of what events say was erased.

    Parameters
    ----------
    events : iterable of Event
        Any.
    what : str
        ``texts`` or ``photos``.
    """
    for one in events:
        named = one.value.get(what) if erases(one) else None
        if isinstance(named, list):
            yield from (each for each in named if isinstance(each, str))


def heads(words: Sequence[Word]) -> list[Word]:
    """Return the words of one slot that no other word replaces, the winner first."""
    replaced = {old for word in words for old in word.event.supersedes}
    newest: dict[str, int] = {}
    for word in words:
        device = word.event.device
        newest[device] = max(newest.get(device, word.event.seq), word.event.seq)
    left = [
        word
        for word in words
        if word.event.id not in replaced and word.event.seq == newest[word.event.device]
    ]
    # Only a device whose counter ran backwards can leave none; then every word stands.
    return sorted(left or words, key=_order, reverse=True)


def _order(word: Word) -> tuple[Any, ...]:
    one = word.event
    return instant(one.at), one.device, one.seq, one.id


def _distinct(events: Iterable[Event], job_id: str) -> list[Event]:
    found: dict[str, Event] = {}
    for one in events:
        if one.job != job_id or found.get(one.id) is one:
            continue
        check(one)
        found[one.id] = _with_texts(one, found.get(one.id, one))
    return list(found.values())


def _with_texts(one: Event, held: Event) -> Event:
    """Return an event with the texts that stand beside either copy of it."""
    if held.beside.opened.keys() <= one.beside.opened.keys():
        return one
    opened = {**held.beside.opened, **one.beside.opened}
    beside = msgspec.structs.replace(one.beside, opened=opened)
    return msgspec.structs.replace(one, beside=beside)


def _slots(key: str, said: Sequence[Word]) -> dict[str, list[Word]]:
    if not key:
        found = {name: [one for one in said if one.event.field == name] for name in HEADER}
        return {name: words for name, words in found.items() if words}
    adds = [one for one in said if one.event.kind == "add"]
    names = {one.event.field for one in said if one.event.field}
    names |= {name for one in adds for name in one.value}
    slots: dict[str, list[Word]] = {name: [] for name in sorted({STANDS, *names})}
    for one in said:
        event = one.event
        gone = event.kind == "withdraw" and not event.field
        slots[STANDS].append(Word(event, ABSENT if gone else True))
        if event.kind == "add":
            for name in names:
                slots[name].append(Word(event, one.value.get(name, ABSENT)))
        elif event.field:
            slots[event.field].append(
                Word(event, ABSENT if event.kind == "withdraw" else one.value)
            )
    return slots


def _resolved(key: str, slots: dict[str, list[Word]]) -> tuple[dict[str, Any], list[Conflict]]:
    values: dict[str, Any] = {}
    conflicts = []
    for name, words in slots.items():
        standing = heads(words)
        winner = standing[0]
        if winner.value is not ABSENT:
            values[name] = winner.value
        others = sorted(
            (word for word in standing[1:] if _text(word.value) != _text(winner.value)),
            key=lambda word: word.event.id,
        )
        if others:
            conflicts.append(
                Conflict(
                    entity=key,
                    field=name,
                    winner=winner.event.id,
                    others=tuple(word.event.id for word in others),
                    lost=tuple(_text(word.value) for word in others),
                )
            )
    return values, conflicts


def _text(value: Any) -> str:
    return "" if value is ABSENT else canonical(value).decode()

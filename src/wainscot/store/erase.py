"""A person forgotten: what a job holds of them is found, and taken away for good.

    found = look(store, "job_mill", ["Ana Ruiz", "Mrs Ruiz"])
    erase(store, found, now=now)

A personal text that names the person goes as a whole; with it go the signature, telephone and
address where the person stands as who it was, the photos beside such a text, photos whose own
bytes hold the name, the papers of the job with their links, and lines put aside that hold it.  An
event that says so is written, so that every record and phone that takes it in does the same.

Limits: a text is found by the words that are given, whole words, without regard to capitals and
accents; who is meant by another word stays.  What stands in the hashed part of an event (an old
event, an id) cannot go; it is told.  Backups go by :func:`wainscot.store.rotation.rotate`.
"""

from __future__ import annotations

import json
import re
import secrets
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

import msgspec
from sqlalchemy import column, delete, inspect, table

from wainscot.job import Job
from wainscot.record import Event, diff, erased_by, line_of, told
from wainscot.record.cover import covered, hashes_in
from wainscot.store import rows
from wainscot.store.faults import StoreError
from wainscot.store.made_papers import papers_of
from wainscot.store.store import Store
from wainscot.store.tables import quarantine

SAYS_WHO = frozenset({"by", "who", "caller", "owner", "name"})
"""Fields that say who somebody is; what belongs to that person stands beside them."""

GOES_ALONG = frozenset({"signature", "telephone", "address"})
"""Fields that belong to the person whom their entity names."""

LEAST = 6
"""Bytes of a name that is looked for in photos; a shorter one stands in them by chance
(judgement: three bytes are in one photo of six)."""

WORK = table("work", column("job"))
"""What servers that share a database were asked to calculate; it holds the job as it was."""

Hits = Callable[[str], bool]


class Left(msgspec.Struct, frozen=True):
    """An event that holds the name in what is hashed: it cannot be erased."""

    id: str
    device: str
    seq: int
    entity: str
    field: str


class Found(msgspec.Struct, frozen=True):
    """What a job holds of a person.

    ``texts`` are hashes of personal texts, ``photos`` and ``papers`` SHA-256 of their bytes,
    ``aside`` those of lines that were put aside; ``places`` says where texts stand, entity and
    field; ``left`` cannot be erased.
    """

    job: str
    texts: tuple[str, ...]
    places: tuple[tuple[str, str], ...]
    photos: tuple[str, ...]
    papers: tuple[str, ...]
    aside: tuple[str, ...]
    left: tuple[Left, ...]


def look(store: Store, job: str, names: Sequence[str]) -> Found:
    """Return what a job holds of a person.

    Parameters
    ----------
    store : Store
        The record.
    job : str
        Id of the job.
    names : sequence of str
        How the person is called or written: name, nickname, telephone number.

    Raises
    ------
    StoreError
        If there is no such job or no name.
    """
    events = store.events(job)
    if not events:
        raise StoreError(f"the record holds no job {job}")
    hits = hits_of(names)
    gone = set(erased_by(events))
    places = dict(_texts(events, hits, gone))
    papers = papers_of(store, job)
    pictures = {one for paper in papers for one in (paper.digest, paper.pages)}
    aside = [one.digest for one in store.quarantined() if _aside(one.raw, job, hits)]
    return Found(
        job=job, texts=tuple(places), places=tuple(sorted(set(places.values()))),
        photos=tuple(sorted(_photos(store, events, hits, names))),
        papers=tuple(sorted(pictures)), aside=tuple(aside), left=tuple(_left(events, hits)),
    )  # fmt: skip


def erase(store: Store, found: Found, *, now: str, by: str = "") -> None:
    """Take away what was found, in one transaction, and write over where it stood.

    Parameters
    ----------
    store : Store
        The record.
    found : Found
        As :func:`look` gave it just now.
    now : str
        ISO 8601 with offset.
    by : str
        Who erases.
    """
    photos = [*found.photos, *found.papers]
    if found.texts or photos:
        said = {"kind": "erased", "texts": list(found.texts), "at": now}
        said |= ({"photos": photos} if photos else {}) | ({"by": by} if by else {})
        _say(store, found.job, said, now)
    with store.database.writing() as connection:
        for digest in found.aside:
            connection.execute(delete(quarantine).where(quarantine.c.digest == digest))
        if inspect(connection).has_table(WORK.name):
            connection.execute(delete(WORK).where(WORK.c.job == found.job))
    store.database.write_over()


def _say(store: Store, job: str, said: dict[str, Any], now: str) -> None:
    """Write the event that erases; the record takes the rest out as it does with another's."""
    nothing = Job(id=job)
    added = Job(id=job, entities={f"erased_{secrets.token_hex(8)}": said})
    with store.database.writing() as connection:
        device = rows.own_device(connection)
        seq, prev = rows.tip(connection, device)
        made = diff(nothing, added, device=device, seq=seq + 1, prev=prev, at=now)
        rows.write_own(connection, made, store.layout.device_key, store.disk, at=now)
    store.blobs.forget_erased()


def hits_of(names: Sequence[str]) -> Hits:
    """Return what says whether a text holds one of the names.

    Parameters
    ----------
    names : sequence of str
        At least one, none of them empty.

    Raises
    ------
    StoreError
        If there is none.
    """
    wanted = [_plain(one) for one in names]
    if not wanted or not all(wanted):
        raise StoreError("name whom to erase")
    words = re.compile("|".join(rf"(?<!\w){re.escape(one)}(?!\w)" for one in wanted))
    return lambda text: words.search(_plain(text)) is not None


def _plain(text: str) -> str:
    parts = unicodedata.normalize("NFKD", text)
    bare = "".join(one for one in parts if not unicodedata.combining(one))
    return " ".join(bare.casefold().split())


def _texts(
    events: Sequence[Event], hits: Hits, gone: set[str]
) -> Iterator[tuple[str, tuple[str, str]]]:
    """Give the hash of each text that goes, with entity and field."""
    standing = [
        (one, field, key, one.beside.opened[key][1])
        for one in events for field, key in _named(one.value, one.field)
        if key in one.beside.opened and key not in gone
    ]  # fmt: skip
    whose = {one.entity for one, field, _, text in standing if field in SAYS_WHO and hits(text)}
    for one, field, key, text in standing:
        if hits(text) or (field in GOES_ALONG and one.entity in whose):
            yield key, (one.entity, field)


def _named(value: Any, field: str) -> Iterator[tuple[str, str]]:
    """Give field and hash of every text that is covered in a value."""
    if covered(value):
        yield field, next(hashes_in(value))
    elif isinstance(value, dict):
        for name, one in value.items():
            yield from _named(one, name)
    elif isinstance(value, list):
        for one in value:
            yield from _named(one, field)


def _photos(
    store: Store, events: Sequence[Event], hits: Hits, names: Sequence[str]
) -> set[str]:  # fmt: skip
    """Return the photos beside a text that names the person, and those whose bytes do."""
    values = [told(one) for one in events]
    values += list(store.job(events[0].job).entities.values())
    whose = set(_looks_that_name(events, hits))
    beside: set[str] = set()
    every: set[str] = set()
    for node in _nodes(values):
        mine = {one for name in ("photo", "photos") for one in _words(node.get(name))} - {""}
        every |= mine
        if _names(node, hits) or str(node.get("of")) in whose:
            beside |= mine
    return {
        one for one in every
        if store.blobs.has(one) and (one in beside or _holds(store, one, names))
    }  # fmt: skip


def _looks_that_name(events: Sequence[Event], hits: Hits) -> Iterator[str]:
    """Give the inspections one of whose finds ever named the person: photos stand beside them."""
    for one in events:
        value = told(one)
        finds = value.get("finds") if isinstance(value, dict) else value
        if (one.kind == "add" or one.field == "finds") and any(
            _names(node, hits) for node in _nodes(finds)
        ):
            yield one.entity


def _names(node: dict[str, Any], hits: Hits) -> bool:
    return any(hits(text) for one in node.values() for text in _words(one))


def _nodes(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        yield value
    if isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _nodes(one)


def _words(value: Any) -> list[str]:
    """Return the texts that a value is or lists."""
    return [one for one in (value if isinstance(value, list) else [value]) if isinstance(one, str)]


def _holds(store: Store, digest: str, names: Sequence[str]) -> bool:
    spelt = [one.encode(code) for one in names for code in ("utf-8", "utf-16-le", "utf-16-be")]
    content = b"".join(store.blobs.read(digest)).lower()
    return any(len(one) >= LEAST and one.lower() in content for one in spelt)


def _aside(raw: bytes, job: str, hits: Hits) -> bool:
    """Whether a line that was put aside names the person and is not of another job."""
    text = raw.decode("utf-8", "replace")
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        return hits(text)
    if isinstance(content, dict) and content.get("job", job) != job:
        return False
    return any(hits(one) for one in _every_text(content))


def _every_text(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from value
        yield from (text for one in value.values() for text in _every_text(one))
    elif isinstance(value, list):
        yield from (text for one in value for text in _every_text(one))


def _left(events: Iterable[Event], hits: Hits) -> Iterator[Left]:
    for one in events:
        if any(hits(text) for text in _every_text(json.loads(line_of(one)))):
            yield Left(one.id, one.device, one.seq, one.entity, one.field)

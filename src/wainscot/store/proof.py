"""What of a record is whole, what is not, and what cannot be shown: in words that a judge can read.

Every event's id, every device's chain, order and time of arrival under the heads that were given
out, their signatures, the jobs that are kept folded, photos.

Limits: a head shows only what had arrived by then.  Heads that stand in the record itself can be
made anew by whoever holds its folder and key; one that was given out before cannot.
"""

from __future__ import annotations

import json
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

import msgspec
from sqlalchemy import select

from wainscot.job import Job
from wainscot.record import (
    Event,
    Head,
    RecordError,
    canonical,
    event_id,
    event_of,
    fold,
    key_name,
    leaf_of,
    tree,
)
from wainscot.store import rows
from wainscot.store.archive import Archive
from wainscot.store.chains import Chain, Link, chains
from wainscot.store.database import Finding
from wainscot.store.faults import DamagedError
from wainscot.store.heads import heads, hexadecimal, signature_good
from wainscot.store.rows import Received
from wainscot.store.store import FOLDING, Store
from wainscot.store.tables import event, folded
from wainscot.store.whole import EVENTS, HEADS, RECEIPTS

T = TypeVar("T")

_SHOWN = 10  # faults of one kind that are told one by one


class Arrived(msgspec.Struct, frozen=True):
    """An event as it lies in a record: its line, its receipt, and what stands beside it."""

    line: bytes
    receipt: Received
    beside: dict[str, str | int]
    """Columns that repeat what the line says, by name."""


def check_store(store: Store, given: Sequence[Head] = (), *, photos: bool = True) -> list[Finding]:
    """Return what is whole in a record and what is not.

    Parameters
    ----------
    store : Store
        The record.
    given : sequence of Head
        Heads from outside: off papers, out of letters.
    photos : bool
        Whether every photo is read again; that takes as long as copying them.
    """
    columns = ("id", "job", "device", "seq", "prev")
    chosen = select(event).order_by(event.c.n)
    with store.database.reading() as connection:
        found = connection.execute(chosen).all()
        kept = connection.execute(select(folded).order_by(folded.c.job)).all()
        names = {one: rows.head(connection, one) for one in {row.job for row in kept}}
    arrived = [
        Arrived(bytes(row.body), Received(row.id, row.received, row.skew),
                {name: getattr(row, name) for name in columns})
        for row in found
    ]  # fmt: skip
    told = list(check_arrived(arrived, heads(store), given))
    if [row.n for row in found] != list(range(1, len(found) + 1)):
        words = "the numbers of arrival do not run from 1 without a gap: rows were taken out"
        told.append(_bad("order", words))
    current = [
        (row.job, bytes(row.body)) for row in kept if row.head == f"{FOLDING}:{names[row.job]}"
    ]
    told += _folded(current, arrived)
    if photos:
        told += _photos(store)
    return [*told, *_cannot(len(arrived), heads(store), given)]


def check_file(path: Path, given: Sequence[Head] = ()) -> list[Finding]:
    """Return what is whole in a file that was exported, and what is not.

    Parameters
    ----------
    path : Path
        Everything (``.zip``), or events as lines, of which only ids and chains can be checked.
    given : sequence of Head
        Heads from outside.

    Raises
    ------
    DamagedError
        If the file cannot be read.
    """
    if not zipfile.is_zipfile(path):
        lines = [line for line in path.read_bytes().splitlines() if line.strip()]
        events = [Arrived(line, Received(_id_of(line), ""), {}) for line in lines]
        told = "the file does not say when events arrived, so no head can be held against it"
        return [*_lines(events), *_chains(events), Finding("cannot show", "note", told)]
    archive = Archive(path)
    if archive.manifest.kind != "everything":
        raise DamagedError(f"{path.name} is a backup; restore it and look at that record")
    archive.check()
    lines = b"".join(archive.read(EVENTS)).splitlines()
    by_id = {_id_of(line): line for line in lines}
    receipts, kept = _listed(archive, RECEIPTS, Received), _listed(archive, HEADS, Head)
    if len(lines) != len(receipts) or set(by_id) != {one.id for one in receipts}:
        return [_bad("order", "events and the list of their arrival do not agree")]
    arrived = [Arrived(by_id[one.id], one, {}) for one in receipts]
    photos = sum(name.startswith("blobs/") for name in archive.manifest.members)
    wrong = [
        name for name, one in archive.manifest.members.items()
        if name.startswith("blobs/") and name != f"blobs/{one.sha256}"
    ]  # fmt: skip
    return [
        *check_arrived(arrived, kept, given),
        *_told("photo", [f"photo {one[6:18]} was altered" for one in wrong], f"{photos} read"),
        *_cannot(len(arrived), kept, given),
    ]


def check_arrived(
    arrived: Sequence[Arrived], kept: Sequence[Head], given: Sequence[Head] = ()
) -> Iterator[Finding]:
    """Give what events in order of arrival show under heads.

    Parameters
    ----------
    arrived : sequence of Arrived
        In order.
    kept, given : sequence of Head
        Heads that stand in the record, and heads from outside.
    """
    yield from _lines(arrived)
    yield from _chains(arrived)
    leaves = [_leaf(one.receipt) for one in arrived]
    found = tree.roots(leaves, [one.size for one in (*kept, *given)])
    for one in given:
        yield _held(one, found, len(leaves), "given head")
        if one.signature and one not in kept:
            yield _bad("given head", f"the record does not list the {_name(one)}")
    faults = [one for one in (_held(one, found, len(leaves), "head") for one in kept)
              if one.state == "bad"]  # fmt: skip
    yield from faults or [Finding("head", "good", f"{len(kept)} kept; each holds and is signed")]
    for key, count in Counter(one.key for one in kept).items():
        named = key_name(key) if hexadecimal(key, 64) else "(no key)"
        yield Finding("key", "note", f"{named} signed {count}; compare it with the papers")


def _lines(arrived: Sequence[Arrived]) -> Iterator[Finding]:
    faults = [f"event {one.receipt.id[:12]} {fault}" for one in arrived if (fault := _fault(one))]
    twice = [one for one, n in Counter(one.receipt.id for one in arrived).items() if n > 1]
    faults += [f"event {one[:12]} stands twice" for one in twice]
    yield from _told("event", faults, f"{len(arrived)} read; each has the content of its id")


def _fault(one: Arrived) -> str:
    """Return what is wrong with an event; empty where nothing is."""
    try:
        content = json.loads(one.line)
        if not isinstance(content, dict) or event_id(content) != one.receipt.id:
            return "was altered: its content has another hash"
        if content.get("id") != one.receipt.id or canonical(content) != one.line:
            return "is not written as it was"
    except (ValueError, RecordError, RecursionError):
        return "cannot be read"
    if any(content.get(name) != value for name, value in one.beside.items()):
        return "stands under another job, device or number than it says"
    return ""


def _chains(arrived: Iterable[Arrived]) -> Iterator[Finding]:
    links = []
    for one in arrived:
        try:
            read = event_of(json.loads(one.line))
        except (ValueError, RecordError, RecursionError):
            continue
        links.append(Link(read.id, read.device, read.seq, read.prev))
    made = chains(dict.fromkeys(links))
    broken = [f"{chain.device}: event {one[:12]} names another event before it"
              for chain in made for one in chain.breaks]  # fmt: skip
    yield from _told("chain", broken, f"{len(made)} devices; each event names the one before")
    for chain in made:
        yield from _holes(chain)


def _holes(chain: Chain) -> Iterator[Finding]:
    for first, last in chain.gaps:
        told = f"{chain.device}: events {first} to {last} are not here: not sent yet, or taken out"
        yield Finding("chain", "note", told)
    for seq in chain.forks:
        told = f"{chain.device}: number {seq} stands more than once"
        yield Finding("chain", "note", told, "a device that was set back to an older copy does so")


def _leaf(one: Received) -> bytes:
    try:
        return tree.leaf_hash(leaf_of(one.id, one.received, one.skew))
    except RecordError:
        return tree.leaf_hash(b"")  # a number or text that no receipt can hold: no head fits


def _name(one: Head) -> str:
    return f"head of {one.size} events" + (f", {one.time}" if one.time else "")


def _held(one: Head, found: dict[int, bytes], size: int, what: str) -> Finding:
    name = _name(one)
    if one.size not in found:
        cure = "a backup that was put back looks the same; ask what happened"
        told = f"{name}: only {size} events are here, {one.size - size} were taken out or lost"
        return Finding(what, "bad", told, cure)
    if found[one.size].hex() != one.root:
        told = f"{name}: these are not the events that it was given out for, or not in their order"
        return Finding(what, "bad", told)
    if not one.key and not one.signature and what == "given head":
        return Finding(what, "good", f"{name}: holds (size and root; no signature was given)")
    if not signature_good(one):
        return Finding(what, "bad", f"{name}: its signature is not that of its key")
    return Finding(what, "good", f"{name}: holds; signed by key {key_name(one.key)}")


def _folded(kept: Sequence[tuple[str, bytes]], arrived: Sequence[Arrived]) -> Iterator[Finding]:
    """Compare the jobs that are kept folded, so that they open at once, with their events."""
    events: dict[str, list[Event]] = {}
    for one in arrived:
        try:
            read = event_of(json.loads(one.line))
            events.setdefault(read.job, []).append(read)
        except (ValueError, RecordError, RecursionError):
            continue
    faults = []
    for job, body in kept:
        try:
            same = msgspec.json.decode(body, type=Job) == fold(events.get(job, []), job)
        except msgspec.DecodeError:
            same = False
        if not same:
            faults.append(f"job {job} as it is shown is not what its events add up to")
    yield from _told("job", faults, f"{len(kept)} kept as shown; each is what its events add up to")


def _photos(store: Store) -> Iterator[Finding]:
    faults = [f"photo {one.hash[:12]} is {one.fault}" for one in store.blobs.scrub()
              if one.fault != "without a row"]  # fmt: skip
    yield from _told("photo", faults, f"{len(store.blobs.rows())} read and as recorded")


def _cannot(size: int, kept: Sequence[Head], given: Sequence[Head]) -> Iterator[Finding]:
    def note(told: str) -> Finding:
        return Finding("cannot show", "note", told)

    outside = max((one.size for one in given), default=0)
    if not given:
        yield note("no head from outside was given: whoever holds the folder can make heads in it "
                   "anew; give one off a paper with --head")  # fmt: skip
    if size > outside:
        yield note(f"whether events {outside + 1} to {size}, which came after the last head from "
                   "outside, were changed, or others after them cut off")  # fmt: skip
    if kept or given:
        yield note("who signed: a key that was copied signs as well as its owner")
    yield note("whether this machine's clock was right, and what never was sent here")


def _told(what: str, faults: Sequence[str], good: str) -> Iterator[Finding]:
    if not faults:
        yield Finding(what, "good", good)
    for one in faults[:_SHOWN]:
        yield _bad(what, one)
    if len(faults) > _SHOWN:
        yield _bad(what, f"and {len(faults) - _SHOWN} more")


def _bad(what: str, told: str) -> Finding:
    return Finding(what, "bad", told)


def _id_of(line: bytes) -> str:
    try:
        return str(json.loads(line)["id"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return ""


def _listed(archive: Archive, name: str, kind: type[T]) -> list[T]:
    if name not in archive.manifest.members:
        return []
    try:
        text = b"".join(archive.read(name))
        return [msgspec.json.decode(one, type=kind) for one in text.splitlines()]
    except msgspec.DecodeError as error:
        raise DamagedError(f"{archive.path.name}: {name} cannot be read ({error})") from None

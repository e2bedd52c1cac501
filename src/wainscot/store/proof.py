"""What of a record is whole, what is not, and what cannot be shown: in words that a judge can read.

Every event's id, signature and personal texts, every device's chain and key, order and time of
arrival under the heads that were given out, the jobs that are kept folded, photos.

Limits: a head shows only what had arrived by then.  Heads that stand in the record itself can be
made anew by whoever holds its folder and key; one that was given out before cannot.
"""

from __future__ import annotations

import json
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

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
    parted,
    tree,
)
from wainscot.store import rows
from wainscot.store.archive import Archive
from wainscot.store.chains import Chain, Link, chains
from wainscot.store.database import Finding
from wainscot.store.faults import DamagedError
from wainscot.store.findings import bad, told
from wainscot.store.heads import heads, signature_good
from wainscot.store.keys import DeviceKey, keys_in
from wainscot.store.rows import Received
from wainscot.store.signatures import check_signature, hexadecimal
from wainscot.store.store import FOLDING, Store
from wainscot.store.tables import event, folded
from wainscot.store.vouched import signatures, texts
from wainscot.store.whole import EVENTS, HEADS, KEYS, RECEIPTS, listed


class Arrived(msgspec.Struct, frozen=True):
    """An event as it lies in a record: its line as it is sent, and its receipt."""

    line: bytes
    receipt: Received
    columns: dict[str, str | int]
    """Those that repeat what the line says, by name."""


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
        keys = keys_in(connection)
    arrived = [
        Arrived(rows.whole(row.body, row.beside), Received(row.id, row.received, row.skew),
                {name: getattr(row, name) for name in columns})
        for row in found
    ]  # fmt: skip
    findings = list(check_arrived(arrived, heads(store), given, keys))
    if [row.n for row in found] != list(range(1, len(found) + 1)):
        words = "the numbers of arrival do not run from 1 without a gap: rows were taken out"
        findings.append(bad("order", words))
    current = [
        (row.job, bytes(row.body)) for row in kept if row.head == f"{FOLDING}:{names[row.job]}"
    ]
    findings += _folded(current, _events(arrived))
    if photos:
        findings += _photos(store)
    return [*findings, *_cannot(len(arrived), heads(store), given)]


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
        words = "the file does not say when events arrived, so no head can be held against it"
        return [*_contents(events, ()), Finding("cannot show", "note", words)]
    archive = Archive(path)
    if archive.manifest.kind != "everything":
        raise DamagedError(f"{path.name} is a backup; restore it and look at that record")
    archive.check()
    lines = b"".join(archive.read(EVENTS)).splitlines()
    by_id = {_id_of(line): line for line in lines}
    receipts, kept = listed(archive, RECEIPTS, Received), listed(archive, HEADS, Head)
    keys = listed(archive, KEYS, DeviceKey)
    if len(lines) != len(receipts) or set(by_id) != {one.id for one in receipts}:
        return [bad("order", "events and the list of their arrival do not agree")]
    arrived = [Arrived(by_id[one.id], one, {}) for one in receipts]
    photos = sum(name.startswith("blobs/") for name in archive.manifest.members)
    wrong = [
        name for name, one in archive.manifest.members.items()
        if name.startswith("blobs/") and name != f"blobs/{one.sha256}"
    ]  # fmt: skip
    return [
        *check_arrived(arrived, kept, given, keys),
        *told("photo", [f"photo {one[6:18]} was altered" for one in wrong], f"{photos} read"),
        *_cannot(len(arrived), kept, given),
    ]


def check_arrived(
    arrived: Sequence[Arrived], kept: Sequence[Head], given: Sequence[Head] = (),
    keys: Sequence[DeviceKey] = (),
) -> Iterator[Finding]:  # fmt: skip
    """Give what events in order of arrival show under heads.

    Parameters
    ----------
    arrived : sequence of Arrived
        In order.
    kept, given : sequence of Head
        Heads that stand in the record, and heads from outside.
    keys : sequence of DeviceKey
        That devices told.
    """
    yield from _contents(arrived, keys)
    leaves = [_leaf(one.receipt) for one in arrived]
    found = tree.roots(leaves, [one.size for one in (*kept, *given)])
    for one in given:
        yield _held(one, found, len(leaves), "given head")
        if one.signature and one not in kept:
            yield bad("given head", f"the record does not list the {_name(one)}")
    faults = [one for one in (_held(one, found, len(leaves), "head") for one in kept)
              if one.state == "bad"]  # fmt: skip
    yield from faults or [Finding("head", "good", f"{len(kept)} kept; each holds and is signed")]
    for key, count in Counter(one.key for one in kept).items():
        named = key_name(key) if hexadecimal(key, 64) else "(no key)"
        yield Finding("key", "note", f"{named} signed {count}; compare it with the papers")


def _contents(arrived: Sequence[Arrived], keys: Sequence[DeviceKey]) -> Iterator[Finding]:
    events = _events(arrived)
    yield from _lines(arrived)
    yield from signatures(events, keys)
    yield from texts(events)
    yield from _chains(events)


def _events(arrived: Iterable[Arrived]) -> list[Event]:
    """Return those that can be read; the others are told line by line."""
    found = []
    for one in arrived:
        try:
            found.append(event_of(json.loads(one.line)))
        except (ValueError, RecordError, RecursionError):
            continue
    return found


def _lines(arrived: Sequence[Arrived]) -> Iterator[Finding]:
    faults = [f"event {one.receipt.id[:12]} {fault}" for one in arrived if (fault := _fault(one))]
    twice = [one for one, n in Counter(one.receipt.id for one in arrived).items() if n > 1]
    faults += [f"event {one[:12]} stands twice" for one in twice]
    yield from told("event", faults, f"{len(arrived)} read; each has the content of its id")


def _fault(one: Arrived) -> str:
    """Return what is wrong with an event; empty where nothing is."""
    try:
        line, _ = parted(one.line)
        content = json.loads(line)
        if not isinstance(content, dict) or event_id(content) != one.receipt.id:
            return "was altered: its content has another hash"
        if content.get("id") != one.receipt.id or canonical(content) != line:
            return "is not written as it was"
    except (ValueError, RecordError, RecursionError):
        return "cannot be read"
    if any(content.get(name) != value for name, value in one.columns.items()):
        return "stands under another job, device or number than it says"
    return _fault_beside(one.line)


def _fault_beside(line: bytes) -> str:
    try:
        check_signature(event_of(json.loads(line)))
    except RecordError as error:
        return f"is not as it was sent: {error}"
    return ""


def _chains(events: Iterable[Event]) -> Iterator[Finding]:
    made = chains(dict.fromkeys(Link(one.id, one.device, one.seq, one.prev) for one in events))
    broken = [f"{chain.device}: event {one[:12]} names another event before it"
              for chain in made for one in chain.breaks]  # fmt: skip
    yield from told("chain", broken, f"{len(made)} devices; each event names the one before")
    for chain in made:
        yield from _holes(chain)


def _holes(chain: Chain) -> Iterator[Finding]:
    for first, last in chain.gaps:
        text = f"{chain.device}: events {first} to {last} are not here: not sent yet, or taken out"
        yield Finding("chain", "note", text)
    for seq in chain.forks:
        text = f"{chain.device}: number {seq} stands more than once"
        yield Finding("chain", "note", text, "a device that was set back to an older copy does so")


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
        text = f"{name}: only {size} events are here, {one.size - size} were taken out or lost"
        return Finding(what, "bad", text, cure)
    if found[one.size].hex() != one.root:
        text = f"{name}: these are not the events that it was given out for, or not in their order"
        return bad(what, text)
    if not one.key and not one.signature and what == "given head":
        return Finding(what, "good", f"{name}: holds (size and root; no signature was given)")
    if not signature_good(one):
        return Finding(what, "bad", f"{name}: its signature is not that of its key")
    return Finding(what, "good", f"{name}: holds; signed by key {key_name(one.key)}")


def _folded(kept: Sequence[tuple[str, bytes]], events: Sequence[Event]) -> Iterator[Finding]:
    """Compare the jobs that are kept folded, so that they open at once, with their events."""
    faults = []
    for job, body in kept:
        try:
            same = msgspec.json.decode(body, type=Job) == fold(events, job)
        except msgspec.DecodeError:
            same = False
        if not same:
            faults.append(f"job {job} as it is shown is not what its events add up to")
    yield from told("job", faults, f"{len(kept)} kept as shown; each is what its events add up to")


def _photos(store: Store) -> Iterator[Finding]:
    faults = [f"photo {one.hash[:12]} is {one.fault}" for one in store.blobs.scrub()
              if one.fault != "without a row"]  # fmt: skip
    yield from told("photo", faults, f"{len(store.blobs.rows())} read and as recorded")


def _cannot(size: int, kept: Sequence[Head], given: Sequence[Head]) -> Iterator[Finding]:
    def note(text: str) -> Finding:
        return Finding("cannot show", "note", text)

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


def _id_of(line: bytes) -> str:
    try:
        return str(json.loads(line)["id"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return ""

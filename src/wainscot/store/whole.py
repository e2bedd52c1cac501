"""Everything that a record holds as one file, and back: to move house, or to leave.

Unlike a backup it knows no tables, only lines of JSON and photos, so any program can read it.
Reading one in is a union: what is there stays, what is new is added.

Members: ``events.jsonl`` (one event a line: what stands beside it, then its canonical JSON),
``receipts.jsonl`` (when each arrived, in order, canonical too), ``heads.jsonl`` (signed heads),
``keys.jsonl`` (public keys of devices), ``verify.py`` (checks it all with nothing but Python),
``quarantine.jsonl`` (what was put aside, in base64), ``blobs/HASH``.
"""

from __future__ import annotations

import base64
import shutil
from pathlib import Path
from typing import TypeVar

import msgspec

from wainscot.record import Head, leaf_of, tree
from wainscot.store import alone
from wainscot.store.archive import Archive, Manifest, Member, Part, write_archive
from wainscot.store.backup import set_hash
from wainscot.store.faults import DamagedError, StoreError
from wainscot.store.heads import heads, keep, kept_in, leaves_of, signature_good
from wainscot.store.keys import DeviceKey, keep_keys, keys_in
from wainscot.store.rows import Received
from wainscot.store.store import Store
from wainscot.store.told import Receipt

T = TypeVar("T")

EVENTS, RECEIPTS, QUARANTINE = "events.jsonl", "receipts.jsonl", "quarantine.jsonl"
HEADS, KEYS, VERIFIER = "heads.jsonl", "keys.jsonl", "verify.py"


class PutAside(msgspec.Struct, frozen=True):
    """One line of ``quarantine.jsonl``."""

    raw: str
    reason: str


class Brought(msgspec.Struct, frozen=True):
    """What reading everything in gave: a receipt for the lines, and how many photos were new."""

    receipt: Receipt
    blobs: int


def export_everything(store: Store, path: Path, *, now: str) -> str:
    """Write everything into one file, read it back, and return its SHA-256.

    Parameters
    ----------
    store : Store
        The record.
    path : Path
        File; one that is there is replaced.
    now : str
        ISO 8601 with offset.
    """
    # Photos are listed after the events: an event's photo may be sent later, never the reverse.
    given, lines = heads(store), store.lines()
    with store.database.reading() as connection:
        keys = keys_in(connection)
    receipts = store.receipts()[: len(lines)]  # more may have arrived in between
    aside = [
        PutAside(base64.b64encode(one.raw).decode(), one.reason) for one in store.quarantined()
    ]
    blobs = [digest for digest, _ in store.blobs.rows()]

    def manifest(members: dict[str, Member]) -> Manifest:
        return Manifest(
            form=1, kind="everything", taken=now, head=set_hash(one.id for one in receipts),
            blob_head=set_hash(blobs), members=members, events=len(lines), blobs=len(blobs),
        )  # fmt: skip

    encode = msgspec.json.encode
    parts: list[Part] = [
        (EVENTS, (line + b"\n" for line in lines)),
        (RECEIPTS, (leaf_of(one.id, one.received, one.skew) + b"\n" for one in receipts)),
        (HEADS, (encode(one) + b"\n" for one in given)),
        (KEYS, (encode(one) + b"\n" for one in keys)),
        (VERIFIER, [Path(alone.__file__).read_bytes()]),
        (QUARANTINE, (encode(one) + b"\n" for one in aside)),
    ]
    parts += [(f"blobs/{digest}", store.blobs.read(digest)) for digest in blobs]
    return write_archive(path, parts, manifest, store.disk, lambda part: Archive(part).check())


LARGEST_TEXT = 512 << 20
"""Bytes that the events, receipts and lines put aside of a file may unpack to, each (judgement:
over a million events)."""


def import_everything(store: Store, path: Path, *, received: str) -> Brought:
    """Read such a file in.

    Parameters
    ----------
    store : Store
        The record; what it holds stays.
    path : Path
        As :func:`export_everything` wrote it.
    received : str
        Now, ISO 8601 with offset.

    Raises
    ------
    DamagedError
        If the file is not as written; nothing is read in then.
    StoreError
        If it would unpack to more than there is room for.
    """
    archive = Archive(path)
    if archive.manifest.kind != "everything":
        raise DamagedError(f"{path.name} is a backup; use restore")
    _refuse_too_large(archive, shutil.disk_usage(store.layout.folder).free)
    archive.check()
    lines = _lines(archive, EVENTS)
    receipts = listed(archive, RECEIPTS, Received)
    aside = listed(archive, QUARANTINE, PutAside)
    given, keys = listed(archive, HEADS, Head), listed(archive, KEYS, DeviceKey)
    try:
        lines += [base64.b64decode(one.raw, validate=True) for one in aside]
    except ValueError as error:
        raise DamagedError(f"{path.name} is damaged ({error})") from None
    new = _blobs(store, archive, received)
    receipt = store.restore_receipts(_as_arrived(lines, receipts), receipts, received=received)
    _keep_heads(store, given)
    with store.database.writing() as connection:
        keep_keys(connection, keys)
    return Brought(receipt, new)


def _as_arrived(lines: list[bytes], receipts: list[Received]) -> list[bytes]:
    """Return lines in the order in which they arrived there, so that heads hold here too."""
    place = {one.id: n for n, one in enumerate(receipts)}

    def key(line: bytes) -> int:
        try:
            return place.get(str(msgspec.json.decode(line)["id"]), len(place))
        except (msgspec.DecodeError, KeyError, TypeError, RecursionError, UnicodeDecodeError):
            return len(place)

    return sorted(lines, key=key)


def _keep_heads(store: Store, given: list[Head]) -> None:
    """Keep the heads that hold here; where something else arrived before, they say nothing."""
    with store.database.writing() as connection:
        found = tree.roots(leaves_of(connection), [one.size for one in given])
        there = kept_in(connection)
        for one in given:
            holds = found.get(one.size, b"").hex() == one.root and signature_good(one)
            if holds and one not in there:
                keep(connection, one)


def _refuse_too_large(archive: Archive, most: int) -> None:
    """Refuse by the sizes that the list tells; reading stops where a member is longer than told."""
    told = archive.manifest.members
    text = max((told[one].size for one in (EVENTS, RECEIPTS, QUARANTINE) if one in told), default=0)
    if archive.size > most or text > LARGEST_TEXT:
        raise StoreError(f"{archive.path.name} unpacks to {archive.size} bytes; that is too much")


def _lines(archive: Archive, name: str) -> list[bytes]:
    return b"".join(archive.read(name)).splitlines() if name in archive.manifest.members else []


def listed(archive: Archive, name: str, kind: type[T]) -> list[T]:
    """Return what the lines of a member hold; nothing where there is no such member.

    Parameters
    ----------
    archive : Archive
        A file with everything.
    name : str
        The member.
    kind : type
        What each line is.

    Raises
    ------
    DamagedError
        If a line is something else.
    """
    try:
        return [msgspec.json.decode(one, type=kind) for one in _lines(archive, name)]
    except (ValueError, RecursionError) as error:
        raise DamagedError(f"{archive.path.name}: {name} cannot be read ({error})") from None


def _blobs(store: Store, archive: Archive, received: str) -> int:
    new = 0
    for name in archive.manifest.members:
        if not name.startswith("blobs/"):
            continue
        digest = name.removeprefix("blobs/")
        if not store.blobs.has(digest) and not store.blobs.erased(digest):
            offset = 0
            for chunk in archive.read(name):
                offset = store.blobs.add(digest, offset, chunk)
            store.blobs.finish(digest, received=received)
            new += 1
    return new

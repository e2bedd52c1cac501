"""Is the record in a state in which it keeps what it is given?"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from sqlalchemy import func, select

from wainscot.record import instant
from wainscot.store import migrate
from wainscot.store.backed_up import Status, status
from wainscot.store.database import Finding
from wainscot.store.store import Store
from wainscot.store.tables import event

SHARED = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "fuse.sshfs", "vboxsf", "afpfs"}
"""File systems that lie on another machine, by the names that the Linux kernel and its modules give
(from memory, no source)."""

LEAST_FREE = 1 << 30
"""Bytes that should be free (judgement: some 300 photos)."""

LARGEST_SKEW = 300.0
"""How far a device's clock may be off before it is told (judgement). [s]"""


def doctor(store: Store, *, now: str, scrub: bool = False) -> tuple[Finding, ...]:
    """Return what is well with a record and what is not.

    Parameters
    ----------
    store : Store
        The record.
    now : str
        What this machine's clock says, ISO 8601 with offset.
    scrub : bool
        Read every photo again; that takes as long as copying them.
    """
    return (
        *store.database.findings(),
        _version(store),
        *_disk(store.layout.folder, shared=not store.database.own_file),
        _clock(store, now),
        *_skews(store),
        *_chains(store),
        _aside(store),
        *(_photos(store) if scrub else ()),
        *_backups(store, status(store.database, store.layout.backups)),
    )


def _version(store: Store) -> Finding:
    return Finding("tables", "good", f"revision {migrate.revision(store.database)}")


def _disk(folder: Path, *, shared: bool) -> Iterator[Finding]:
    kind = file_system(folder)
    if kind in SHARED and not shared:
        cure = "move the record to this machine's own disk: locks over a share cannot be relied on"
        yield Finding("file system", "bad", f"the record lies on {kind}", cure)
    elif kind:
        yield Finding("file system", "good", kind)
    else:
        yield Finding("file system", "note", "this system does not say which it is")
    free = shutil.disk_usage(folder).free
    told = f"{free / 1e9:.1f} GB free"
    if free < LEAST_FREE:
        yield Finding("space", "bad", told, "make room; a full disk still reads and exports")
    else:
        yield Finding("space", "good", told)


def file_system(folder: Path, mounts: Path = Path("/proc/mounts")) -> str:
    """Return the kind of file system that a folder lies on; empty where nothing tells it.

    Parameters
    ----------
    folder : Path
        Any folder.
    mounts : Path
        List of mounts as Linux gives it: device, place, kind, and more, by spaces.
    """
    try:
        lines = mounts.read_text("utf-8", "replace").splitlines()
    except OSError:
        return ""
    real = os.path.realpath(folder)
    best, kind = "", ""
    for line in lines:
        parts = line.split()
        place = parts[1].replace("\\040", " ") if len(parts) > 2 else ""
        inside = place and (real == place or real.startswith(place.rstrip("/") + "/"))
        if inside and len(place) >= len(best):
            best, kind = place, parts[2]
    return kind


def _clock(store: Store, now: str) -> Finding:
    with store.database.reading() as connection:
        newest = connection.execute(
            select(event.c.received).order_by(event.c.n.desc()).limit(1)
        ).scalar()
    if newest is not None and instant(newest) > instant(now):
        told = f"the clock says {now}, the last event arrived {newest}"
        return Finding("clock", "bad", told, "set this machine's clock")
    return Finding("clock", "good", now)


def _skews(store: Store) -> Iterator[Finding]:
    chosen = select(event.c.device, func.max(func.abs(event.c.skew)).label("worst"))
    with store.database.reading() as connection:
        found = connection.execute(chosen.group_by(event.c.device).order_by(event.c.device)).all()
    for row in found:
        if row.worst is not None and row.worst > LARGEST_SKEW:
            told = f"the clock of {row.device} was off by {row.worst:.0f} s"
            yield Finding("clock", "note", told, "set it; the order of its words may be wrong")


def _chains(store: Store) -> Iterator[Finding]:
    for chain in store.chains():
        for first, last in chain.gaps:
            told = f"{chain.device}: events {first} to {last} have not arrived"
            yield Finding("chain", "note", told, "let the device sync; what is there is kept")
        for seq in chain.forks:
            told = f"{chain.device}: number {seq} stands more than once; all are kept"
            yield Finding("chain", "note", told, "the device was set back to an older copy")
        for one in chain.breaks:
            told = f"{chain.device}: event {one[:12]} names another event before it"
            yield Finding("chain", "note", told, "ask who wrote it; it is kept")


def _aside(store: Store) -> Finding:
    aside = store.quarantined()
    if not aside:
        return Finding("put aside", "good", "nothing")
    told = f"{len(aside)} lines were no sound events: {aside[0].reason}"
    cure = (
        "they are kept, and go along in wainscot export FILE.zip --everything; a newer program "
        "that imports it may read them"
    )
    return Finding("put aside", "note", told, cure)


def _photos(store: Store) -> Iterator[Finding]:
    faults = list(store.blobs.scrub())
    for one in faults:
        state: Literal["note", "bad"] = "note" if one.fault == "without a row" else "bad"
        cure = "send it again from the device, or restore it from a backup"
        yield Finding("photo", state, f"{one.hash[:12]} is {one.fault}", cure)
    if not faults:
        yield Finding("photo", "good", f"{len(store.blobs.rows())} read and as recorded")


def _backups(store: Store, found: Status) -> Iterator[Finding]:
    for path in found.damaged:
        yield Finding("backup", "bad", f"{path.name} is damaged", "take a new one: wainscot backup")
    if found.last is None:
        yield Finding("backup", "bad", "none that can be restored", "take one: wainscot backup")
        return
    told = (
        f"{found.last.path.name}; {found.events_after} events and {found.blobs_after} photos later"
    )
    state: Literal["good", "note"] = "note" if found.events_after or found.blobs_after else "good"
    yield Finding("backup", state, told, "take one: wainscot backup" if state == "note" else "")
    if found.last.path.stat().st_dev == store.layout.folder.stat().st_dev:
        told = "the backup lies on the disk that the record lies on"
        yield Finding("backup", "note", told, "keep one elsewhere: wainscot backup --to FOLDER")

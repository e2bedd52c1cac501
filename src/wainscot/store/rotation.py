"""Backups that hold what was erased since: how long they stay, and how they go.

A backup cannot be changed without another hash, so one that was taken before an erasure stays
whole, for as long as :data:`DAYS`, and is then taken away by the next backup.

Limits: only files that can be reached; where a backup was copied to by hand nobody here knows.
"""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import msgspec
from sqlalchemy import delete, select

from wainscot.record import instant
from wainscot.store.archive import Archive, sidecar
from wainscot.store.backed_up import noted
from wainscot.store.backup import Taken, take
from wainscot.store.faults import DamagedError
from wainscot.store.store import Store
from wainscot.store.tables import backup, erased

DAYS = 30
"""How long a backup may outlive an erasure (judgement). [days]"""


class Rotated(msgspec.Struct, frozen=True):
    """What became of backups from before the last erasure: gone now, still there, out of reach."""

    removed: tuple[Path, ...] = ()
    staying: tuple[Path, ...] = ()
    unreached: tuple[Path, ...] = ()


def take_and_rotate(
    store: Store, folder: Path, *, now: str, at_once: bool = False
) -> tuple[Taken, Rotated]:
    """Take a backup, read it back, and take away those that outlived an erasure long enough.

    Parameters
    ----------
    store : Store
        The record.
    folder : Path
        Where the backup goes.
    now : str
        ISO 8601 with offset.
    at_once : bool
        Whether they go however new they are.
    """
    taken = take(store.database, store.blobs, store.disk, folder, now=now)
    return taken, rotate(store, taken, now=now, at_once=at_once)


def rotate(store: Store, newest: Taken, *, now: str, at_once: bool = False) -> Rotated:
    """Take away backups from before the last erasure; a good one that came after it is there.

    Parameters
    ----------
    store : Store
        The record.
    newest : Taken
        The backup that was just read back.
    now : str
        ISO 8601 with offset.
    at_once : bool
        Whether they go before :data:`DAYS` have passed.
    """
    with store.database.reading() as connection:
        times = connection.execute(select(erased.c.received).distinct()).scalars().all()
    if not times:
        return Rotated()
    least = timedelta(0) if at_once else timedelta(days=DAYS)
    due = [instant(one) for one in times if instant(now) - instant(one) >= least]
    paths = {*noted(store.database), *(one.resolve() for one in _in(store.layout.backups))}
    removed, staying, unreached = [], [], []
    for path in sorted(paths - {newest.path.resolve()}):
        when = _taken(path)
        if not path.is_file():
            unreached.append(path)
        elif due and (when is None or instant(when) <= max(due)):
            _remove(store, path)
            removed.append(path)
        elif when is None or instant(when) <= max(map(instant, times)):
            staying.append(path)
    return Rotated(tuple(removed), tuple(staying), tuple(unreached))


def _in(folder: Path) -> list[Path]:
    return sorted(folder.glob("wainscot-*.zip"))


def _taken(path: Path) -> str | None:
    """Return when a backup was taken; None where it cannot be read, so that it helps nobody."""
    try:
        return Archive(path).manifest.taken
    except (DamagedError, OSError):
        return None


def _remove(store: Store, path: Path) -> None:
    store.disk.remove(path)
    store.disk.remove(sidecar(path))
    with store.database.writing() as connection:
        connection.execute(delete(backup).where(backup.c.path == str(path)))

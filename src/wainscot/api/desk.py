"""What every route works with: the record, the accounts, the clock, the walks."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import AsyncIterator, Callable, Iterable, Iterator
from contextlib import asynccontextmanager, contextmanager
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from wainscot.api.app_files import STATIC, app_files
from wainscot.api.guide import Guide
from wainscot.api.images import Images
from wainscot.api.joins import Joins
from wainscot.api.keeping import kept
from wainscot.api.limits import Buckets
from wainscot.api.looking import Looking
from wainscot.api.outlining import Outlines
from wainscot.api.problems import RefusedError
from wainscot.api.rights import Rank, Reach
from wainscot.api.roster import Roster
from wainscot.api.scoring import Scores
from wainscot.api.settings import Settings
from wainscot.api.shapes import BackupState
from wainscot.api.walks import Walks
from wainscot.store import Accounts, PaperLinks, Postgres, Status, Store, later, noted, status
from wainscot.store.rows import own_device

if TYPE_CHECKING:
    from wainscot.api.queued import QueuedWalks

Clock = Callable[[], datetime]

_QUARTER = 900.0
_SHORT = 3  # letters of a part of a host name that is no word, as in 192.168.0.1


def utc_now() -> datetime:
    """Return the time of this machine."""
    return datetime.now(UTC)


def _of_hosts(origins: Iterable[str]) -> tuple[str, ...]:
    """Return the words of the server's names: anybody on the network would try them."""
    hosts = [urlsplit(one).hostname or "" for one in origins]
    return tuple({part for host in hosts for part in host.split(".") if len(part) > _SHORT})


class Caller:
    """Who asks: role, account, device, and how far this route lets them reach.

    ``account`` and ``device`` are empty for the one person on this machine; ``device`` also for a
    session of a browser that was not registered.
    """

    def __init__(
        self, rank: Rank, account: str = "", name: str = "", device: str = "", token: str = ""
    ) -> None:
        self.rank = rank
        self.account = account
        self.name = name
        self.device = device
        self.token = token
        self.reach: Reach = "none"


class Desk:
    """Everything that a running server holds.

    Parameters
    ----------
    store : Store
        The record.
    settings : Settings
        What the server was told.
    accounts : Accounts
        Who may come in.
    log : structlog logger
        Where lines go.
    clock : callable, optional
        Tells the time; tests give another.
    guide : Guide, optional
        Pages that lead a phone to trust the certificate.
    """

    def __init__(
        self, store: Store, settings: Settings, accounts: Accounts, log: Any,
        clock: Clock = utc_now, guide: Guide | None = None,
    ) -> None:  # fmt: skip
        self.store = store
        self.settings = settings
        self.accounts = accounts
        accounts.words = _of_hosts(settings.origins)
        self.log = log
        self.clock = clock
        self.roster = Roster(store)
        self.looking = Looking(store)
        self.scores = Scores(store, log.warning)
        self.walks = self._walks()
        self.outlines = Outlines()
        self.images = Images(settings.limits)
        self.requests = Buckets(60.0, settings.limits.requests)
        self.names = Buckets(_QUARTER, settings.limits.tries)
        self.addresses = Buckets(_QUARTER, 3 * settings.limits.tries)
        self.links = PaperLinks(store.database)
        self.guesses = Buckets(_QUARTER, 3 * settings.limits.tries)
        self.joins = Joins()
        self.guide = guide
        self.files = app_files(STATIC)
        self.stopping = threading.Event()
        self._backup: tuple[tuple[object, ...], Status] | None = None
        self._lock = threading.Lock()
        self._taking = threading.Lock()
        self._uploads: dict[str, tuple[asyncio.Lock, int]] = {}

    def _walks(self) -> Walks | QueuedWalks:
        """Return who calculates: workers on any host where they can be told, else this server."""
        if isinstance(self.store.database, Postgres):
            from wainscot.api.queued import QueuedWalks

            return QueuedWalks(self.store.database)
        return Walks(self.settings.walkers, self.settings.limits.walk,
                     partial(kept, self.store, self.now))  # fmt: skip

    @asynccontextmanager
    async def upload(self, digest: str) -> AsyncIterator[None]:
        """Let one request at a time write a photo."""
        lock, users = self._uploads.get(digest, (asyncio.Lock(), 0))
        self._uploads[digest] = lock, users + 1
        try:
            async with lock:
                yield
        finally:
            lock, users = self._uploads[digest]
            self._uploads[digest] = lock, users - 1
            if users == 1:
                del self._uploads[digest]

    def now(self) -> str:
        """Return the time as it stands in the record."""
        return self.clock().isoformat(timespec="milliseconds")

    def steady(self) -> float:
        """Return a time that nobody sets. [s]"""
        return time.monotonic()

    def record(self) -> str:
        """Return the name of the record, which changes when a backup is restored."""
        with self.store.database.reading() as connection:
            return own_device(connection)

    def forget(self, job_id: str) -> None:
        """Let go of what is remembered of a job as it was, as when a person is erased in it."""
        self.roster.forget(job_id)
        self.looking.forget(job_id)
        self.walks.forget(job_id)

    def is_on(self, caller: Caller, job_id: str) -> bool:
        """Whether the caller is on a job."""
        return bool(caller.account) and caller.account in self.roster.of(job_id).accounts

    @contextmanager
    def backing_up(self) -> Iterator[None]:
        """Let one backup run at a time."""
        if not self._taking.acquire(blocking=False):
            raise RefusedError("too-often", "a backup is being taken", {"retry-after": "30"})
        try:
            yield
        finally:
            self._taking.release()

    def backup(self) -> Status:
        """Return the newest backup that was read back and what came after it.

        The files are read again when any of them changed, and once an hour.
        """
        with self._lock:
            kept = self._backup
        if kept is None or kept[0] != self._seen(kept[1]):
            found = status(self.store.database, self.store.layout.backups)
            kept = self._seen(found), found
            with self._lock:
                self._backup = kept
        found = kept[1]
        return later(self.store.database, found.last, found.damaged, found.gone)

    def _seen(self, found: Status) -> tuple[object, ...]:
        """Return what tells that a backup came, went or changed since they were looked at."""
        folder = self.store.layout.backups
        listed = tuple(sorted(one.name for one in folder.glob("*"))) if folder.is_dir() else ()
        file = found.last.path if found.last else None
        about = file.stat() if file and file.is_file() else None
        hour = int(self.clock().timestamp() // 3600)
        changed = (about.st_size, about.st_mtime_ns) if about else None
        return (listed, len(noted(self.store.database)), changed, hour)

    def backup_state(self) -> BackupState:
        """Return the newest good backup as it is told to a device."""
        found = self.backup()
        taken = found.last.taken if found.last else ""
        return BackupState(taken, found.events_after, found.blobs_after, found.since)

    def close(self) -> None:
        """End the walks and close the record."""
        self.stopping.set()
        self.walks.close()
        self.outlines.close()
        self.scores.close()
        self.store.close()

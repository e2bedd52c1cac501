"""What goes in and comes out over HTTP, as frozen data; the OpenAPI page is made from it.

Events, photos, jobs, walks and a person erased stand here; people, papers and the office's own
screen in modules of their own.
"""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

Text = Annotated[str, Meta(max_length=64)]
Id = Annotated[str, Meta(max_length=200)]
Hash = Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]
Hashes = Annotated[list[Hash], Meta(max_length=5000)]


class SentEvents(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Events, each as one line of JSON; ``now`` is what the device's clock says as it sends."""

    lines: Annotated[list[str], Meta(max_length=500)]
    now: Annotated[str, Meta(max_length=40)] = ""


class PutAside(msgspec.Struct, frozen=True):
    """A line that is no sound event: kept by the office, by the SHA-256 of its bytes."""

    digest: str
    reason: str


class Barred(msgspec.Struct, frozen=True):
    """An event that the sender may not write; it is not kept, so the sender keeps it."""

    id: str
    reason: str


class Tally(msgspec.Struct, frozen=True):
    """What became of the lines; ``sent`` is the sum of the others."""

    sent: int
    added: int
    known: int
    refused: int
    barred: int


class EventReceipt(msgspec.Struct, frozen=True):
    """What became of every line; what is added or known was read back from the record."""

    added: list[str]
    known: list[str]
    refused: list[PutAside]
    barred: list[Barred]
    tally: Tally
    record: str
    through: int


class EventPage(msgspec.Struct, frozen=True):
    """Events in order of receipt; ask on with ``after`` = ``through`` and ``record``.

    A record that was restored from a backup has another name and gives everything from the first.
    """

    record: str
    through: int
    more: bool
    lines: list[str]


class Asked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Ids of events and hashes of photos that a device holds."""

    events: Hashes = []
    photos: Hashes = []


class BackupState(msgspec.Struct, frozen=True):
    """The newest backup that was read back and found good; ``taken`` is empty without one."""

    taken: str
    events_after: int
    photos_after: int
    since: str


class HeldAnswer(msgspec.Struct, frozen=True):
    """What the office holds of what was asked; only what is backed up may go from a device."""

    events: list[str]
    photos: list[str]
    events_backed_up: list[str]
    photos_backed_up: list[str]
    backup: BackupState


class JobAbout(msgspec.Struct, frozen=True):
    """A job in the list."""

    id: str
    title: str
    events: int
    through: int
    mine: bool


class Named(msgspec.Struct, frozen=True):
    """An account by its name."""

    id: str
    name: str


class Writer(msgspec.Struct, frozen=True):
    """A device that wrote to a job, what it is called, and whose it is."""

    id: str
    name: str
    account: str


class JobPeople(msgspec.Struct, frozen=True):
    """Who may be named on a job, and whose devices wrote to it."""

    accounts: list[Named]
    devices: list[Writer]


class JobList(msgspec.Struct, frozen=True):
    """The jobs that the caller sees, of one record."""

    record: str
    jobs: list[JobAbout]


class StatusAnswer(msgspec.Struct, frozen=True):
    """How much the record holds, counted at one moment, and its backup."""

    events: int
    jobs: int
    devices: int
    quarantined: int
    photos: int
    backup: BackupState


class PhotoAbout(msgspec.Struct, frozen=True):
    """A photo or the part of it that is held; ``complete`` once it was looked at and recorded."""

    hash: str
    held: int
    complete: bool


class Brought(msgspec.Struct, frozen=True):
    """What a file with everything brought."""

    added: int
    known: int
    refused: int
    photos: int


class EraseAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Whom to erase, how else they are written; ``typed`` is the name again, empty to look only."""

    person: Text
    typed: Text = ""
    also: Annotated[list[Text], Meta(max_length=20)] = []


class LeftAbout(msgspec.Struct, frozen=True):
    """An event that holds the name in what is hashed: it cannot be erased."""

    id: str
    device: str
    seq: int
    entity: str
    field: str


class EraseAnswer(msgspec.Struct, frozen=True):
    """What a job holds of a person, or held.

    ``backups_before`` are backups from before that hold it still; a backup that is taken ``days``
    later, after the day ``backups_go``, takes them away.  ``unreached`` names those among them
    that are not within reach now.
    """

    erased: bool
    texts: int
    photos: int
    papers: int
    aside: int
    places: list[str]
    left: list[LeftAbout]
    backups_before: int
    days: int
    backups_go: str
    """``2026-05-12``; empty where there are none."""
    unreached: list[str]


class WalkAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What to calculate with."""

    seed: Annotated[int, Meta(ge=0, le=2**53 - 1)] = 1
    draws: Annotated[int, Meta(ge=256, le=1_000_000)] = 4096
    ranges: bool = False
    """Whether every judged rate is tried at half and double too, which takes some times longer."""
    must: Annotated[tuple[Id, ...], Meta(max_length=200)] = ()
    """Labels or ids of voids that have to be opened."""
    without: Annotated[tuple[Id, ...], Meta(max_length=200)] = ()
    """Ids of openings that are not wanted."""
    most: Annotated[float, Meta(gt=0)] | None = None
    """Greatest cost of a set of openings. [currency]"""


class Trouble(msgspec.Struct, frozen=True):
    """One thing wrong with a job."""

    code: str
    path: str
    what: str
    cure: str


class WalkState(msgspec.Struct, frozen=True):
    """How far a walk is; ``current`` while nothing newer was written to the job."""

    id: str
    job: str
    state: Literal["waiting", "running", "done", "failed", "superseded"]
    share: float
    """How much is done. [1]"""
    through: int
    current: bool
    by: str = ""
    """The walk that took its place."""
    reason: str = ""
    faults: tuple[Trouble, ...] = ()


class Health(msgspec.Struct, frozen=True):
    """Whether the server answers, and whether it can work."""

    ok: bool
    version: str
    why: str = ""

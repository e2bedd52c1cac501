"""What goes in and comes out over HTTP, as frozen data; the OpenAPI page is made from it."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from wainscot.api.rights import Rank
from wainscot.store import LinkView, Role

Text = Annotated[str, Meta(max_length=64)]
Id = Annotated[str, Meta(max_length=200)]
Secret = Annotated[str, Meta(max_length=400)]
Hash = Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]
Hashes = Annotated[list[Hash], Meta(max_length=5000)]
OwnDevice = Annotated[str, Meta(pattern="^(device_[0-9a-z]{10})?$")]  # made by itself, or none


class Login(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Name and password; ``token`` asks for the token itself, where there is no browser."""

    name: Text
    password: Secret
    token: bool = False


class Me(msgspec.Struct, frozen=True):
    """Who is asking; ``token`` only where it was asked for."""

    role: Rank
    account: str = ""
    name: str = ""
    device: str = ""
    token: str = ""


class OwnPassword(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The password until now and the one from now on."""

    present: Secret
    password: Secret


class PasswordChanged(msgspec.Struct, frozen=True):
    """How many other sessions ended, and how many devices stay registered."""

    ended: int
    devices: int


class NewDevice(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A device to register; ``token`` asks for the token itself, where there is no browser.

    ``device`` is the id under which it wrote before it was registered.  It keeps that id where no
    other device has it and the record holds nothing of it; else it is given a new one.
    """

    name: Text
    token: bool = False
    device: OwnDevice = ""


class DeviceAbout(msgspec.Struct, frozen=True):
    """A device; ``revoked`` says since when it may not come in any more."""

    id: str
    account: str
    name: str
    made: str
    revoked: str = ""
    token: str = ""


class JoinAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Whose phone is to join; the caller's own where ``account`` is empty."""

    account: Annotated[str, Meta(max_length=64)] = ""


class JoinCode(msgspec.Struct, frozen=True):
    """A code that lets a phone join once, what leads there, and what leads to the certificate.

    Pictures are addresses of the ``data:`` kind.  ``guide`` is empty where the certificate is not
    the firm's own.
    """

    code: str
    minutes: int
    name: str
    link: str
    picture: str
    guide: str
    guide_picture: str
    fingerprint: str


class Join(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A code as scanned or typed, what the phone is called, and the id under which it wrote."""

    code: Text
    name: Text
    device: OwnDevice = ""


class NewAccount(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An account to make."""

    name: Text
    role: Role
    password: Secret


class AccountChange(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What changes of an account; what is left out stays."""

    role: Role | None = None
    disabled: bool | None = None
    password: Secret | None = None


class AccountAbout(msgspec.Struct, frozen=True):
    """An account."""

    id: str
    name: str
    role: Role
    disabled: bool
    made: str


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


class KeyTold(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The public Ed25519 key of the device that asks, hexadecimal."""

    key: Hash


class KeyAbout(msgspec.Struct, frozen=True):
    """The key that a device signs with."""

    device: str
    key: str


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


class SheetAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which opening sheet."""

    walk: str
    """The walk whose openings it shows."""
    which: Literal["least", "balanced", "all"] = "balanced"
    size: Literal["page", "half"] = "page"


class PaperAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which paper to make of a job as it stands."""

    kind: Text
    language: Literal["en", "es"] = "en"
    size: Literal["", "a4", "us-letter"] = ""
    """As it is usual in the job's country if empty."""


class PaperAbout(msgspec.Struct, frozen=True):
    """A paper that was made; ``digest`` names it, the SHA-256 of its PDF."""

    digest: str
    kind: str
    language: str
    size: str
    title: str
    sheets: int
    """How many pages."""
    version: str
    """Of the job that it tells of."""
    made: str
    changed: bool
    """Whether the job has changed since."""


class PaperList(msgspec.Struct, frozen=True):
    """The papers of a job, the newest first, and the version of the job as it stands."""

    version: str
    papers: list[PaperAbout]


class HeadAbout(msgspec.Struct, frozen=True):
    """A signed head of the record."""

    size: int
    root: str
    time: str
    lines: tuple[str, str, str]
    """As they stand on papers."""
    text: str
    """What the code holds."""
    picture: str
    """The code; empty in a list."""


LinkState = Literal["good", "ended", "revoked"]


class LinkAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A link to one paper: for whom, how many days it is good."""

    paper: Annotated[str, Meta(pattern="^[0-9a-f]{64}$")]
    """SHA-256 of the paper's bytes."""
    reader: Literal["owner", "tenant", "trade"]
    days: Annotated[int, Meta(ge=1, le=365)]
    sender: Annotated[str, Meta(max_length=80)] = ""
    """From whom, in the sender's words; the account's name by default."""


class LinkKey(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What stands in a link behind ``#``."""

    token: Annotated[str, Meta(max_length=200)]


class LinkAbout(msgspec.Struct, frozen=True):
    """A link as its sender sees it."""

    id: str
    paper: str
    title: str
    language: str
    reader: Literal["owner", "tenant", "trade"]
    sender: str
    made: str
    until: str
    state: LinkState
    revoked: str
    """When it was taken back; empty while it was not."""
    views: int
    last: str
    """When it was used last; empty while it was not."""


class LinkMade(msgspec.Struct, frozen=True):
    """A new link with its address, which is told this once, and the code of it as a picture."""

    about: LinkAbout
    address: str
    picture: str


class LinkViews(msgspec.Struct, frozen=True):
    """When a link was used."""

    about: LinkAbout
    views: tuple[LinkView, ...]


class LinkShown(msgspec.Struct, frozen=True):
    """What the reader of a link is told of its paper."""

    title: str
    sender: str
    language: str
    printed: str
    """When the paper was made."""
    until: str


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

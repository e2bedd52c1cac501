"""Papers, their links and heads of the record as they go in and come out over HTTP."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from wainscot.api.shapes import Text
from wainscot.store import LinkView


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

"""What a record tells of itself."""

from __future__ import annotations

import msgspec

from wainscot.store.admit import Refused


class Receipt(msgspec.Struct, frozen=True):
    """What became of every line that was sent: written now, held before, or put aside."""

    added: tuple[str, ...] = ()
    known: tuple[str, ...] = ()
    refused: tuple[Refused, ...] = ()


class Page(msgspec.Struct, frozen=True):
    """Events in order of receipt, from a number on.

    ``through`` is the number of the last; ask on from there while there is ``more``.  Numbers are
    of one ``record`` only: one that was restored from a backup has another name and counts anew.
    """

    record: str
    through: int
    more: bool
    lines: tuple[bytes, ...]


class Held(msgspec.Struct, frozen=True):
    """How much of one job is held: events, and the number of the last that arrived."""

    job: str
    events: int
    through: int


class Counts(msgspec.Struct, frozen=True):
    """How much a record holds, counted at one moment."""

    events: int
    jobs: int
    devices: int
    quarantined: int
    blobs: int

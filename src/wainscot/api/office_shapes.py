"""What the office's own screen is told and what it sends, as frozen data."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from wainscot.api.shapes import BackupState, Trouble
from wainscot.book.table import RateRow


class OfficeJob(msgspec.Struct, frozen=True):
    """A job as a line of the office's list."""

    id: str
    title: str
    last: str
    """Day of the last visit; empty without one."""
    next: str
    """Day of the next visit; empty without one."""
    who: list[str]
    """Who is on it, by name."""
    conflicts: int
    """Facts that two devices said differently."""
    events: int
    not_backed_up: int
    """Events that no backup holds that was read back."""
    state: Literal["open", "closed", "called back"]
    since: str
    """Day on which it was closed or called back; empty while it is open."""
    stops: int | None = None
    """Hold points that are open; None where the job was not calculated as it stands."""


class OfficeList(msgspec.Struct, frozen=True):
    """The jobs that the caller sees, the next visit first."""

    jobs: list[OfficeJob]


class Hit(msgspec.Struct, frozen=True):
    """Where a search found its words: ``what`` is a kind of entity, ``title`` or ``paper``."""

    what: str
    text: str
    digest: str = ""
    """Of a paper that was made."""


class JobHits(msgspec.Struct, frozen=True):
    """A job that holds every word that was asked for, and where."""

    id: str
    title: str
    hits: list[Hit]


class SearchAnswer(msgspec.Struct, frozen=True):
    """What was found; ``more`` where it was cut off."""

    jobs: list[JobHits]
    more: bool


Typed = Annotated[dict[str, Any], Meta(max_length=200)]
"""Rates as a file of rates has them: a name and a number, or a table of them."""


class RatesAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Rates to try or to save; what is left out has its default."""

    rates: Typed


class Follows(msgspec.Struct, frozen=True):
    """What follows from a book of rates."""

    currency: str
    open_above: float
    """Chance of soil above which a typical bay is opened. [1]"""
    check_above: float
    """Chance above which a small check is worth its cost. [1]"""
    opening: float
    """A typical bay opened and closed. [currency]"""
    check: float
    """One small check. [currency]"""
    callback: float
    """Coming back for a place that was heavily soiled and left. [currency]"""


class RatesTried(msgspec.Struct, frozen=True):
    """What is wrong with rates, else what follows from them, beside what follows now."""

    faults: list[Trouble]
    now: Follows
    then: Follows | None


class RatesAnswer(msgspec.Struct, frozen=True):
    """Every rate, and the firm's own as a file."""

    rows: list[RateRow]
    rates: dict[str, Any]
    toml: str
    follows: Follows
    at: str
    by: str


class Kept(msgspec.Struct, frozen=True):
    """A backup file that cannot be used, or is not there any more."""

    name: str
    why: str


class UnsavedJob(msgspec.Struct, frozen=True):
    """A job with events that no backup holds."""

    id: str
    title: str
    events: int


class BackupAnswer(msgspec.Struct, frozen=True):
    """The newest good backup, what it lacks, and what is wrong with others."""

    state: BackupState
    name: str
    size: int
    """[B]"""
    events: int
    photos: int
    jobs: list[UnsavedJob]
    bad: list[Kept]


class Proportion(msgspec.Struct, frozen=True):
    """So many of so many, with the 95 % interval of Wilson. [1]"""

    hits: int
    of: int
    low: float
    high: float


class ScoreRow(msgspec.Struct, frozen=True):
    """How one advice did on the bays that were opened."""

    band: str
    """``open``, ``check first``, ``leave``, ``can't tell yet``."""
    right: Proportion
    """Soiled bays; of those to leave, clean ones."""
    claimed: float | None
    """What the chances had said on average; None of no bays. [1]"""
    houses: int


class ScoreAnswer(msgspec.Struct, frozen=True):
    """The firm's own score as far as it is known."""

    jobs: int
    """Closed jobs that were gone through."""
    waiting: int
    """Jobs of the record that are still to be gone through, closed or not."""
    rows: list[ScoreRow]
    callbacks: Proportion
    """Jobs that were called back, of all that were ever closed."""
    not_drawn: int
    left_out: int

"""What an opening sheet says, as frozen data: the overview, then one page for each opening."""

from __future__ import annotations

from typing import Literal

import msgspec

from wainscot.drawing import Drawing

Stamp = Literal["not authorised", "authorised", "declined"]


class VoidSaid(msgspec.Struct, frozen=True):
    """What the diagnosis says of one void."""

    chance: float
    """That it is soiled. [1]"""
    why: str


class Mark(msgspec.Struct, frozen=True):
    """One line that a pencil draws: what, measured from where, on both tapes."""

    what: str
    where: str
    """``from the left corner``."""
    first: str
    """On the job's tape."""
    second: str
    """On the other."""
    strong: bool = True
    """False for what is checked, not marked."""


class Reached(msgspec.Struct, frozen=True):
    """A void that an opening lays open, or several of which the same is said."""

    labels: str
    words: str
    share: float
    """Share that is reached, of several the least. [1]"""
    chance: str
    """In 100, as it stands on a plate; empty where it was not calculated."""
    why: str
    """In a few words."""


class Hold(msgspec.Struct, frozen=True):
    """One hold point to sign."""

    hazard: str
    words: str
    first: str
    """What to find out or do first."""
    who: str
    evidence: str
    source: str


class Released(msgspec.Struct, frozen=True):
    """One hold point that somebody settled, as the job's record tells it."""

    hazard: str
    first: str
    """What had to be found out or done."""
    by: str
    at: str
    """When, as typed; empty where the record has no time."""
    evidence: str
    note: str


class Item(msgspec.Struct, frozen=True):
    """One line of the patch list."""

    what: str
    amount: str
    basis: str
    """Where the amount comes from: computed from the cut, common practice."""


class OpeningPage(msgspec.Struct, frozen=True):
    """One opening, or several of one kind in one place where nothing is sawn."""

    number: str
    ids: tuple[str, ...]
    title: str
    place: str
    """Room and storey."""
    stamp: Stamp
    stamp_words: str
    """``NOT AUTHORISED: do not cut``."""
    said: str
    """Who signed or declined, and when; empty where nobody did."""
    chance: str
    """In 100, that it finds soil."""
    reached: tuple[Reached, ...]
    facts: tuple[tuple[str, str], ...]
    """Datum, blade depth, pilot hole: head and words."""
    where: Drawing
    drawings: tuple[Drawing, ...]
    marks: tuple[Mark, ...]
    near: tuple[str, ...]
    """Members and services beside the cut, with their distances."""
    holds: tuple[Hold, ...]
    released: tuple[Released, ...]
    cautions: tuple[str, ...]
    limits: tuple[str, ...]
    """What the structural limits say."""
    defer: str
    """Whose word comes first."""
    patch: tuple[Item, ...]
    kept: tuple[str, ...]
    hours: str


class Line(msgspec.Struct, frozen=True):
    """One line of the overview."""

    number: str
    title: str
    place: str
    stamp: Stamp
    chance: str
    hours: str
    signs: int
    """Hold points to sign."""
    released: int
    """Hold points that are settled."""


class SheetView(msgspec.Struct, frozen=True):
    """The whole paper."""

    title: str
    job: str
    version: str
    """First figures of the job's own digest."""
    date: str
    """In words; empty where the job has none."""
    day: str
    """``2026-05-12``; empty where the job has none."""
    paper: Literal["a4", "us-letter"]
    which: str
    """Which set it is."""
    summary: str
    plans: tuple[Drawing, ...]
    lines: tuple[Line, ...]
    declined: tuple[str, ...]
    notes: tuple[str, ...]
    pages: tuple[OpeningPage, ...]

    def drawings(self) -> tuple[Drawing, ...]:
        """Return every drawing with a key of its own."""
        pages = (one for page in self.pages for one in (page.where, *page.drawings))
        return (*self.plans, *pages)

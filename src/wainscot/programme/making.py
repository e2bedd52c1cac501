"""Activities before they have a time, and what writes them one after the other.

Limits: hours on site are those of the book; a crew of two takes half as long as one person.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from wainscot.estimate.model import StageName
from wainscot.programme.model import Given, Part, Sort
from wainscot.programme.waits import SIGN, Range

CREW, FINISHER, MASON, ELECTRICIAN = "crew", "finisher", "mason", "electrician"
TRADES = (CREW, FINISHER, MASON, ELECTRICIAN)
LEAD = "whoever leads the work"
OPENING: StageName = "open and clean"


class Draft(msgspec.Struct, frozen=True):
    """An activity before it has a time."""

    key: str
    stage: StageName
    sort: Sort
    words: str
    hours: Range | float
    """A range where it is drawn from one; hours of people vary with the stage. [h]"""
    who: str = ""
    after: tuple[str, ...] = ()
    room: str = ""
    whole: bool = False
    places: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    first: str = ""
    evidence: str = ""
    holds: tuple[str, ...] = ()

    @property
    def likely(self) -> float:
        """[h]"""
        return self.hours.likely if isinstance(self.hours, Range) else self.hours


class Making:
    """What is written so far, and what the next activities wait for."""

    def __init__(self, given: Given) -> None:
        self.given, self.book = given, given.scope.book
        self.all: list[Draft] = []
        self.gate: tuple[str, ...] = ()
        """What any work on the house waits for: the checks, the owner."""
        self.stops: dict[str, str] = {}
        """Key of the activity that settles each hold point."""
        self.paid: set[str] = set()
        """Keys of the shared charges that are in it already."""
        self.wet_first: tuple[str, ...] = ()
        self.fan_first: tuple[str, ...] = ()
        self.people = max(1, int(self.book.business.crew.value))
        self.sealed: set[str] = set()
        """Keys of the seals that are in it already."""

    def add(self, one: Draft) -> str:
        """Add a draft and return its key."""
        self.all.append(one)
        return one.key

    def site(
        self, key: str, stage: StageName, words: str, hours: float, after: Iterable[str], *,
        who: str = CREW, room: str = "", whole: bool = False, places: tuple[str, ...] = (),
        parts: tuple[Part, ...] = (),
    ) -> str:  # fmt: skip
        """Add work and return its key.

        Parameters
        ----------
        key, words : str
            Of the draft.
        stage : str
            Of the estimate.
        hours : float
            Of one person; a crew of two takes half as long. [h]
        after : iterable of str
            Keys.
        who : str
            Crew or trade.
        room : str
            That it takes out of use.
        whole : bool
            Whether it stays within a day.
        places, parts
            Of the draft.
        """
        each = hours / self.people if who == CREW else hours
        return self.add(Draft(key, stage, "work", words, each, who, tuple(after), room, whole,
                              places, parts))  # fmt: skip

    def wait(
        self, key: str, stage: StageName, words: str, hours: Range | float, after: Iterable[str],
        room: str = "",
    ) -> str:  # fmt: skip
        """Add a wait and return its key.

        Parameters
        ----------
        key, words, room : str
            Of the draft.
        stage : str
            Of the estimate.
        hours : Range or float
            Of the clock. [h]
        after : iterable of str
            Keys.
        """
        return self.add(Draft(key, stage, "wait", words, hours, "", tuple(after), room))

    def hold(
        self, key: str, stage: StageName, words: str, who: str, after: Iterable[str], *,
        hours: float = 0.0, first: str = "", evidence: str = "", holds: tuple[str, ...] = (),
        places: tuple[str, ...] = (),
    ) -> str:  # fmt: skip
        """Add a hold point and return its key.

        Parameters
        ----------
        key, words : str
            Of the draft.
        stage : str
            Of the estimate.
        who : str
            Who may release it.
        after : iterable of str
            Keys.
        hours : float
            Beside looking and signing. [h]
        first : str
            What to find out or do.
        evidence : str
            On what it is released.
        holds : tuple of str
            Keys for ``wainscot release``.
        places : tuple of str
            What it is about, one by one.
        """
        return self.add(Draft(key, stage, "hold", words, hours + SIGN.value, who, tuple(after),
                              "", False, places, (), first, evidence, holds))  # fmt: skip

    def settled(self, keys: Iterable[str]) -> tuple[str, ...]:
        """Return the activities that settle hold points, each once.

        Parameters
        ----------
        keys : iterable of str
            Of hold points; one that is released or only a caution is settled by none.
        """
        return tuple(dict.fromkeys(self.stops[key] for key in sorted(keys) if key in self.stops))

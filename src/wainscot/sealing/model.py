"""What a seal list is: edges to close, what they cost, and what stays open all the same."""

from __future__ import annotations

from typing import Literal

import msgspec

Grade = Literal["as built", "if they gnaw"]
"""``as built``: holes that the animal passes today.  ``if they gnaw``: those, and whatever it can
gnaw wide enough."""

Sort = Literal["entry point", "edge to go along", "passage"]


class Way(msgspec.Struct, frozen=True):
    """One edge that may have to be closed: from outside to a void, or between two voids."""

    key: str
    """Id of the entry point, of the undrawn way in, or of the passage."""
    words: str
    sort: Sort
    ends: tuple[int, int]
    """Nodes: void indices; the number of voids stands for outside."""
    pool: str
    """What lies beyond, or side and kind of an edge; empty for a passage."""
    grades: tuple[Grade, ...]
    """Under which it counts as open."""
    hours: float
    """To reach, close and make good; infinite where it cannot be closed. [h]"""
    reach: str = ""
    """The opening needed to get at it; empty where none is."""
    why_not: str = ""
    """Why it cannot be closed; empty where it can."""
    size: tuple[float, float] = (0.0, 0.0)
    """Least and greatest aperture; zeros where nobody knows. [m]"""
    edge_material: str = "unknown"
    """What the hole is in."""
    at: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """[m]"""
    material: str = ""
    """What it has to be closed with by rule; empty where any will do."""
    note: str = ""
    """What has to stay as it is there."""


class Seal(msgspec.Struct, frozen=True):
    """One line of the list: what to close, and what that takes."""

    key: str
    words: str
    sort: Sort
    places: int
    """How many edges it stands for; more than one only for an edge to go along."""
    hours: float
    """[h]"""
    reach: str
    material: str
    """Name of the material or of the act (:mod:`wainscot.sealing.materials`)."""
    note: str = ""
    """What must stay as it is: a vent's free area, a weep that drains."""
    at: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """[m]"""


class Remaining(msgspec.Struct, frozen=True):
    """A way that stays open after the list is done."""

    words: str
    why: str
    """``belongs to a neighbour``, ``not drawn yet``, ``declined``, ``must stay open``,
    ``cannot be reached``."""
    voids: tuple[str, ...]
    """Words of the protected voids that it enters first; at most three."""
    count: int
    """How many it enters first."""


class SealList(msgspec.Struct, frozen=True):
    """The cheapest list for one species and grade."""

    species: str
    grade: Grade
    seals: tuple[Seal, ...]
    hours: float
    """Sum over the seals. [h]"""
    remaining: tuple[Remaining, ...]
    statement: str
    """In a sentence: which paths remain, or none of what was drawn and inspected."""


class SecondLayer(msgspec.Struct, frozen=True):
    """A second list that shares no edge with the first, round chosen places."""

    places: tuple[str, ...]
    seals: tuple[Seal, ...]
    hours: float
    """[h]"""
    statement: str
    """What it does, or why there can be none."""
    possible: bool


class Sealing(msgspec.Struct, frozen=True):
    """Seal lists of every species in question, side by side, at both grades."""

    lists: tuple[SealList, ...]
    second: tuple[SecondLayer, ...]
    """One for each list, in the same order; empty where no place was chosen."""
    given_up: tuple[str, ...]
    """Words of the voids that are left to the animals."""
    limits: tuple[str, ...]
    """What the list does not cover: neighbours, what is not drawn, what nobody looked at."""
    cautions: tuple[str, ...]
    """What goes with every list."""
    judged: tuple[str, ...]
    """Rates behind it that nobody published."""

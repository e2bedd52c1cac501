"""What a seal list is: edges to close, what they cost, and what stays open all the same."""

from __future__ import annotations

from typing import Literal

import msgspec

Grade = Literal["as built", "if they gnaw"]
"""``as built``: holes that the animal passes today.  ``if they gnaw``: those, and whatever it can
gnaw wide enough."""

Sort = Literal["entry point", "edge to go along", "passage"]


Range = tuple[float, float]
"""Least and greatest."""


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
    pipe: float = 0.0
    """Diameter of the pipe or cable that passes; zero where none does, or none is drawn. [m]"""
    bored: Range = (0.0, 0.0)
    """Least and greatest diameter of the hole round it. [m]"""


class Spot(msgspec.Struct, frozen=True):
    """One place of a way, for a mark on the plan."""

    void: str
    """Id of the void in which it lies."""
    at: tuple[float, float, float]
    """[m]"""


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
    spots: tuple[Spot, ...] = ()
    """Where it lies; several for an edge to go along."""
    faces: int = 1
    """How many faces get it: two where metal on one could be gnawed round from the other."""
    area: Range = (0.0, 0.0)
    """Sheet or mesh with its overlap, all faces; least and greatest differ where nobody knows how
    large the hole is, zeros where it takes none. [m2]"""
    volume: Range = (0.0, 0.0)
    """Mortar that fills it, least and greatest; zeros where none does. [m3]"""
    joint: Range = (0.0, 0.0)
    """Sealant on top of metal round a pipe, both rims; zeros where no pipe passes. [m]"""


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
    spots: tuple[Spot, ...] = ()
    """Where it enters them."""


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


class Isolation(msgspec.Struct, frozen=True):
    """Seals that part a nest from places that cannot wait, for the time being."""

    nests: tuple[str, ...]
    places: tuple[str, ...]
    seals: tuple[Seal, ...]
    hours: float
    """[h]"""
    possible: bool
    way_out: bool
    """Whether the animals keep a way out; where they do not, these seals would shut them in."""
    statement: str


Phase = Literal["now", "before the last", "trap", "quiet", "last", "watch"]


class Step(msgspec.Struct, frozen=True):
    """One step of the order."""

    phase: Phase
    words: str
    seals: tuple[str, ...] = ()
    """Keys of the seals that it closes."""


class Terms(msgspec.Struct, frozen=True):
    """What was agreed on closing the house, and what cannot wait; voids by id, label or kind."""

    given_up: tuple[str, ...] = ()
    """Left to the animals."""
    twice: tuple[str, ...] = ()
    """To be closed in a second layer."""
    cannot_wait: tuple[str, ...] = ()
    """Where a nest may not stay near."""
    nests: tuple[str, ...] = ()
    """Where one is."""
    declined: tuple[str, ...] = ()
    """Keys of ways that the owner does not want closed."""
    shared: bool = False
    """A shop or a shared building: it stays watched."""
    warranty: tuple[str, ...] = ()
    """The firm's own text."""


class Today(msgspec.Struct, frozen=True):
    """What is thought of the animals on the day that the order is made for."""

    in_use: float = 1.0
    """Chance that animals move inside. [1]"""
    species: str = ""
    """The likeliest animal; empty where nobody knows, and mice are then taken."""
    used: frozenset[str] = frozenset()
    """Keys of seals at ways that are likely used."""
    quiet: bool = False
    """Whether traps at the ways in use have shown that it is quiet."""


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
    order: tuple[Step, ...] = ()
    """In which order, so that nobody is shut in; of the list as built of the likeliest animal."""
    isolation: Isolation | None = None
    """What parts a nest from places that cannot wait; None where nothing was asked."""

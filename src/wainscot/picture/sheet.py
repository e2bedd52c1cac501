"""What a picture shows, as frozen data: composed once, then drawn in any theme.

A sheet holds panels (one storey, or one layer under a floor or above a ceiling), and the panels
hold shapes in metres on the plan's own axes.  Nothing here knows pixels or colours.

Limits: flat views only; things that lie over each other belong in different panels.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Point = tuple[float, float]
Ring = tuple[Point, ...]
Shows = Literal["soiled", "in-use", "nest", "entries", "seals"]
State = Literal["chance", "can't tell yet", "not calculated", "not shown", "given up"]


class VoidShape(msgspec.Struct, frozen=True):
    """One hidden void in its panel."""

    id: str
    label: str
    words: str
    group: str
    """Voids of one wall or floor share it, and share a plate where they are narrow."""
    ring: Ring
    """Outline. [m]"""
    state: State = "not calculated"
    chance: float = 0.0
    """Chance of what the sheet shows. [1]"""
    looked: float = 0.0
    """Share of it that anybody looked at. [1]"""
    seen: str = ""
    """What was seen where it was opened."""
    hidden_by: bool = False
    """Another void of greater chance lies over it in this panel; it is counted, not drawn."""


class RoomShape(msgspec.Struct, frozen=True):
    """A room, drawn bare."""

    name: str
    ring: Ring
    """[m]"""


class GapShape(msgspec.Struct, frozen=True):
    """A door, window or doorway through a wall."""

    kind: str
    ring: Ring
    """[m]"""


class FixtureShape(msgspec.Struct, frozen=True):
    """The outline of something built in."""

    name: str
    ring: Ring
    """[m]"""


class ServiceShape(msgspec.Struct, frozen=True):
    """A drain, pipe or cable run where it lies in the panel."""

    name: str
    line: Ring
    """[m]"""
    disused: bool = False


class EntryShape(msgspec.Struct, frozen=True):
    """A drawn way in: a wedge that points the way an animal would come."""

    label: str
    words: str
    at: Point
    """[m]"""
    inward: Point
    """Unit vector, or (0, 0) where it comes up from below. [1]"""
    chance: float | None = None
    """Chance that it is or was used; None where nothing is calculated. [1]"""


class SignShape(msgspec.Struct, frozen=True):
    """One inspection's mark."""

    letter: str
    look: Literal["found", "nothing"]
    kind: str
    """The kind in words, for the key."""
    words: str
    at: Point
    """[m]"""
    radius: float = 0.0
    """Radius of the zone that a sound was heard in, 0 for none. [m]"""
    unexplained: bool = False


class RibbonShape(msgspec.Struct, frozen=True):
    """The part of a likely run that lies in one panel."""

    letter: str
    share: float
    """Share of the draws. [1]"""
    line: Ring
    """[m]"""
    rises: int = 0
    """Where it goes on at its end: 1 up, -1 down, 0 it ends here."""
    begins: bool = False
    """True for the first part, which bears the plate."""


SealSort = Literal["close", "part", "open"]


class SealShape(msgspec.Struct, frozen=True):
    """A place to close, to part from a nest at once, or that stays open."""

    sort: SealSort
    label: str
    """Its number or letter in the list, with m or r where it is for mice or rats alone."""
    words: str
    at: Point
    """[m]"""


class Panel(msgspec.Struct, frozen=True):
    """One flat view; ``column`` and ``row`` place it on the sheet."""

    title: str
    subtitle: str
    column: int
    row: int
    rooms: tuple[RoomShape, ...] = ()
    walls: tuple[Ring, ...] = ()
    gaps: tuple[GapShape, ...] = ()
    fixtures: tuple[FixtureShape, ...] = ()
    services: tuple[ServiceShape, ...] = ()
    voids: tuple[VoidShape, ...] = ()
    entries: tuple[EntryShape, ...] = ()
    signs: tuple[SignShape, ...] = ()
    ribbons: tuple[RibbonShape, ...] = ()
    seals: tuple[SealShape, ...] = ()
    beneath: tuple[Ring, ...] = ()
    """Outline of the storey beneath, where its ceiling is shown too. [m]"""
    undrawn: tuple[str, ...] = ()
    """Names of rooms that belong here and have no outline yet."""


class Line(msgspec.Struct, frozen=True):
    """One line of the list beside the panels: a label, a number, words."""

    label: str
    number: str
    words: str


class Sheet(msgspec.Struct, frozen=True):
    """Everything that one picture says."""

    title: str
    shows: Shows
    date: str
    calculated: bool
    panels: tuple[Panel, ...]
    verdict: str = ""
    next: tuple[Line, ...] = ()
    """What to look at next, or that it is time to open."""
    first: tuple[Line, ...] = ()
    """Where to open or check first."""
    ways_in: tuple[Line, ...] = ()
    runs: tuple[Line, ...] = ()
    close: tuple[Line, ...] = ()
    """What to close, with hours."""
    part: tuple[Line, ...] = ()
    """What to close at once between a nest and a place that cannot wait."""
    stays_open: tuple[Line, ...] = ()
    unplaced: int = 0
    units: Literal["ft-in", "m"] = "m"
    notes: tuple[str, ...] = ()

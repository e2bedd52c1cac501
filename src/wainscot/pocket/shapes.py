"""What a phone carries, as frozen data; its JSON is what goes over the air.

Arrays travel as base64 of their little-endian bytes; the reader knows type and shape from the
counts beside them.  ``docs/pocket.md`` describes every field.
"""

from __future__ import annotations

import base64
from typing import Any

import msgspec
import numpy as np

from wainscot.pocket.sayings import Saying

FORMAT = 1


def packed(values: Any, kind: str) -> str:
    """Return an array as base64 of its bytes.

    Parameters
    ----------
    values : array_like
        Any shape, written in row order.
    kind : str
        ``<f8``, ``<i4``, ``<u2`` or ``u1``.
    """
    return base64.b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode("ascii")


class Prices(msgspec.Struct, frozen=True):
    """What decides a band: costs, and how often one small check shows what lies there."""

    open: float
    """[currency]"""
    check: float
    """[currency]"""
    left: tuple[float, float, float]
    """Cost of a callback by light soil, heavy soil, nest. [currency]"""
    shows: tuple[float, float, float]
    """[1]"""


class SpokenWays(msgspec.Struct, frozen=True):
    """Everything that one look may say about one species."""

    entries: dict[str, Saying]
    factors: str
    """f8 [n, L, 3, 6] likelihoods at a void. [1]"""
    ways: str
    """f8 [n, 3] likelihoods at a way in. [1]"""


class Spot(msgspec.Struct, frozen=True, omit_defaults=True):
    """A place that has a name: an entry point, a fixture, a service, a room."""

    voids: tuple[int, ...] = ()
    zone: tuple[int, ...] = ()
    """Hidden voids within 1.5 m."""
    above: tuple[int, ...] = ()
    """Voids that something may have fallen from."""
    zone_above: tuple[int, ...] = ()
    """The same where the place is that zone."""
    source: int = -1
    """Its way in, for any look."""
    drain: int = -1
    """Its way in, for a look that shows ways in and nothing else."""


class Storey(msgspec.Struct, frozen=True):
    """Height of a storey's finished floor, and from there to its ceiling. [m]"""

    floor: float
    clear: float


class Shape(msgspec.Struct, frozen=True):
    """The voids under one framing guess: V voids."""

    guess: str
    keys: tuple[str, ...]
    hidden: str
    """u1 [V]"""
    parts: str
    """u1 [V] 1 wall, 2 floor, 4 ceiling, 8 hangs under a ceiling: what a part of a place picks."""
    bottom: str
    """f8 [V] [m]"""
    top: str
    """f8 [V] [m]"""
    corners: str
    """i4 [V + 1] where the corners of each void's outline begin."""
    outline: str
    """f8 [corners, 2] [m]"""
    spots: dict[str, Spot]


class Piece(msgspec.Struct, frozen=True, array_like=True):
    """A likelihood that an inspection of before gives one void or one way in."""

    inspection: int
    """Index into the pocket's inspections."""
    group: str
    found: bool
    repeat: float
    """How far it only repeats another one of its group. [1]"""
    at: int
    """Void, or way in."""
    factor: int
    """Index into the case's factors."""


class ZoneSaid(msgspec.Struct, frozen=True, array_like=True):
    """A zone that an inspection of before speaks of, not weakened by others that it repeats."""

    inspection: int
    group: str
    heard: bool
    false: float
    """Chance that it is noticed though no animal made it. [1]"""
    repeat: float
    """How far it only repeats another one of its group. [1]"""
    voids: tuple[int, ...]
    hits: tuple[tuple[float, ...], ...]
    """[voids, 3] chance that this void alone is noticed, by reach. [1]"""


class CaseDraws(msgspec.Struct, frozen=True):
    """T equally weighted draws of one case.  Two bits a state, lowest bits first."""

    count: int
    population: str
    """u1 [T]"""
    load: str
    """u1 [T]"""
    reach: str
    """u1 [T, ceil(V / 4)] 0 unreached, 1 past, 2 now."""
    source: str
    """u1 [T, ceil(kernel sources / 4)] 0 never, 1 past, 2 now."""
    cell: str
    """u1 [T, smelt voids] soil x 2 + nest."""


class CasePocket(msgspec.Struct, frozen=True):
    """One species under one framing guess: V voids, E ways in of its graph."""

    species: str
    guess: str
    shape: int
    prior: float
    """Chance before the signs. [1]"""
    seed: str
    """Seed of the phone's own draws, a decimal number of up to 64 bits."""
    input: str
    """The kernel's bytes (``kernel/FORMAT.md``) for the signs up to the office's walk."""
    classes: str
    """i4 [V] class of each void; rows of ``input`` below the number of classes are its priors."""
    passages: int
    groups: str
    """i4 [E] the kernel's source of each way in."""
    parting: str
    """f8 [E, 3, 3] chance of a way in's state given that of the kernel's source. [1]"""
    pools: tuple[int, ...]
    """[E] which of ``pool_ids`` a way in is counted in; -1 for a drawn one."""
    pool_ids: tuple[str, ...]
    entries: tuple[tuple[str, int], ...]
    """Drawn ways in by id, with their index."""
    entry_prior: str
    """f8 [entries, 3] before any sign. [1]"""
    void_of: str
    """i4 [voids of the answer] the void of this case that stands for each, -1 for none."""
    smelt: tuple[int, ...]
    """Voids that some smell depends on; their cells were drawn."""
    pieces: tuple[Piece, ...]
    way_pieces: tuple[Piece, ...]
    """``at`` is an index into ``entries``."""
    factors: str
    """f8 [n, L, 3, 6] [1]"""
    way_factors: str
    """f8 [n, 3] [1]"""
    zones: tuple[ZoneSaid, ...]
    draws: CaseDraws


class Pocket(msgspec.Struct, frozen=True):
    """All that a phone needs to go on by itself from one walk of the office."""

    format: int
    answer: str
    """Digest of the office's draws."""
    module: str
    """SHA-256 of the kernel."""
    seed: int
    draws: int
    """Draws of a full diagnosis on the phone, over all populations of one case."""
    populations: int
    as_of: str
    """The day that the answer is of, as typed in the last inspection."""
    arrive_days: float
    """[day]"""
    leave_days: float
    """[day]"""
    others_reached: float
    """Chance that the other voids of a place are reached where one is. [1]"""
    load: tuple[float, ...]
    """Prior of the load levels. [1]"""
    classes: tuple[str, ...]
    priors: str
    """f8 [classes, L, 3, 6] [1]"""
    repeat: dict[str, float]
    """By method, how far a second look only repeats the first. [1]"""
    entry_kinds: tuple[str, ...]
    """Methods whose looks speak of ways in and of nothing else."""
    prices: Prices
    storeys: dict[str, Storey]
    shapes: tuple[Shape, ...]
    sayings: dict[str, SpokenWays]
    """By species."""
    cases: tuple[CasePocket, ...]
    inspections: dict[str, Any]
    """Those that the walk weighed, as they stood in the job, in the order that pieces name."""
    smells: tuple[int, ...]
    """Indices of those that are smells, or found what smells by itself."""
    drawn: dict[str, Any]
    """Everything else of the job, as it stood."""

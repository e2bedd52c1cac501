"""What the inspections say, in the three forms that an engine knows.

A row per void: for each void, load level and reach (unreached / past / now) the joint weight of
(soil none / light / heavy) x (nest no / yes), that is prior times the likelihood of every
inspection there.  A noisy-or over a zone: a sound heard somewhere.  A factor on a way in: rub marks
at a hole.  A linear reading: the smell in a room is the sum of what every void sends there, and the
log-likelihood of the reading is given over the log of that sum.

Voids without a sign share one row per kind of void, so ``detail`` stays small.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats, Ints

SOIL = ("none", "light", "heavy")
REACH = ("unreached", "past", "now")
CELLS = 6
"""Cells of one row: soil (3) x nest (2), nest varying fastest."""


class Piece(msgspec.Struct, frozen=True):
    """One find, or the silence of one look, at one void or one way in."""

    group: str
    """Method and kind; pieces of one group at one place repeat each other in part."""
    found: bool
    """False for silence and for amounts that say that nothing was there."""
    factor: Floats
    """[L, 3, 6] for a void, [3] for a way in. [1]"""
    repeat: float = 0.0
    """How far it only repeats another piece of its group. [1]"""
    void: int = -1
    source: int = -1


class Statement(msgspec.Struct, frozen=True):
    """What one inspection contributes, kept apart so that it can be left out again.

    For a row: ``factor[i, l, r, c]`` is the likelihood that this inspection alone multiplies into
    row ``voids[i]``.  For a zone: ``zone`` is its index.  For a way in: ``source`` and
    ``by_state``.
    """

    key: str
    """Inspection id."""
    words: str
    """``droppings, many, under the bath (12 May, seen)``."""
    positive: bool
    """True where something was found."""
    voids: Ints
    factor: Floats
    """[n, L, 3, 6] [1]"""
    zone: int = -1
    source: int = -1
    by_state: tuple[float, float, float] = (1.0, 1.0, 1.0)
    """Likelihood by never / past / now of that way in. [1]"""
    seen: tuple[tuple[int, str], ...] = ()
    """Voids opened and seen: (void index, what was seen)."""
    share: float = 0.0
    """Share of the void looked at, 0 where nobody looked. [1]"""
    what: str = ""
    """What was found: ``droppings, many, fresh``; empty for nothing."""
    at: str = ""
    """When, as it stands in the log."""
    pieces: tuple[Piece, ...] = ()
    """What ``factor`` and ``by_state`` are made of, so that repeats can be told."""
    reading: int = -1
    """For a smell: index of the linear reading that it is part of."""

    def found_in(self) -> list[int]:
        """Return the voids that it speaks for, not against: where something was found."""
        if len(self.voids) == 0:
            return []
        raised = self.factor.max(axis=(1, 2, 3)) > 1.001 * self.factor[:, :, 0, 0].max(axis=1)
        return [int(v) for v in self.voids[raised]]


class Evidence(msgspec.Struct, frozen=True):
    """All rows and zones for one graph.  V voids, U unique rows, L load levels, Z zones."""

    row_of: Ints
    """[V] index into ``detail``."""
    detail: Floats
    """[U, L, 3, 6] joint weights. [1]"""
    load_prior: Floats
    """[L] [1]"""
    zone_offsets: Ints
    """[Z + 1]"""
    zone_void: Ints
    zone_hit: Floats
    """[members, 3] chance that this void alone would make the sound heard, by reach. [1]"""
    zone_false: Floats
    """[Z] chance that it is heard though no animal made it; at least 1e-4. [1]"""
    zone_heard: Bools
    source_factor: Floats
    """[E, 3] likelihood on each way in by never / past / now. [1]"""
    statements: tuple[Statement, ...]
    unplaced: tuple[str, ...] = ()
    """Inspections without a place, or whose place lies in nothing: told, never dropped."""
    looked: Floats | None = None
    """[V] greatest share of each void that anybody looked at. [1]"""
    linear_offsets: Ints = msgspec.field(default_factory=lambda: np.zeros(1, np.int32))
    """[R + 1] where each reading's members begin."""
    linear_void: Ints = msgspec.field(default_factory=lambda: np.zeros(0, np.int32))
    linear_emission: Floats = msgspec.field(default_factory=lambda: np.zeros((0, 3, 3)))
    """[members, L, 3] what reaches the room on average, given load and reach. [1]"""
    linear_grid: Floats = msgspec.field(default_factory=lambda: np.zeros(0))
    """[G] ascending log of what reaches the room; 0 where a nose begins to notice. [1]"""
    linear_log_likelihood: Floats = msgspec.field(default_factory=lambda: np.zeros((0, 0)))
    """[R, G], capped. [nat]"""
    linear_soil: Floats = msgspec.field(default_factory=lambda: np.zeros((0, CELLS)))
    """[members, 6] the same as ``linear_emission`` by soil and nest. [1]"""
    linear_room: Ints = msgspec.field(default_factory=lambda: np.zeros(0, np.int32))
    """[R] void that each reading was made in."""
    recipe: Any = None
    """What it was made of (:class:`wainscot.signs.read.Recipe`), so that it can be made again with
    one inspection less or with other rates."""

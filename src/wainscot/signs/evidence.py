"""What the inspections say, in the three forms that an engine knows.

A row per void: for each void, load level and reach (unreached / past / now) the joint weight of
(soil none / light / heavy) x (nest no / yes), that is prior times the likelihood of every
inspection there.  A noisy-or over a zone: a sound heard somewhere.  A factor on a way in: rub marks
at a hole.  (The linear form, odour, comes with its kind.)

Voids without a sign share one row per kind of void, so ``detail`` stays small.
"""

from __future__ import annotations

import msgspec

from wainscot.arrays import Bools, Floats, Ints

SOIL = ("none", "light", "heavy")
REACH = ("unreached", "past", "now")
CELLS = 6
"""Cells of one row: soil (3) x nest (2), nest varying fastest."""


class Statement(msgspec.Struct, frozen=True):
    """What one inspection contributes, kept apart so that it can be left out again.

    For a row: ``factor[i, l, r, c]`` is the likelihood that this inspection alone multiplies into
    row ``voids[i]``.  For a zone: ``zone`` is its index.  For a way in: ``source`` and ``by_state``.
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
    seen: tuple[tuple[int, str], ...] = ()
    """Voids opened and seen: (void index, what was seen)."""
    share: float = 0.0
    """Share of the void looked at, 0 where nobody looked. [1]"""


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

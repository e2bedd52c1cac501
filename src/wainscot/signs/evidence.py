"""What the inspections say, in the three forms that an engine knows.

A row per void: for each void, load level and reach (unreached / past / now) the joint weight of
(soil none / light / heavy) x (nest no / yes), that is prior times the likelihood of every
inspection there.  A noisy-or over a zone: a sound heard somewhere.  A factor on a way in: rub marks
at a hole.  (The linear form, odour, comes with its kind.)

Voids without a sign share one row per kind of void, so ``detail`` stays small.
"""

from __future__ import annotations

import msgspec
import numpy as np

from wainscot.arrays import Bools, Floats, Ints

SOIL = ("none", "light", "heavy")
REACH = ("unreached", "past", "now")
CELLS = 6
"""Cells of one row: soil (3) x nest (2), nest varying fastest."""


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


class Zone(msgspec.Struct, frozen=True):
    """One noisy-or before it is packed: members [n], hits [n, 3], false rate, heard or not."""

    voids: Ints
    hits: Floats
    """[n, 3] by reach. [1]"""
    false: float
    """[1]"""
    heard: bool


def assemble(
    *,
    row_of: Ints,
    priors: Floats,
    load: Floats,
    sources: int,
    statements: tuple[Statement, ...],
    zones: tuple[Zone, ...],
    unplaced: tuple[str, ...] = (),
) -> Evidence:
    """Return the evidence that priors and statements make together.

    Parameters
    ----------
    row_of : Ints
        [V] class of each void, index into ``priors``.
    priors : Floats
        [classes, L, 3, 6] joint chance of soil and nest by class. [1]
    load : Floats
        [L] prior of the load levels. [1]
    sources : int
        Number of ways in.
    statements : tuple of Statement
        What each inspection says.
    zones : tuple of Zone
        The zones that statements refer to by index.
    unplaced : tuple of str
        Inspections without a place.
    """
    rows = row_of.copy()
    own: dict[int, Floats] = {}
    looked = np.zeros(len(row_of))
    source_factor = np.ones((sources, 3))
    for one in statements:
        for v, factor in zip(one.voids.tolist(), one.factor, strict=True):
            own[v] = own.get(v, priors[row_of[v]]) * factor
            looked[v] = max(looked[v], one.share)
        if one.source >= 0:
            source_factor[one.source] *= one.by_state
    detail = [*priors]
    for v in sorted(own):
        rows[v] = len(detail)
        detail.append(own[v])
    offsets = np.cumsum([0, *(len(zone.voids) for zone in zones)])
    return Evidence(
        row_of=rows,
        detail=np.stack(detail),
        load_prior=load,
        zone_offsets=offsets.astype(np.int32),
        zone_void=np.concatenate([np.zeros(0, np.int32), *(zone.voids for zone in zones)]),
        zone_hit=np.concatenate([np.zeros((0, 3)), *(zone.hits for zone in zones)]),
        zone_false=np.array([zone.false for zone in zones]),
        zone_heard=np.array([zone.heard for zone in zones], dtype=np.bool_),
        source_factor=source_factor,
        statements=statements,
        unplaced=unplaced,
        looked=looked,
    )


def row_without(evidence: Evidence, v: int, key: str) -> Floats:
    """Return a void's row as if one inspection had not been made: [L, 3, 6]. [1]

    Parameters
    ----------
    evidence : Evidence
        The evidence.
    v : int
        Index of the void.
    key : str
        Id of the inspection.
    """
    row: Floats = np.asarray(evidence.detail[evidence.row_of[v]])
    for one in evidence.statements:
        if one.key == key:
            for i in np.flatnonzero(one.voids == v):
                row = np.asarray(row / one.factor[i])
    return row


def without(evidence: Evidence, key: str) -> Evidence:
    """Return the evidence as if one inspection had not been made.

    Parameters
    ----------
    evidence : Evidence
        The evidence.
    key : str
        Id of the inspection.
    """
    gone = [one for one in evidence.statements if one.key == key]
    rows, detail = evidence.row_of.copy(), [*evidence.detail]
    for v in sorted({int(v) for one in gone for v in one.voids}):
        rows[v] = len(detail)
        detail.append(row_without(evidence, v, key))
    factor = evidence.source_factor.copy()
    for one in gone:
        if one.source >= 0:
            factor[one.source] = factor[one.source] / one.by_state
    dropped = {one.zone for one in gone if one.zone >= 0}
    kept = [z for z in range(len(evidence.zone_false)) if z not in dropped]
    spans = [range(evidence.zone_offsets[z], evidence.zone_offsets[z + 1]) for z in kept]
    members = np.array([i for span in spans for i in span], dtype=np.int64)
    left = [
        msgspec.structs.replace(one, zone=kept.index(one.zone) if one.zone >= 0 else -1)
        for one in evidence.statements
        if one.key != key
    ]
    return msgspec.structs.replace(
        evidence,
        row_of=rows,
        detail=np.stack(detail),
        zone_offsets=np.cumsum([0, *(len(span) for span in spans)]).astype(np.int32),
        zone_void=evidence.zone_void[members],
        zone_hit=evidence.zone_hit[members],
        zone_false=evidence.zone_false[kept],
        zone_heard=evidence.zone_heard[kept],
        source_factor=factor,
        statements=tuple(left),
    )
